// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_audit.h"

#include "base/counted.h"
#include "base/ids.h"
#include "custody/custody_book.h"
#include "custody/custody_verbs.h"
#include "custody/custody_words.h"
#include "custody/due.h"
#include "custody/hand_over.h"
#include "custody/not_found.h"
#include "dive/readers.h"

#include <QJsonArray>
#include <QRegularExpression>
#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

/// Joins notes that say the same of several items.
class Notes
{
public:
    explicit Notes(std::vector<CustodyNote> &out) : m_out(out) {}
    void add(const QString &kind, const QString &id, const QString &sentence, const QString &ref = {},
             UtcTime at = {})
    {
        const QString key = kind + QLatin1Char('\n') + ref + QLatin1Char('\n') + sentence;
        const auto known = m_index.constFind(key);
        if (known != m_index.constEnd()) {
            m_out[*known].ids << id;
            return;
        }
        m_index.insert(key, m_out.size());
        m_out.push_back({kind, id.isEmpty() ? QStringList{} : QStringList{id}, sentence, ref, at});
    }

private:
    std::vector<CustodyNote> &m_out;
    QHash<QString, std::size_t> m_index;
};

void auditChains(const CustodyBook &book, Notes &findings, Notes &remarks)
{
    const QList<int> &without = book.divesWithoutCustodian();
    for (const QString &id : book.ids()) {
        const CustodyBook::Kept *kept = book.item(id);
        for (const CustodyFinding &f : book.chainOf(id).findings) {
            // Told once for the dive below.
            if (f.what == CustodyFinding::What::Gap && !f.explained && without.contains(kept->dive))
                continue;
            (f.explained ? remarks : findings).add(findingWord(f.what), id, f.sentence, f.ref, f.at);
        }
    }
    for (const int dive : without)
        remarks.add(QStringLiteral("custodian"), {},
                    QStringLiteral("nobody was appointed to answer for what dive %1 collected").arg(dive));
}

Result<int> auditSeals(const Database &db, Notes &findings)
{
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT seal, sum(what='applied'), min(time_us) FROM seal_event GROUP BY seal"));
    if (!rows)
        return rows.error();
    int seals = 0;
    while (rows->next()) {
        ++seals;
        if (rows->integer(1) > 1)
            findings.add(QStringLiteral("seal"), {},
                         QStringLiteral("seal %1 was applied %2 times; a number is never used again")
                             .arg(rows->text(0))
                             .arg(rows->integer(1)),
                         {}, utcFromMicroseconds(rows->integer(2)));
    }
    return seals;
}

/// Every id follows from its cruise, dive and number, or from its parent's, and what entries speak of exists.
Done auditIds(const Database &db, const CustodyBook &book, Notes &findings)
{
    const auto cruise = readCruise(db);
    if (!cruise)
        return cruise.error();
    const auto pattern = IdPattern::fromText(cruise->idPattern);
    if (!pattern)
        return pattern.error();
    auto samples = query(db.connection(), QStringLiteral("SELECT id, dive, number FROM sample"));
    if (!samples)
        return samples.error();
    const QString kind = QStringLiteral("id");
    while (samples->next()) {
        const QString should = pattern->sampleId(cruise->code, static_cast<int>(samples->integer(1)),
                                                 static_cast<int>(samples->integer(2)));
        if (samples->text(0) != should)
            findings.add(kind, samples->text(0),
                         QStringLiteral("should be %1 by the cruise's pattern").arg(should));
    }
    auto parts = query(db.connection(), QStringLiteral("SELECT id, parent, number FROM specimen"));
    if (!parts)
        return parts.error();
    while (parts->next()) {
        if (!book.item(parts->text(1)))
            findings.add(kind, parts->text(0),
                         QStringLiteral("its parent %1 is not in the file").arg(parts->text(1)));
        else if (parts->text(0) != partId(parts->text(1), static_cast<int>(parts->integer(2))))
            findings.add(kind, parts->text(0),
                         QStringLiteral("does not follow from its parent %1").arg(parts->text(1)));
    }
    for (const QString &table :
         {QStringLiteral("custody_event"), QStringLiteral("seal_item"), QStringLiteral("storage"),
          QStringLiteral("preservation"), QStringLiteral("identification"), QStringLiteral("photograph")}) {
        auto rows =
            query(db.connection(),
                  QStringLiteral("SELECT DISTINCT t.item, l.station || ' ' || l.seq FROM %1 t JOIN ledger "
                                 "l ON l.uuid=t.entry WHERE NOT EXISTS (SELECT 1 FROM sample s WHERE "
                                 "s.id=t.item) AND NOT EXISTS (SELECT 1 FROM specimen p WHERE "
                                 "p.id=t.item)")
                      .arg(table));
        if (!rows)
            return rows.error();
        while (rows->next())
            findings.add(kind, rows->text(0), QStringLiteral("is no sample or specimen of this cruise"),
                         rows->text(1));
    }
    return {};
}

Result<int> auditHandOvers(const Database &db, UtcTime now, Notes &remarks)
{
    const auto all = readHandOvers(db, false);
    if (!all)
        return all.error();
    for (const HandOverInfo &h : *all) {
        for (const QString &id : h.open())
            remarks.add(QStringLiteral("not received"), id,
                        QStringLiteral("hand-over %1 from %2 to %3 of %4 is not answered")
                            .arg(h.code, h.from, h.to, toIso(h.time)),
                        {}, h.time);
        if (h.purpose != QLatin1String("loan") || !h.dueBack || *h.dueBack >= now)
            continue;
        for (const QString &id : h.accepted) {
            const auto period = custodyNow(db, id);
            if (!period)
                return period.error();
            if (samePerson(period->holder, h.to))
                remarks.add(
                    QStringLiteral("overdue"), id,
                    QStringLiteral("lent to %1 (%2), due back %3").arg(h.to, h.code, toIso(*h.dueBack)), {},
                    *h.dueBack);
        }
    }
    return static_cast<int>(all->size());
}

/// What nobody confirmed, or somebody with a PIN confirmed without it.
Done auditConfirmations(const Database &db, Notes &remarks)
{
    const QStringList verbs{verb::handOverOffered, verb::handOverAnswered, verb::custodyClaimed,
                            verb::custodyEnded};
    return forEachEntryWith(db, verbs, [&remarks](const Entry &e) -> Done {
        const QJsonObject body = e.bodyObject();
        const QJsonObject c = body.value(QStringLiteral("confirmation")).toObject();
        if (c.value(QStringLiteral("means")).toString() != QLatin1String("none") &&
            !c.contains(QStringLiteral("withoutPin")))
            return {};
        const bool offered = e.verb == verb::handOverOffered;
        const QString party = body.value(offered ? QStringLiteral("from") : QStringLiteral("by")).toString();
        const QString items =
            e.verb == verb::handOverAnswered ? QStringLiteral("accepted") : QStringLiteral("items");
        for (const QJsonValue id : body.value(items).toArray())
            remarks.add(QStringLiteral("not confirmed"), id.toString(),
                        QStringLiteral("%1: %2").arg(e.verb, confirmationText(c, party)),
                        QStringLiteral("%1 %2").arg(e.station).arg(e.seq), utcFromMicroseconds(e.timeUs));
        return {};
    });
}

/// What the deck did not find is not in anybody's hands, whatever the chain says.
Done auditNotFound(const Database &db, Notes &findings)
{
    const auto missing = readNotFound(db);
    if (!missing)
        return missing.error();
    for (const NotFound &one : *missing)
        findings.add(QStringLiteral("not found"), one.sample,
                     QStringLiteral("%1, and nobody recorded since that it is lost or where it is")
                         .arg(notFoundWords(one)),
                     {}, one.at);
    return {};
}

Done auditHolding(const Database &db, const HoldingRules &rules, UtcTime now, Notes &remarks)
{
    const auto due = readDue(db, rules, now);
    if (!due)
        return due.error();
    for (const DueItem &d : due->due) {
        if (d.clock.state == ClockState::Over)
            remarks.add(QStringLiteral("holding"), d.item.id,
                        QStringLiteral("not %1 by %2, its limit").arg(d.clock.what, toIso(d.clock.due)), {},
                        d.clock.due);
    }
    // Read anew: phases may have been recorded or corrected since, and a limit is met once.
    for (const DueItem &d : due->metLate)
        remarks.add(QStringLiteral("holding"), d.item.id, lateWords(d.clock), {}, d.clock.due);
    static const QRegularExpression late(QStringLiteral("minutes after the limit$"));
    for (const QString &table : {QStringLiteral("preservation"), QStringLiteral("storage")}) {
        auto rows =
            query(db.connection(),
                  QStringLiteral("SELECT t.item, t.warnings, l.station || ' ' || l.seq, t.time_us FROM %1 t "
                                 "JOIN ledger l ON l.uuid=t.entry WHERE t.warnings<>'' ORDER BY "
                                 "t.time_us, t.item")
                      .arg(table));
        if (!rows)
            return rows.error();
        while (rows->next()) {
            QStringList said = rows->text(1).split(QStringLiteral("; "));
            said.erase(std::remove_if(said.begin(), said.end(),
                                      [](const QString &one) { return late.match(one).hasMatch(); }),
                       said.end());
            if (!said.isEmpty())
                remarks.add(QStringLiteral("holding"), {}, said.join(QStringLiteral("; ")), rows->text(2),
                            utcFromMicroseconds(rows->integer(3)));
        }
    }
    return {};
}

QString line(const CustodyNote &n)
{
    QString ids = n.ids.mid(0, 4).join(QStringLiteral(", "));
    if (n.ids.size() > 4)
        ids += QStringLiteral(" and %1 more").arg(n.ids.size() - 4);
    return QStringLiteral("  %1  %2%3%4\n")
        .arg(n.kind, -14)
        .arg(ids.isEmpty() ? QString() : ids + QStringLiteral(": "), n.sentence,
             n.ref.isEmpty() ? QString() : QStringLiteral("  [%1]").arg(n.ref));
}

QJsonArray list(const std::vector<CustodyNote> &notes)
{
    QJsonArray out;
    for (const CustodyNote &n : notes) {
        QJsonObject o{{QStringLiteral("kind"), n.kind},
                      {QStringLiteral("ids"), QJsonArray::fromStringList(n.ids)},
                      {QStringLiteral("sentence"), n.sentence},
                      {QStringLiteral("entry"), n.ref}};
        if (n.at != UtcTime{})
            o.insert(QStringLiteral("at"), toIso(n.at));
        out.append(o);
    }
    return out;
}

} // namespace

Result<CustodyAudit> auditCustody(const Database &db, const HoldingRules &rules, UtcTime now)
{
    CustodyAudit audit;
    audit.at = now;
    const auto book = CustodyBook::readAll(db);
    if (!book)
        return book.error();
    audit.items = static_cast<int>(book->ids().size());
    Notes findings(audit.findings);
    Notes remarks(audit.remarks);
    auditChains(*book, findings, remarks);
    if (auto done = auditNotFound(db, findings); !done)
        return done.error();
    const auto seals = auditSeals(db, findings);
    if (!seals)
        return seals.error();
    audit.seals = *seals;
    if (auto done = auditIds(db, *book, findings); !done)
        return done.error();
    const auto handOvers = auditHandOvers(db, now, remarks);
    if (!handOvers)
        return handOvers.error();
    audit.handOvers = *handOvers;
    if (auto done = auditConfirmations(db, remarks); !done)
        return done.error();
    if (auto done = auditHolding(db, rules, now, remarks); !done)
        return done.error();
    return audit;
}

QString CustodyAudit::text() const
{
    QString out = QStringLiteral("Custody at %1: %2, %3, %4.\n")
                      .arg(toIso(at),
                           counted(items, QStringLiteral("sample or specimen"),
                                   QStringLiteral("samples and specimens")),
                           counted(handOvers, QStringLiteral("hand-over"), QStringLiteral("hand-overs")),
                           counted(seals, QStringLiteral("seal"), QStringLiteral("seals")));
    if (findings.empty())
        out += QStringLiteral("No break in custody that is not explained.\n");
    else
        out += QStringLiteral("Breaks in custody that nobody explained: %1\n").arg(findings.size());
    for (const CustodyNote &n : findings)
        out += line(n);
    if (!remarks.empty())
        out += QStringLiteral("To know or still to do: %1\n").arg(remarks.size());
    // One page: what is left out stands in the list of --json.
    constexpr std::size_t most = 40;
    for (std::size_t i = 0; i < std::min(most, remarks.size()); ++i)
        out += line(remarks[i]);
    if (remarks.size() > most)
        out += QStringLiteral("  and %1 more; --json lists all\n").arg(remarks.size() - most);
    return out;
}

QJsonObject CustodyAudit::json() const
{
    return {{QStringLiteral("ok"), holds()},           {QStringLiteral("at"), toIso(at)},
            {QStringLiteral("items"), items},          {QStringLiteral("hand_overs"), handOvers},
            {QStringLiteral("seals"), seals},          {QStringLiteral("findings"), list(findings)},
            {QStringLiteral("remarks"), list(remarks)}};
}

} // namespace holdfast
