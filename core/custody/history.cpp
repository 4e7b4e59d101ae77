// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/history.h"

#include "custody/custody_book.h"
#include "custody/custody_verbs.h"
#include "custody/entry_body.h"
#include "custody/items.h"
#include "dive/readers.h"
#include "dive/verbs.h"

#include <QSet>
#include <algorithm>

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

/// The id of the story's items that an entry speaks of; empty when it does not belong to the story.
QString aboutWhom(const Entry &e, const QJsonObject &body, const Scope &scope, UtcTime at)
{
    const QString item = scope.ancestry.back().id;
    const QString sample = scope.ancestry.front().id;
    const auto inTime = [&](const Line &l) { return !l.until || at <= *l.until; };
    if (e.verb == verb::phaseReached || e.verb == verb::phaseTakenBack ||
        e.verb == verb::custodianAppointed || e.verb == verb::diveClosed)
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
            "WHERE %1 OR verb IN ('phase reached', 'phase taken back', 'custodian appointed', 'dive closed', "
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
    History history;
    history.id = item->id;
    QHash<QString, std::size_t> byUuid;
    for (const Entry &e : *entries) {
        const QJsonObject body = e.bodyObject();
        const bool correction = e.verb == verb::entryAmended;
        const UtcTime at = happened(e, body);
        QString about = correction ? QString() : aboutWhom(e, body, *scope, at);
        if (correction && byUuid.contains(EntryBody::textIn(body, "entry")))
            about = history.lines[byUuid.value(EntryBody::textIn(body, "entry"))].about;
        if (about.isEmpty())
            continue;
        // The split that made a part is said of the part in its own story.
        if (e.verb == verb::specimenSplit && scope->of(EntryBody::textIn(body, "id")))
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
    const auto book = CustodyBook::readOf(db, item->id);
    if (!book)
        return book.error();
    history.custody = book->chainOf(item->id);
    return history;
}

} // namespace holdfast
