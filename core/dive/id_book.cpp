// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/id_book.h"

#include "base/ids.h"
#include "dive/verbs.h"
#include "ledger/canonical.h"
#include "ledger/ledger_store.h"

#include <QJsonArray>
#include <algorithm>

namespace holdfast
{

namespace
{

// The entry of core/custody that makes a part of a sample; its name is part of the record.
const QString partMade = QStringLiteral("specimen split");

QString textOf(const QJsonObject &body, const char *key)
{
    return body.value(QLatin1String(key)).toString();
}

/// The uuid of the thing that an entry brings into being, or an empty text.
QString madeBy(const Entry &entry, const QJsonObject &body)
{
    if (entry.verb == verb::sampleLogged)
        return textOf(body, "sample");
    if (entry.verb == partMade)
        return textOf(body, "specimen");
    return {};
}

/// Most texts of an entry can't be an id: they are not looked up.
bool mayBeId(const QString &text)
{
    return text.size() >= 3 && text.size() <= 64 && std::all_of(text.begin(), text.end(), [](QChar c) {
               return (c >= u'0' && c <= u'9') || (c >= u'A' && c <= u'Z') || c == u'-' || c == u'.';
           });
}

void collect(const QJsonValue &value, QStringList &ids)
{
    if (value.isString()) {
        if (mayBeId(value.toString()) && !ids.contains(value.toString()))
            ids << value.toString();
    } else if (value.isArray()) {
        for (const QJsonValue one : value.toArray())
            collect(one, ids);
    } else if (value.isObject()) {
        for (const QJsonValue one : value.toObject())
            collect(one, ids);
    }
}

} // namespace

Result<QJsonObject> idsIn(const Database &db, const QJsonObject &body)
{
    QStringList ids;
    collect(body, ids);
    QJsonObject mean;
    if (ids.isEmpty())
        return mean;
    auto look = Statement::prepare(
        db.connection(),
        QStringLiteral("SELECT uuid FROM sample WHERE id=? UNION ALL SELECT uuid FROM specimen WHERE id=?"));
    if (!look)
        return look.error();
    for (const QString &id : std::as_const(ids)) {
        if (auto ran = look->run({id, id}); !ran)
            return ran.error();
        if (look->next())
            mean.insert(id, look->text(0));
    }
    return mean;
}

Result<IdBook> IdBook::fromLedger(const Database &ledger)
{
    IdBook book;
    const auto heads = chainHeads(ledger);
    if (!heads)
        return heads.error();
    if (heads->size() < 2)
        return book;
    // A new id counts from the start, so that everything about the thing stands under it.
    auto read = forEachEntryWith(ledger, {verb::itemRenumbered}, [&book](const Entry &e) -> Done {
        const QJsonObject b = e.bodyObject();
        book.m_newIds.insert(textOf(b, "item"),
                             {textOf(b, "id"), b.value(QStringLiteral("number")).toInteger()});
        return {};
    });
    if (!read)
        return read.error();
    read = forEachEntryWith(ledger, {verb::sampleLogged, partMade}, [&book](const Entry &e) -> Done {
        book.enter(e);
        return {};
    });
    if (!read)
        return read.error();
    return book;
}

void IdBook::enter(const Entry &entry)
{
    const QJsonObject body = entry.bodyObject();
    const QString uuid = madeBy(entry, body);
    if (uuid.isEmpty() || m_things.contains(uuid))
        return;
    Thing thing{{uuid, entry.station, entry.uuid, {}, false},
                textOf(body, "id"),
                entry.seq,
                body.value(QStringLiteral("number")).toInteger()};
    QString wanted = thing.id;
    const auto renewed = m_newIds.constFind(uuid);
    if (renewed != m_newIds.constEnd()) {
        wanted = renewed->id;
        thing.number = renewed->number;
    } else if (const QString parent = textOf(body, "parent"); !parent.isEmpty()) {
        // A part goes by the id of what it was taken from.
        const QString from = meaning(parent, entry, body.value(idsMean).toObject());
        const QString shown = m_things.value(from).claim.shown;
        if (!shown.isEmpty() && shown != parent)
            wanted = partId(shown, static_cast<int>(thing.number));
    }
    thing.claim.shown = wanted;
    for (int again = 2; m_shown.contains(thing.claim.shown); ++again) {
        thing.claim.shown = QStringLiteral("%1-%2").arg(wanted).arg(again);
        thing.claim.provisional = true;
    }
    if (thing.claim.provisional)
        thing.number = provisionalNumbers + m_provisional++;
    m_plain = m_plain && thing.claim.shown == thing.id;
    m_shown.insert(thing.claim.shown, uuid);
    QStringList &given = m_given[thing.id];
    if (given.isEmpty())
        m_order << thing.id;
    given << uuid;
    m_things.insert(uuid, thing);
}

QString IdBook::meaning(const QString &id, const Entry &by, const QJsonObject &said) const
{
    const QString told = said.value(id).toString();
    if (!told.isEmpty())
        return told;
    const auto given = m_given.constFind(id);
    if (given == m_given.constEnd())
        return {};
    // A station that did not say more knew only the one it had given itself.
    for (const QString &uuid : *given) {
        const Thing &thing = *m_things.constFind(uuid);
        if (thing.claim.station == by.station && thing.seq <= by.seq)
            return uuid;
    }
    return given->front();
}

QJsonValue IdBook::translated(const QJsonValue &value, const Entry &by, const QJsonObject &said) const
{
    if (value.isString()) {
        const QString text = value.toString();
        const auto thing = m_things.constFind(mayBeId(text) ? meaning(text, by, said) : QString());
        return thing == m_things.constEnd() ? value : QJsonValue(thing->claim.shown);
    }
    if (value.isArray()) {
        QJsonArray list;
        for (const QJsonValue one : value.toArray())
            list.append(translated(one, by, said));
        return list;
    }
    if (value.isObject()) {
        QJsonObject object = value.toObject();
        for (auto it = object.begin(); it != object.end(); ++it) {
            if (it.key() != idsMean)
                it.value() = translated(it.value(), by, said);
        }
        return object;
    }
    return value;
}

Entry IdBook::resolved(const Entry &entry) const
{
    if (m_plain)
        return entry;
    const QJsonObject was = entry.bodyObject();
    QJsonObject body = translated(was, entry, was.value(idsMean).toObject()).toObject();
    if (const auto made = m_things.constFind(madeBy(entry, was)); made != m_things.constEnd()) {
        body.insert(QStringLiteral("id"), made->claim.shown);
        body.insert(QStringLiteral("number"), made->number);
    }
    Entry out = entry;
    // What came out of a canonical body, with other texts in it, can be written as one.
    if (const auto text = canonicalJson(body))
        out.body = QString::fromUtf8(*text);
    return out;
}

std::vector<IdBook::Clash> IdBook::clashes() const
{
    std::vector<Clash> all;
    for (const QString &id : m_order) {
        Clash clash{id, {}};
        bool open = false;
        for (const QString &uuid : m_given.value(id)) {
            const Thing &thing = *m_things.constFind(uuid);
            open = open || thing.claim.provisional;
            clash.claims.push_back(thing.claim);
        }
        if (open)
            all.push_back(std::move(clash));
    }
    return all;
}

} // namespace holdfast
