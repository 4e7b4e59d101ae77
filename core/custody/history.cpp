// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/history.h"

#include "custody/custody_book.h"
#include "custody/custody_verbs.h"
#include "custody/entry_body.h"
#include "custody/items.h"
#include "dive/readers.h"
#include "dive/verbs.h"
#include "ledger/ledger_store.h"

#include <QSet>
#include <algorithm>
#include <functional>
#include <tuple>

namespace holdfast
{

namespace
{

/// The item, its parent and its sample: from which time on each stops being this item's story.
struct Line {
    QString id;
    std::optional<UtcTime> until; ///< none for the item itself
};

/// What an item's story is made of, and which entries belong to it.
struct Scope {
    std::vector<Line> ancestry; ///< sample first
    QString stampUuid, slot;
    QSet<QString> slotCodes; ///< all it ever lay in
    int dive = 0;
    QSet<QString> seals, offers;

    [[nodiscard]] const Line *of(const QString &id) const
    {
        const auto it =
            std::find_if(ancestry.begin(), ancestry.end(), [&id](const Line &l) { return l.id == id; });
        return it == ancestry.end() ? nullptr : &*it;
    }
};

Result<Scope> scopeOf(const Database &db, const Item &item)
{
    Scope scope;
    scope.dive = item.dive;
    Item at = item;
    std::optional<UtcTime> until;
    for (;;) {
        scope.ancestry.insert(scope.ancestry.begin(), {at.id, until});
        if (at.parent.isEmpty())
            break;
        until = at.begun;
        auto parent = readItem(db, at.parent);
        if (!parent)
            return parent.error();
        at = *parent;
    }
    const auto sample = readSample(db, item.sample);
    if (!sample)
        return sample.error();
    scope.stampUuid = sample->stamp;
    scope.slotCodes.insert(sample->slot);
    auto moves = query(db.connection(),
                       QStringLiteral("SELECT old_value FROM amendment WHERE sample=? AND field='slot'"),
                       {item.sample});
    if (!moves)
        return moves.error();
    while (moves->next())
        scope.slotCodes.insert(moves->text(0));
    scope.slotCodes.remove(QString());
    for (const Line &l : scope.ancestry) {
        auto seals =
            query(db.connection(), QStringLiteral("SELECT seal FROM seal_item WHERE item=?"), {l.id});
        if (!seals)
            return seals.error();
        while (seals->next())
            scope.seals.insert(seals->text(0));
    }
    return scope;
}

QStringList idsIn(const QJsonObject &body)
{
    QStringList ids;
    for (const char *key : {"items", "accepted", "values", "refused"}) {
        for (const QJsonValue v : body.value(QLatin1String(key)).toArray())
            ids << (v.isString() ? v.toString() : v.toObject().value(QLatin1String("id")).toString());
    }
    if (body.contains(QLatin1String("id")))
        ids << body.value(QLatin1String("id")).toString();
    if (body.contains(QLatin1String("parent")))
        ids << body.value(QLatin1String("parent")).toString();
    return ids;
}

/// Said of a dive as a whole.
bool isOfADive(const QString &verb)
{
    static const QStringList all{verb::phaseReached, verb::phaseTakenBack, verb::phaseCorrected,
                                 verb::custodianAppointed, verb::diveClosed};
    return all.contains(verb);
}

/// The id of the story's items that an entry speaks of; empty when it does not belong to the story.
QString aboutWhom(const Entry &e, const QJsonObject &body, const Scope &scope, UtcTime at)
{
    const QString item = scope.ancestry.back().id;
    const QString sample = scope.ancestry.front().id;
    const auto inTime = [&](const Line &l) { return !l.until || at <= *l.until; };
    if (isOfADive(e.verb))
        return body.value(QStringLiteral("dive")).toInteger() == scope.dive && inTime(scope.ancestry.front())
                   ? sample
                   : QString();
    if (e.verb == verb::slotTallied)
        return body.value(QStringLiteral("dive")).toInteger() == scope.dive &&
                       scope.slotCodes.contains(body.value(QStringLiteral("slot")).toString())
                   ? sample
                   : QString();
    if (e.verb == verb::sealInspected || e.verb == verb::sealBroken)
        return scope.seals.contains(body.value(QStringLiteral("seal")).toString()) ? item : QString();
    if (body.value(QStringLiteral("stamp")).toString() == scope.stampUuid && !scope.stampUuid.isEmpty())
        return sample;
    const QStringList ids = idsIn(body);
    for (auto line = scope.ancestry.rbegin(); line != scope.ancestry.rend(); ++line) {
        if (ids.contains(line->id) && (inTime(*line) || e.verb == verb::valuesAccepted))
            return line->id;
    }
    return {};
}

UtcTime happened(const Entry &e, const QJsonObject &body)
{
    const QJsonValue us = body.value(QStringLiteral("timeUs"));
    return utcFromMicroseconds(us.isDouble() ? us.toInteger() : e.timeUs);
}

/// Entries that may speak of the story: a coarse look at the bodies, sorted out afterwards.
Result<std::vector<Entry>> candidates(const Database &db, const Scope &scope)
{
    QStringList wanted;
    QVariantList values;
    const auto like = [&](const QString &text) {
        wanted << QStringLiteral("instr(body, ?) > 0");
        values << QVariant(QLatin1Char('"') + text + QLatin1Char('"'));
    };
    for (const Line &l : scope.ancestry)
        like(l.id);
    like(scope.stampUuid);
    for (const QString &seal : scope.seals)
        like(seal);
    auto statement = Statement::prepare(
        db.connection(),
        QStringLiteral(
            "SELECT station, seq, lamport, uuid, time_us, actor, verb, body, prev, hash FROM ledger "
            "WHERE %1 OR verb IN ('phase reached', 'phase taken back', 'phase corrected', 'custodian "
            "appointed', 'dive closed', "
            "'slot "
            "tallied', 'entry amended') ORDER BY lamport, station, seq")
            .arg(wanted.join(QStringLiteral(" OR "))));
    if (!statement)
        return statement.error();
    if (auto done = statement->run(values); !done)
        return done.error();
    std::vector<Entry> out;
    while (statement->next())
        out.push_back({statement->text(0), statement->integer(1), statement->integer(2), statement->text(3),
                       statement->integer(4), statement->text(5), statement->text(6), statement->text(7),
                       statement->text(8), statement->text(9)});
    return out;
}

QString struckText(const QString &field, const QString &oldValue, const QString &newValue, const QString &by,
                   const QString &reason)
{
    const auto shown = [](const QString &v) { return v.isEmpty() ? QStringLiteral("nothing") : v; };
    return QStringLiteral("%1 was \"%2\", corrected to \"%3\" (%4: %5)")
        .arg(field, shown(oldValue), shown(newValue), by, reason);
}

/// A time that was said again, or corrected, is struck where it was said first.
void strikeMoment(std::vector<HistoryLine> &lines, const Entry &e, const QJsonObject &body)
{
    const bool stamp = e.verb == verb::stampTimeCorrected;
    const QString phase = EntryBody::textIn(body, "phase");
    const auto before = std::find_if(lines.rbegin(), lines.rend(), [&](const HistoryLine &l) {
        return stamp ? l.verb == verb::stampTaken
                     : l.verb == verb::phaseReached && l.sentence.endsWith(QLatin1Char(' ') + phase);
    });
    if (before == lines.rend())
        return;
    const bool said = body.contains(QLatin1String("timeUs"));
    const UtcTime now = utcFromMicroseconds(body.value(QLatin1String(said ? "timeUs" : "toUs")).toInteger());
    before->struck << struckText(QStringLiteral("time"), toIso(before->at), toIso(now), e.actor,
                                 said ? QStringLiteral("said again") : EntryBody::textIn(body, "reason"));
}

/// Puts a correction beside what it corrects, so that the struck value is read where it stood.
void strike(std::vector<HistoryLine> &lines, const Entry &e, const QJsonObject &body,
            const QHash<QString, std::size_t> &byUuid)
{
    const auto text = [&body](const char *key) { return EntryBody::textIn(body, key); };
    if (e.verb == verb::entryAmended) {
        const auto target = byUuid.constFind(text("entry"));
        if (target != byUuid.constEnd())
            lines[*target].struck << struckText(text("field"), text("old"), text("new"), e.actor,
                                                text("reason"));
        return;
    }
    if (e.verb == verb::stampTimeCorrected || e.verb == verb::phaseCorrected ||
        e.verb == verb::phaseReached) {
        strikeMoment(lines, e, body);
        return;
    }
    const bool specimen = e.verb == verb::specimenAmended;
    if (!specimen && e.verb != verb::sampleAmended)
        return;
    const auto origin = std::find_if(lines.begin(), lines.end(), [&](const HistoryLine &l) {
        return l.verb == (specimen ? verb::specimenSplit : verb::sampleLogged) && l.about == text("id");
    });
    if (origin == lines.end())
        return;
    if (specimen)
        origin->struck << struckText(text("field"), text("old"), text("new"), e.actor, text("reason"));
    for (const QJsonValue v : body.value(QStringLiteral("changes")).toArray()) {
        const QJsonObject c = v.toObject();
        origin->struck << struckText(EntryBody::textIn(c, "field"), EntryBody::textIn(c, "old"),
                                     EntryBody::textIn(c, "new"), e.actor, text("reason"));
    }
}

} // namespace

namespace
{

/// What belongs to the story of the entries that may.
History storyOf(const QString &id, const Scope &scope, const std::vector<const Entry *> &entries)
{
    History history;
    history.id = id;
    QHash<QString, std::size_t> byUuid;
    for (const Entry *entry : entries) {
        const Entry &e = *entry;
        const QJsonObject body = e.bodyObject();
        const bool correction = e.verb == verb::entryAmended;
        const UtcTime at = happened(e, body);
        QString about = correction ? QString() : aboutWhom(e, body, scope, at);
        if (correction && byUuid.contains(EntryBody::textIn(body, "entry")))
            about = history.lines[byUuid.value(EntryBody::textIn(body, "entry"))].about;
        if (about.isEmpty())
            continue;
        // The split that made a part is said of the part in its own story.
        if (e.verb == verb::specimenSplit && scope.of(EntryBody::textIn(body, "id")))
            about = EntryBody::textIn(body, "id");
        strike(history.lines, e, body, byUuid);
        byUuid.insert(e.uuid, history.lines.size());
        history.lines.push_back({at,
                                 utcFromMicroseconds(e.timeUs),
                                 e.actor,
                                 QStringLiteral("%1 %2").arg(e.station).arg(e.seq),
                                 e.verb,
                                 about,
                                 entrySentence(e, about),
                                 {}});
    }
    std::stable_sort(history.lines.begin(), history.lines.end(),
                     [](const HistoryLine &a, const HistoryLine &b) { return a.at < b.at; });
    return history;
}

/// The texts that stand between quotation marks; keys are among them, which does no harm.
void textsIn(const QString &body, const std::function<void(const QString &)> &take)
{
    for (qsizetype from = body.indexOf(QLatin1Char('"')); from >= 0;) {
        const qsizetype to = body.indexOf(QLatin1Char('"'), from + 1);
        if (to < 0)
            return;
        const bool key = to + 1 < body.size() && body.at(to + 1) == QLatin1Char(':');
        if (!key && to > from + 1)
            take(body.mid(from + 1, to - from - 1));
        from = body.indexOf(QLatin1Char('"'), to + 1);
    }
}

} // namespace

Result<History> readHistory(const Database &db, const QString &typedId)
{
    const auto item = readItem(db, typedId);
    if (!item)
        return item.error();
    const auto scope = scopeOf(db, *item);
    if (!scope)
        return scope.error();
    const auto entries = candidates(db, *scope);
    if (!entries)
        return entries.error();
    std::vector<const Entry *> all;
    for (const Entry &e : *entries)
        all.push_back(&e);
    History history = storyOf(item->id, *scope, all);
    const auto book = CustodyBook::readOf(db, item->id);
    if (!book)
        return book.error();
    history.custody = book->chainOf(item->id);
    return history;
}

Result<HistoryBook> HistoryBook::readAll(const Database &db)
{
    HistoryBook book;
    const auto read = forEachEntry(db, [&book](const Entry &e) -> Done {
        book.m_entries.push_back(e);
        return {};
    });
    if (!read)
        return read.error();
    std::sort(book.m_entries.begin(), book.m_entries.end(), [](const Entry &a, const Entry &b) {
        return std::tie(a.lamport, a.station, a.seq) < std::tie(b.lamport, b.station, b.seq);
    });
    for (std::size_t i = 0; i < book.m_entries.size(); ++i) {
        const Entry &e = book.m_entries[i];
        if (e.verb == verb::entryAmended)
            book.m_corrections.push_back(i);
        if (isOfADive(e.verb) || e.verb == verb::slotTallied)
            book.m_ofDive[static_cast<int>(e.bodyObject().value(QStringLiteral("dive")).toInteger())]
                .push_back(i);
        textsIn(e.body, [&](const QString &text) {
            std::vector<std::size_t> &naming = book.m_naming[text];
            if (naming.empty() || naming.back() != i)
                naming.push_back(i);
        });
    }
    return book;
}

Result<History> HistoryBook::of(const Database &db, const QString &id, CustodyChain custody) const
{
    const auto item = readItem(db, id);
    if (!item)
        return item.error();
    const auto scope = scopeOf(db, *item);
    if (!scope)
        return scope.error();
    std::vector<std::size_t> places = m_corrections;
    const auto add = [&places](const std::vector<std::size_t> &more) {
        places.insert(places.end(), more.begin(), more.end());
    };
    add(m_ofDive.value(scope->dive));
    add(m_naming.value(scope->stampUuid));
    for (const Line &l : scope->ancestry)
        add(m_naming.value(l.id));
    for (const QString &seal : scope->seals)
        add(m_naming.value(seal));
    std::sort(places.begin(), places.end());
    places.erase(std::unique(places.begin(), places.end()), places.end());
    std::vector<const Entry *> entries;
    for (const std::size_t i : places)
        entries.push_back(&m_entries[i]);
    History history = storyOf(item->id, *scope, entries);
    history.custody = std::move(custody);
    return history;
}

} // namespace holdfast
