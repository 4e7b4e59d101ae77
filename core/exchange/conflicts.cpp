// SPDX-License-Identifier: GPL-3.0-or-later
#include "exchange/conflicts.h"

#include "base/ids.h"
#include "dive/act_steps.h"
#include "dive/actions.h"
#include "dive/id_book.h"
#include "dive/numbers.h"
#include "dive/readers.h"
#include "dive/replay.h"
#include "dive/verbs.h"
#include "exchange/registers.h"
#include "ledger/canonical.h"

#include <QJsonArray>
#include <QJsonDocument>
#include <QSet>
#include <algorithm>
#include <map>
#include <utility>

namespace holdfast
{

namespace
{

QStringList entriesOf(const Conflict &conflict)
{
    QStringList entries;
    for (const ConflictSide &side : conflict.sides)
        entries << side.entry;
    entries.sort();
    return entries;
}

QString keyOf(const Conflict &conflict)
{
    const QByteArray what =
        (conflict.about + QLatin1Char('\n') + entriesOf(conflict).join(QLatin1Char('\n'))).toUtf8();
    return QStringLiteral("C-") + sha256Hex(what).left(6);
}

// "TK26-01-017: holder"
QString subjectOf(const QString &about)
{
    return about.left(about.lastIndexOf(QLatin1String(": ")));
}
QString fieldOf(const QString &about)
{
    return about.mid(about.lastIndexOf(QLatin1String(": ")) + 2);
}

const QString settledSubject = QStringLiteral("subject");

/// One entry can be a side of several conflicts: which of them it is.
QString matter(const QStringList &entries, const QString &subject, const QString &field)
{
    return QStringList{entries.join(QLatin1Char(' ')), subject, field}.join(QLatin1Char('\n'));
}

const QString planAdvice = QStringLiteral(
    "The slots of both plans are there meanwhile. Say which plan it was: choose its side and settle it "
    "with a reason (in the shell by --take), or plan the dive again with a reason. Slots in which something "
    "lies stay.");

/// Reads the ledger once and keeps, for each register, the writes that no later one had seen.
class Reading
{
public:
    explicit Reading(IdBook book) : m_book(std::move(book)) {}

    Done take(const Entry &raw)
    {
        ++m_order;
        const Entry e = m_book.resolved(raw);
        m_stations.insert(e.station);
        if (e.body.contains(hasSeen)) {
            const QJsonObject seen = e.bodyObject().value(hasSeen).toObject();
            for (auto it = seen.begin(); it != seen.end(); ++it)
                m_seen[e.station].insert(it.key(), it.value().toInteger());
        }
        if (e.verb == verb::conflictSettled) {
            m_settled.insert(whatWasSettled(raw));
        }
        for (const RegisterWrite &write : registersOf(e))
            set(e, write);
        return {};
    }

    [[nodiscard]] bool isSettled(const Conflict &c) const
    {
        return m_settled.contains(matter(entriesOf(c), subjectOf(c.about), fieldOf(c.about)));
    }

    /// Registers whose last writes contradict each other.
    [[nodiscard]] std::vector<Conflict> contradictions() const
    {
        std::vector<std::pair<qint64, Conflict>> found;
        for (const auto &[name, writes] : m_registers) {
            const bool agree = std::all_of(writes.begin(), writes.end(), [&w = writes](const Write &one) {
                return one.side.says == w.front().side.says;
            });
            if (agree)
                continue;
            Conflict c{
                Conflict::Kind::Value, {}, QStringLiteral("%1: %2").arg(name.first, name.second), {}, {}};
            std::vector<Write> counting = writes;
            std::stable_sort(counting.begin(), counting.end(),
                             [](const Write &a, const Write &b) { return a.atUs < b.atUs; });
            for (const Write &write : counting)
                c.sides.push_back(write.side);
            c.sides.back().shown = true;
            c.advice =
                isAboutPlan(c)
                    ? planAdvice
                    : QStringLiteral(
                          "If what is shown is wrong, correct it the usual way: the correction ends the "
                          "conflict. If it is right, settle it with a reason.");
            found.emplace_back(writes.back().order, std::move(c));
        }
        std::sort(found.begin(), found.end(), [](const auto &a, const auto &b) { return a.first < b.first; });
        std::vector<Conflict> all;
        for (auto &[order, conflict] : found)
            all.push_back(std::move(conflict));
        return all;
    }

    [[nodiscard]] qsizetype stations() const { return m_stations.size(); }

private:
    struct Write {
        ConflictSide side;
        qint64 order = 0;
        qint64 atUs = 0;
    };

    /// What it was about is told by the id that its subject has now: that may have been given a new one.
    QString whatWasSettled(Entry e) const
    {
        QJsonObject body = e.bodyObject();
        const QString about = body.value(QStringLiteral("about")).toString();
        if (!body.contains(settledSubject)) // of before that was written down
            body.insert(settledSubject, subjectOf(about));
        e.body = QString::fromUtf8(QJsonDocument(body).toJson(QJsonDocument::Compact));
        body = m_book.resolved(e).bodyObject();
        QStringList entries;
        for (const QJsonValue v : body.value(QStringLiteral("entries")).toArray())
            entries << v.toString();
        entries.sort();
        return matter(entries, body.value(settledSubject).toString(), fieldOf(about));
    }

    void set(const Entry &e, const RegisterWrite &write)
    {
        std::vector<Write> &now = m_registers[{write.subject, write.field}];
        const auto known = [&](const Write &w) {
            return w.side.station == e.station ||
                   m_seen.value(e.station).value(w.side.station, 0) >= w.side.seq;
        };
        now.erase(std::remove_if(now.begin(), now.end(), known), now.end());
        now.push_back({{e.uuid, e.station, e.seq, e.actor, utcFromMicroseconds(e.timeUs), write.value, false},
                       m_order,
                       write.atUs});
    }

    IdBook m_book;
    QHash<QString, QHash<QString, qint64>> m_seen; ///< by station: how far it had seen the others
    std::map<std::pair<QString, QString>, std::vector<Write>> m_registers;
    QSet<QString> m_settled;
    QSet<QString> m_stations;
    qint64 m_order = 0;
};

Result<ConflictSide> sideOf(const Database &db, const QString &entry)
{
    auto row =
        query(db.connection(),
              QStringLiteral("SELECT station, seq, actor, time_us, verb FROM ledger WHERE uuid=?"), {entry});
    if (!row)
        return row.error();
    if (!row->next())
        return fail(ErrorKind::Internal, QStringLiteral("The ledger has no entry %1.").arg(entry));
    return ConflictSide{
        entry,        row->text(0), row->integer(1), row->text(2), utcFromMicroseconds(row->integer(3)),
        row->text(4), false};
}

Done addClashes(const Database &db, const IdBook &book, std::vector<Conflict> &all)
{
    for (const IdBook::Clash &clash : book.clashes()) {
        Conflict c{Conflict::Kind::SameId, {}, QStringLiteral("%1: given twice").arg(clash.id), {}, {}};
        c.advice = QStringLiteral(
            "Settling gives what is shown under a provisional id a new one; print its label again.");
        for (const IdBook::Claim &claim : clash.claims) {
            auto side = sideOf(db, claim.entry);
            if (!side)
                return side.error();
            side->says = QStringLiteral("shown as %1").arg(claim.shown);
            side->shown = !claim.provisional;
            c.sides.push_back(std::move(*side));
        }
        all.push_back(std::move(c));
    }
    return {};
}

/// Slots that hold one thing but have more than one sample in the tables.
Done addFullSlots(const Database &db, const IdBook &book, std::vector<Conflict> &all)
{
    auto rows = query(
        db.connection(),
        QStringLiteral("SELECT s.dive, s.slot, s.id, s.kind, s.uuid FROM sample s JOIN slot p ON "
                       "p.dive=s.dive AND p.code=s.slot WHERE s.state='held' AND p.mixing=0 AND (SELECT "
                       "count(*) FROM sample o WHERE o.dive=s.dive AND o.slot=s.slot AND "
                       "o.state='held') > 1 ORDER BY s.dive, s.slot, s.number"));
    if (!rows)
        return rows.error();
    while (rows->next()) {
        const QString about =
            QStringLiteral("dive %1 slot %2: given twice").arg(rows->integer(0)).arg(rows->text(1));
        if (all.empty() || all.back().about != about)
            all.push_back(
                {Conflict::Kind::SameSlot,
                 {},
                 about,
                 QStringLiteral("Look at the slot; move the sample that lies elsewhere, or settle it with a "
                                "reason when both are in it."),
                 {}});
        auto side = sideOf(db, book.claimOf(rows->text(4)).entry);
        if (!side)
            return side.error();
        side->says = QStringLiteral("%1, %2").arg(rows->text(2), rows->text(3));
        side->shown = true;
        all.back().sides.push_back(std::move(*side));
    }
    return {};
}

Done addHeldBack(const Database &db, std::vector<Conflict> &all)
{
    QSet<QString> named;
    for (const Conflict &c : all) {
        for (const ConflictSide &side : c.sides)
            named.insert(side.entry);
    }
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT h.entry, h.why, l.verb FROM held_back h JOIN ledger l ON l.uuid=h.entry "
                             "ORDER BY l.lamport, l.station, l.seq"));
    if (!rows)
        return rows.error();
    while (rows->next()) {
        if (named.contains(rows->text(0)))
            continue;
        auto side = sideOf(db, rows->text(0));
        if (!side)
            return side.error();
        Conflict c{
            Conflict::Kind::HeldBack,
            {},
            QStringLiteral("%1 of station %2, entry %3: not in the tables")
                .arg(rows->text(2), side->station)
                .arg(side->seq),
            QStringLiteral("The ledger keeps it, but %1. Enter what is still true again, then settle this.")
                .arg(rows->text(1)),
            {}};
        side->says = rows->text(2);
        c.sides.push_back(std::move(*side));
        all.push_back(std::move(c));
    }
    return {};
}

/// The number and id that this station gives to the later thing of a clash.
struct FreshId {
    QString uuid, id;
    int number = 0;
};

Result<FreshId> freshId(const CruiseFile &file, const Conflict &conflict)
{
    const auto book = IdBook::fromLedger(file.db());
    if (!book)
        return book.error();
    for (const IdBook::Clash &clash : book->clashes()) {
        for (const IdBook::Claim &claim : clash.claims) {
            const bool meant =
                std::any_of(conflict.sides.begin(), conflict.sides.end(),
                            [&claim](const ConflictSide &s) { return s.entry == claim.entry; });
            if (!claim.provisional || !meant)
                continue;
            auto row = query(
                file.db().connection(),
                QStringLiteral("SELECT dive, '' FROM sample WHERE uuid=? UNION ALL SELECT 0, parent FROM "
                               "specimen WHERE uuid=?"),
                {claim.uuid, claim.uuid});
            if (!row)
                return row.error();
            if (!row->next())
                return fail(ErrorKind::Refused,
                            QStringLiteral("%1 is not in the tables; settle first why.").arg(claim.shown));
            const int dive = static_cast<int>(row->integer(0));
            const QString parent = row->text(1);
            row->reset();
            const auto number = dive > 0 ? nextSampleNumber(file.db(), file.station(), dive)
                                         : nextPartNumber(file.db(), file.station(), parent);
            if (!number)
                return number.error();
            if (dive == 0)
                return FreshId{claim.uuid, partId(parent, *number), *number};
            const auto cruise = readCruise(file.db());
            if (!cruise)
                return cruise.error();
            const auto pattern = IdPattern::fromText(cruise->idPattern);
            if (!pattern)
                return pattern.error();
            return FreshId{claim.uuid, pattern->sampleId(cruise->code, dive, *number), *number};
        }
    }
    return fail(ErrorKind::NotFound, QStringLiteral("No id is given twice any more."));
}

} // namespace

Result<std::vector<Conflict>> openConflicts(const Database &db)
{
    const auto heads = chainHeads(db);
    if (!heads)
        return heads.error();
    if (heads->size() < 2)
        return std::vector<Conflict>();
    auto book = IdBook::fromLedger(db);
    if (!book)
        return book.error();
    Reading reading(*book);
    if (auto read = forEachEntry(db, [&reading](const Entry &e) { return reading.take(e); }); !read)
        return read.error();
    std::vector<Conflict> all = reading.contradictions();
    if (auto done = addClashes(db, *book, all); !done)
        return done.error();
    if (auto done = addFullSlots(db, *book, all); !done)
        return done.error();
    if (auto done = addHeldBack(db, all); !done)
        return done.error();
    std::vector<Conflict> open;
    for (Conflict &c : all) {
        c.key = keyOf(c);
        if (!reading.isSettled(c))
            open.push_back(std::move(c));
    }
    return open;
}

namespace
{

Result<Conflict> conflictOf(const Database &db, const QString &key)
{
    const auto open = openConflicts(db);
    if (!open)
        return open.error();
    const auto found = std::find_if(open->begin(), open->end(), [&key](const Conflict &c) {
        return c.key.compare(key.trimmed(), Qt::CaseInsensitive) == 0;
    });
    if (found == open->end())
        return fail(ErrorKind::NotFound, QStringLiteral("There is no open conflict %1.").arg(key));
    return *found;
}

} // namespace

Done takePlanOf(CruiseFile &file, const Act &act, const QString &key, const QString &station,
                const QString &reason)
{
    const auto found = conflictOf(file.db(), key);
    if (!found)
        return found.error();
    if (!isAboutPlan(*found))
        return fail(ErrorKind::Refused,
                    QStringLiteral("%1 (%2) is not about a plan: correct it the usual way, or settle it with "
                                   "a reason when what is shown is right.")
                        .arg(found->key, found->about));
    QStringList stations;
    for (const ConflictSide &side : found->sides) {
        stations << side.station;
        if (side.station.compare(station.trimmed(), Qt::CaseInsensitive) != 0)
            continue;
        auto row = query(file.db().connection(), QStringLiteral("SELECT body FROM ledger WHERE uuid=?"),
                         {side.entry});
        if (!row)
            return row.error();
        if (!row->next())
            return fail(ErrorKind::Internal, QStringLiteral("The ledger has no entry %1.").arg(side.entry));
        const QJsonObject plan = QJsonDocument::fromJson(row->text(0).toUtf8()).object();
        row->reset();
        return planDiveAgain(file, act, plan.value(QStringLiteral("number")).toInt(),
                             plan.value(QStringLiteral("vehicle")).toString(),
                             plan.value(QStringLiteral("loadout")).toObject(), reason);
    }
    return fail(ErrorKind::NotFound,
                QStringLiteral("Station \"%1\" has no side in %2; those that have are %3.")
                    .arg(station, found->key, stations.join(QStringLiteral(", "))));
}

Result<QStringList> openHeldBack(const Database &db)
{
    QSet<QString> settled;
    const auto read = forEachEntryWith(db, {verb::conflictSettled}, [&settled](const Entry &e) -> Done {
        for (const QJsonValue v : e.bodyObject().value(QStringLiteral("entries")).toArray())
            settled.insert(v.toString());
        return {};
    });
    if (!read)
        return read.error();
    auto rows = query(db.connection(),
                      QStringLiteral("SELECT h.entry, l.station, l.seq, l.verb, h.why FROM held_back h JOIN "
                                     "ledger l ON l.uuid=h.entry ORDER BY l.lamport, l.station, l.seq"));
    if (!rows)
        return rows.error();
    QStringList open;
    while (rows->next()) {
        if (!settled.contains(rows->text(0)))
            open << QStringLiteral("Station %1, entry %2 (%3) is not in the tables: %4")
                        .arg(rows->text(1))
                        .arg(rows->integer(2))
                        .arg(rows->text(3), rows->text(4));
    }
    return open;
}

Result<QString> settleConflict(CruiseFile &file, const Act &act, const QString &key, const QString &reason)
{
    if (auto given = wantReason(reason); !given)
        return given.error();
    return file.write([&]() -> Result<QString> {
        const auto found = conflictOf(file.db(), key);
        if (!found)
            return found.error();
        if (found->kind != Conflict::Kind::SameId) {
            const auto entry =
                file.record(act, verb::conflictSettled,
                            {{QStringLiteral("about"), found->about},
                             {settledSubject, subjectOf(found->about)},
                             {QStringLiteral("entries"), QJsonArray::fromStringList(entriesOf(*found))},
                             {QStringLiteral("reason"), reason.trimmed()}});
            if (!entry)
                return entry.error();
            return QString();
        }
        const auto fresh = freshId(file, *found);
        if (!fresh)
            return fresh.error();
        const auto entry = file.record(act, verb::itemRenumbered,
                                       {{QStringLiteral("item"), fresh->uuid},
                                        {QStringLiteral("old"), found->about.section(QLatin1Char(':'), 0, 0)},
                                        {QStringLiteral("id"), fresh->id},
                                        {QStringLiteral("number"), fresh->number},
                                        {QStringLiteral("reason"), reason.trimmed()}});
        if (!entry)
            return entry.error();
        // The new id holds for all that was written about the thing: the tables are made again.
        if (auto rebuilt = rebuildInTransaction(file.db(), file.rules()); !rebuilt)
            return rebuilt.error();
        return fresh->id;
    });
}

} // namespace holdfast
