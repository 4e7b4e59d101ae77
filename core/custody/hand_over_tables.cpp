// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/ids.h"
#include "custody/custody_verbs.h"
#include "custody/entry_body.h"
#include "custody/hand_over.h"

#include <QJsonDocument>

namespace holdfast
{

namespace
{

/// One row of custody_event; what is left empty does not apply.
struct EventRow {
    QString item, what, offer, holder, other, carrier, basis, place, reason;
};

Done insertEvent(const Database &db, const Entry &e, const EventRow &row)
{
    const auto text = [](const QString &t) { return t.isNull() ? QStringLiteral("") : t; };
    return execSql(db.connection(),
                   QStringLiteral("INSERT INTO custody_event (entry, item, lamport, what, offer, holder, "
                                  "other, carrier, basis, place, reason, by_whom, time_us) VALUES "
                                  "(?,?,?,?,?,?,?,?,?,?,?,?,?)"),
                   {e.uuid, row.item, e.lamport, row.what, text(row.offer), text(row.holder), text(row.other),
                    text(row.carrier), text(row.basis), text(row.place), text(row.reason), e.actor,
                    EntryBody(e).whole("timeUs")});
}

QStringList texts(const QJsonArray &list)
{
    QStringList out;
    for (const QJsonValue v : list)
        out << v.toString();
    return out;
}

QString jsonText(const QJsonObject &body, const char *key)
{
    return QString::fromUtf8(
        QJsonDocument(body.value(QLatin1String(key)).toObject()).toJson(QJsonDocument::Compact));
}

/// The same row for every id in `items`.
Done insertEvents(const Database &db, const Entry &e, EventRow row)
{
    for (const QString &id : texts(EntryBody(e).list("items"))) {
        row.item = id;
        if (auto done = insertEvent(db, e, row); !done)
            return done;
    }
    return {};
}

Done custodianAppointed(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    return execSql(db.connection(),
                   QStringLiteral("INSERT INTO custodian (entry, lamport, dive, person, by_whom, time_us) "
                                  "VALUES (?,?,?,?,?,?)"),
                   {e.uuid, e.lamport, b.whole("dive"), b.text("person"), e.actor, b.whole("timeUs")});
}

Done offered(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    if (auto done = execSql(
            db.connection(),
            QStringLiteral("INSERT INTO hand_over (entry, lamport, offer, code, giver, receiver, purpose, "
                           "carrier, tracking, due_back_us, basis, place, remark, confirmation, by_whom, "
                           "time_us) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)"),
            {e.uuid, e.lamport, b.text("offer"), b.text("code"), b.text("from"), b.text("to"),
             b.text("purpose"), b.text("carrier"), b.text("tracking"), b.wholeOrNull("dueBackUs"),
             b.text("basis"), b.text("place"), b.text("remark"), jsonText(b.o, "confirmation"), e.actor,
             b.whole("timeUs")});
        !done)
        return done;
    return insertEvents(db, e,
                        {{},
                         QStringLiteral("offered"),
                         b.text("offer"),
                         b.text("from"),
                         b.text("to"),
                         b.text("carrier"),
                         b.text("basis"),
                         b.text("place"),
                         {}});
}

Done answered(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    if (auto done =
            execSql(db.connection(),
                    QStringLiteral("INSERT INTO hand_over_answer (entry, lamport, offer, receiver, "
                                   "condition, temperature_c, count, remark, confirmation, by_whom, time_us) "
                                   "VALUES (?,?,?,?,?,?,?,?,?,?,?)"),
                    {e.uuid, e.lamport, b.text("offer"), b.text("by"), b.text("condition"),
                     b.text("temperatureC"), b.wholeOrNull("count"), b.text("remark"),
                     jsonText(b.o, "confirmation"), e.actor, b.whole("timeUs")});
        !done)
        return done;
    for (const auto &[key, what] : {std::pair{"sealsIntact", QStringLiteral("intact")},
                                    std::pair{"sealsBroken", QStringLiteral("found broken")}}) {
        for (const QString &seal : texts(b.list(key))) {
            if (auto done = execSql(
                    db.connection(),
                    QStringLiteral(
                        "INSERT OR IGNORE INTO seal_event (entry, seal, lamport, what, place, reason, "
                        "by_whom, time_us) VALUES (?,?,?,?,?,'',?,?)"),
                    {e.uuid, seal, e.lamport, what, b.text("place"), b.text("by"), b.whole("timeUs")});
                !done)
                return done;
        }
    }
    EventRow row{{},
                 QStringLiteral("accepted"),
                 b.text("offer"),
                 b.text("by"),
                 b.text("from"),
                 {},
                 b.text("basis"),
                 b.text("place"),
                 {}};
    for (const QString &id : texts(b.list("accepted"))) {
        row.item = id;
        if (auto done = insertEvent(db, e, row); !done)
            return done;
    }
    for (const QJsonValue v : b.list("refused")) {
        const QJsonObject refused = v.toObject();
        if (auto done = insertEvent(db, e,
                                    {EntryBody::textIn(refused, "id"),
                                     QStringLiteral("refused"),
                                     b.text("offer"),
                                     b.text("from"),
                                     b.text("by"),
                                     {},
                                     {},
                                     {},
                                     EntryBody::textIn(refused, "reason")});
            !done)
            return done;
    }
    return {};
}

Done withdrawn(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    return insertEvents(
        db, e, {{}, QStringLiteral("withdrawn"), b.text("offer"), {}, {}, {}, {}, {}, b.text("reason")});
}

Done claimed(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    return insertEvents(db, e,
                        {{},
                         QStringLiteral("claimed"),
                         {},
                         b.text("by"),
                         {},
                         {},
                         b.text("basis"),
                         b.text("place"),
                         b.text("reason")});
}

Done secured(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    return insertEvents(db, e, {{}, QStringLiteral("secured"), {}, {}, {}, {}, b.text("basis"), {}, {}});
}

/// `reason` holds the word (consumed, lost …); the person's own reason is in the entry.
Done ended(const Database &db, const Entry &e)
{
    const EntryBody b(e);
    return insertEvents(
        db, e, {{}, QStringLiteral("ended"), {}, b.text("by"), {}, {}, {}, b.text("place"), b.text("how")});
}

const QString handOverColumns =
    QStringLiteral("entry, offer, code, giver, receiver, purpose, carrier, tracking, basis, place, remark, "
                   "by_whom, confirmation, due_back_us, time_us");

HandOverInfo handOverFromRow(const Statement &row)
{
    HandOverInfo h;
    h.entry = row.text(0);
    h.offer = row.text(1);
    h.code = row.text(2);
    h.from = row.text(3);
    h.to = row.text(4);
    h.purpose = row.text(5);
    h.carrier = row.text(6);
    h.tracking = row.text(7);
    h.basis = row.text(8);
    h.place = row.text(9);
    h.remark = row.text(10);
    h.by = row.text(11);
    h.confirmation = QJsonDocument::fromJson(row.text(12).toUtf8()).object();
    if (!row.isNull(13))
        h.dueBack = utcFromMicroseconds(row.integer(13));
    h.time = utcFromMicroseconds(row.integer(14));
    return h;
}

Done addItems(const Database &db, HandOverInfo &h)
{
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT DISTINCT item, what FROM custody_event WHERE offer=? ORDER BY item"),
              {h.offer});
    if (!rows)
        return rows.error();
    while (rows->next()) {
        const QString what = rows->text(1);
        QStringList &list = what == QLatin1String("offered")    ? h.items
                            : what == QLatin1String("accepted") ? h.accepted
                            : what == QLatin1String("refused")  ? h.refused
                                                                : h.withdrawn;
        list << rows->text(0);
    }
    // An item that was claimed or ended while in transit waits no longer.
    auto gone = query(db.connection(),
                      QStringLiteral("SELECT DISTINCT c.item FROM custody_event o JOIN custody_event c ON "
                                     "c.item=o.item WHERE o.offer=? AND o.what='offered' AND c.what IN "
                                     "('claimed', 'ended') AND c.time_us>=o.time_us"),
                      {h.offer});
    if (!gone)
        return gone.error();
    while (gone->next()) {
        const QString id = gone->text(0);
        if (!h.accepted.contains(id) && !h.refused.contains(id) && !h.withdrawn.contains(id))
            h.withdrawn << id;
    }
    return {};
}

} // namespace

QStringList HandOverInfo::open() const
{
    QStringList left;
    for (const QString &id : items) {
        if (!accepted.contains(id) && !refused.contains(id) && !withdrawn.contains(id))
            left << id;
    }
    return left;
}

Result<HandOverInfo> readHandOver(const Database &db, const QString &offer)
{
    const QString name = offer.trimmed();
    auto rows = query(db.connection(),
                      QStringLiteral("SELECT %1 FROM hand_over WHERE offer=? OR code=?").arg(handOverColumns),
                      {name.toLower(), name.toUpper()});
    if (!rows)
        return rows.error();
    std::vector<HandOverInfo> found;
    while (rows->next())
        found.push_back(handOverFromRow(*rows));
    if (found.empty())
        return fail(ErrorKind::NotFound, QStringLiteral("There is no hand-over %1.").arg(name));
    if (found.size() > 1)
        return fail(ErrorKind::Refused,
                    QStringLiteral("Two stations gave the code %1; say the hand-over by its uuid: %2 or %3.")
                        .arg(name, found[0].offer, found[1].offer));
    if (auto done = addItems(db, found.front()); !done)
        return done.error();
    return found.front();
}

Result<std::vector<HandOverInfo>> readHandOvers(const Database &db, bool openOnly)
{
    auto rows = query(
        db.connection(),
        QStringLiteral("SELECT %1 FROM hand_over ORDER BY time_us, lamport, entry").arg(handOverColumns));
    if (!rows)
        return rows.error();
    std::vector<HandOverInfo> all;
    while (rows->next()) {
        HandOverInfo h = handOverFromRow(*rows);
        if (auto done = addItems(db, h); !done)
            return done.error();
        if (!openOnly || !h.open().isEmpty())
            all.push_back(std::move(h));
    }
    return all;
}

VerbRules handOverVerbRules()
{
    return {
        {verb::custodianAppointed, custodianAppointed},
        {verb::handOverOffered, offered},
        {verb::handOverAnswered, answered},
        {verb::handOverWithdrawn, withdrawn},
        {verb::custodyClaimed, claimed},
        {verb::custodySecured, secured},
        {verb::custodyEnded, ended},
    };
}

} // namespace holdfast
