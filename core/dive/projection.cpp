// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/projection.h"

#include "dive/describe.h"
#include "dive/feed_setup.h"
#include "dive/log_use.h"
#include "dive/moments.h"
#include "dive/phases.h"
#include "dive/plan_projection.h"
#include "dive/ready_projection.h"
#include "dive/verbs.h"
#include "ledger/signature.h"

#include <QJsonArray>
#include <QJsonDocument>

namespace holdfast
{

namespace
{

/// An absent text is an empty one: the tables keep no null where a text belongs.
QString notNull(const QString &text)
{
    return text.isNull() ? QStringLiteral("") : text;
}

/// The body of an entry with its values at hand as bindable values.
struct Body {
    QJsonObject o;
    explicit Body(const Entry &entry) : o(entry.bodyObject()) {}
    [[nodiscard]] QString text(const char *key) const
    {
        return notNull(o.value(QLatin1String(key)).toString());
    }
    [[nodiscard]] QVariant textOrNull(const char *key) const
    {
        const QString t = o.value(QLatin1String(key)).toString();
        return t.isEmpty() ? QVariant(QMetaType(QMetaType::QString)) : QVariant(t);
    }
    [[nodiscard]] qint64 whole(const char *key) const { return o.value(QLatin1String(key)).toInteger(); }
    [[nodiscard]] QVariant wholeOrNull(const char *key) const
    {
        const QJsonValue v = o.value(QLatin1String(key));
        return v.isDouble() ? QVariant(v.toInteger()) : QVariant(QMetaType(QMetaType::LongLong));
    }
    [[nodiscard]] QString json(const char *key) const
    {
        const QJsonValue v = o.value(QLatin1String(key));
        if (v.isArray())
            return QString::fromUtf8(QJsonDocument(v.toArray()).toJson(QJsonDocument::Compact));
        return QString::fromUtf8(QJsonDocument(v.toObject()).toJson(QJsonDocument::Compact));
    }
};

Done run(const Database &db, const char *sql, std::initializer_list<QVariant> values)
{
    return execSql(db.connection(), QString::fromLatin1(sql), values);
}

Done cruiseOpened(const Database &db, const Entry &e)
{
    const Body b(e);
    return run(db, "INSERT INTO cruise (code, uuid, title, id_pattern, opened_us) VALUES (?,?,?,?,?)",
               {b.text("code"), b.text("uuid"), b.text("title"), b.text("idPattern"), e.timeUs});
}

Done stationJoined(const Database &db, const Entry &e)
{
    const Body b(e);
    const QVariant from = b.wholeOrNull("numbersFrom");
    return run(db, "INSERT INTO station (name, joined_us, public_key, numbers_from) VALUES (?,?,?,?)",
               {b.text("name"), e.timeUs, b.text("publicKey"), from.isNull() ? QVariant(1) : from});
}

Done keyAnnounced(const Database &db, const Entry &e)
{
    return run(db, "UPDATE station SET public_key=? WHERE name=?", {Body(e).text("publicKey"), e.station});
}

Done phaseReached(const Database &db, const Entry &e)
{
    const Body b(e);
    return setPhase(db, b.text("phase"), b.whole("dive"), b.whole("timeUs"));
}

Done phaseTakenBack(const Database &db, const Entry &e)
{
    const Body b(e);
    return setPhase(db, b.text("phase"), b.whole("dive"), {});
}

Done diveClosed(const Database &db, const Entry &e)
{
    return run(db, "UPDATE dive SET closed_us=? WHERE number=?", {e.timeUs, Body(e).whole("dive")});
}

Done stampTaken(const Database &db, const Entry &e)
{
    const Body b(e);
    return run(db,
               "INSERT INTO stamp (uuid, dive, time_us, by_whom, state, seen) VALUES (?,?,?,?,'waiting',?)",
               {b.text("stamp"), b.whole("dive"), b.whole("timeUs"), e.actor, b.json("seen")});
}

Done setStamp(const Database &db, const Entry &e, const QString &state)
{
    const Body b(e);
    return run(db, "UPDATE stamp SET state=?, reason=? WHERE uuid=?",
               {state, b.text("reason"), b.text("stamp")});
}

Done stampFailed(const Database &db, const Entry &e)
{
    return setStamp(db, e, QStringLiteral("failed"));
}
Done stampSetAside(const Database &db, const Entry &e)
{
    return setStamp(db, e, QStringLiteral("set aside"));
}
Done stampReopened(const Database &db, const Entry &e)
{
    return setStamp(db, e, QStringLiteral("waiting"));
}

/// needSlot() for the dive that `sql` finds.
Done needSlotOf(const Database &db, const char *sql, const QString &key, const QString &slot)
{
    if (slot.isEmpty())
        return {};
    auto row = query(db.connection(), QString::fromLatin1(sql), {key});
    if (!row)
        return row.error();
    if (!row->next())
        return {}; // what is projected next says what is missing
    const qint64 dive = row->integer(0);
    row->reset();
    return needSlot(db, dive, slot);
}

Done sampleLogged(const Database &db, const Entry &e)
{
    const Body b(e);
    if (auto there = needSlotOf(db, "SELECT dive FROM stamp WHERE uuid=?", b.text("stamp"), b.text("slot"));
        !there)
        return there;
    auto inserted =
        query(db.connection(),
              QStringLiteral(
                  "INSERT INTO sample (id, uuid, dive, number, stamp, time_us, slot, kind, family, count, "
                  "description, tool, asked_by, permit, logged_by, state, warnings) SELECT "
                  "?,?,dive,?,uuid,time_us,?,?,?,?,?,?,?,?,?,'held',? FROM stamp WHERE uuid=?"),
              {b.text("id"), b.text("sample"), b.whole("number"), b.textOrNull("slot"), b.text("kind"),
               b.text("family"), b.whole("count"), b.text("description"), b.text("tool"), b.text("askedBy"),
               b.text("permit"), e.actor, b.json("warnings"), b.text("stamp")});
    if (!inserted)
        return inserted.error();
    if (inserted->changed() != 1)
        return fail(ErrorKind::Malformed, QStringLiteral("its stamp is not in the tables"));
    inserted->reset();
    return run(db, "UPDATE stamp SET state='sample', reason='' WHERE uuid=?", {b.text("stamp")});
}

Done amendmentRow(const Database &db, const Entry &e, const QString &id, const QString &field,
                  const QString &oldValue, const QString &newValue)
{
    const Body b(e);
    return run(
        db,
        "INSERT INTO amendment (entry, sample, field, old_value, new_value, reason, by_whom, time_us) VALUES "
        "(?,?,?,?,?,?,?,?)",
        {e.uuid, id, field, notNull(oldValue), notNull(newValue), b.text("reason"), e.actor, e.timeUs});
}

Done sampleMoved(const Database &db, const Entry &e)
{
    const Body b(e);
    if (auto there = needSlotOf(db, "SELECT dive FROM sample WHERE id=?", b.text("id"), b.text("to")); !there)
        return there;
    if (auto done = run(db, "UPDATE sample SET slot=? WHERE id=?", {b.textOrNull("to"), b.text("id")}); !done)
        return done;
    return amendmentRow(db, e, b.text("id"), QStringLiteral("slot"), b.text("from"), b.text("to"));
}

Done sampleAmended(const Database &db, const Entry &e)
{
    // The columns a person may correct; any other name in an entry is damage, not a column to write to.
    static const QHash<QString, const char *> columns{
        {QStringLiteral("kind"), "UPDATE sample SET kind=? WHERE id=?"},
        {QStringLiteral("family"), "UPDATE sample SET family=? WHERE id=?"},
        {QStringLiteral("count"), "UPDATE sample SET count=CAST(? AS INTEGER) WHERE id=?"},
        {QStringLiteral("description"), "UPDATE sample SET description=? WHERE id=?"},
        {QStringLiteral("tool"), "UPDATE sample SET tool=? WHERE id=?"},
        {QStringLiteral("asked by"), "UPDATE sample SET asked_by=? WHERE id=?"},
        {QStringLiteral("permit"), "UPDATE sample SET permit=? WHERE id=?"},
    };
    const Body b(e);
    for (const QJsonValue v : b.o.value(QStringLiteral("changes")).toArray()) {
        const QJsonObject change = v.toObject();
        const QString field = change.value(QStringLiteral("field")).toString();
        const QString value = change.value(QStringLiteral("new")).toString();
        const char *sql = columns.value(field, nullptr);
        if (!sql)
            return fail(ErrorKind::Malformed, QStringLiteral("A sample has no field \"%1\".").arg(field));
        if (auto done = run(db, sql, {notNull(value), b.text("id")}); !done)
            return done;
        if (auto done = amendmentRow(db, e, b.text("id"), field,
                                     change.value(QStringLiteral("old")).toString(), value);
            !done)
            return done;
    }
    if (!b.o.contains(QStringLiteral("warnings")))
        return {};
    return run(db, "UPDATE sample SET warnings=? WHERE id=?", {b.json("warnings"), b.text("id")});
}

Done sampleState(const Database &db, const Entry &e)
{
    const Body b(e);
    if (auto done = run(db, "UPDATE sample SET state=? WHERE id=?", {b.text("to"), b.text("id")}); !done)
        return done;
    return amendmentRow(db, e, b.text("id"), QStringLiteral("state"), b.text("from"), b.text("to"));
}

Done lidMoved(const Database &db, const Entry &e)
{
    const Body b(e);
    const bool open = b.o.value(QStringLiteral("open")).toBool();
    if (auto there = needSlot(db, b.whole("dive"), b.text("slot")); !there)
        return there;
    if (auto done = run(db, "INSERT INTO lid (entry, dive, slot, open, time_us) VALUES (?,?,?,?,?)",
                        {e.uuid, b.whole("dive"), b.text("slot"), open ? 1 : 0, b.whole("timeUs")});
        !done)
        return done;
    return run(db, "UPDATE slot SET lid_open_us=? WHERE dive=? AND code=?",
               {open ? QVariant(b.whole("timeUs")) : QVariant(QMetaType(QMetaType::LongLong)),
                b.whole("dive"), b.text("slot")});
}

Done reachChanged(const Database &db, const Entry &e)
{
    const Body b(e);
    return run(db, "UPDATE slot SET reachable=? WHERE dive=? AND code=?",
               {b.o.value(QStringLiteral("reachable")).toBool() ? 1 : 0, b.whole("dive"), b.text("slot")});
}

Done logTakenIn(const Database &db, const Entry &e)
{
    const Body b(e);
    if (auto done =
            run(db, "UPDATE intake SET replaced_by=? WHERE uuid=?", {b.text("intake"), b.text("replaces")});
        !done)
        return done;
    return run(db,
               "INSERT INTO intake (uuid, dive, profile, kind, file_name, sha256, digest, bytes, accepted, "
               "repaired, "
               "rejected, "
               "first_us, last_us, taken_us, by_whom) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)",
               {b.text("intake"), b.whole("dive"), b.text("profile"), b.text("kind"), b.text("fileName"),
                b.text("sha256"), b.text("digest"), b.whole("bytes"), b.whole("accepted"),
                b.whole("repaired"), b.whole("rejected"), b.wholeOrNull("firstUs"), b.wholeOrNull("lastUs"),
                e.timeUs, e.actor});
}

Done sensorsCorrected(const Database &db, const Entry &e)
{
    const Body b(e);
    if (auto done = run(db, "UPDATE intake SET digest=? WHERE uuid=?", {b.text("digest"), b.text("intake")});
        !done)
        return done;
    return run(db,
               "INSERT INTO sensor_correction (entry, lamport, intake, lag_us, pressure_offset, reason, "
               "by_whom, time_us) VALUES (?,?,?,?,?,?,?,?)",
               {e.uuid, e.lamport, b.text("intake"), b.whole("temperatureLagUs"),
                b.text("pressureOffsetDbar"), b.text("reason"), e.actor, e.timeUs});
}

Done clockOffsetApplied(const Database &db, const Entry &e)
{
    const Body b(e);
    return run(db,
               "INSERT INTO clock_offset (dive, log, offset_us, entry) VALUES (?,?,?,?) ON CONFLICT (dive, "
               "log) DO UPDATE "
               "SET offset_us=excluded.offset_us, entry=excluded.entry",
               {b.whole("dive"), b.text("log"), b.whole("offsetUs"), e.uuid});
}

Done valuesAccepted(const Database &db, const Entry &e)
{
    const Body b(e);
    for (const QJsonValue v : b.o.value(QStringLiteral("values")).toArray()) {
        const QJsonObject value = v.toObject();
        const QString json = QString::fromUtf8(QJsonDocument(value).toJson(QJsonDocument::Compact));
        if (auto done = run(
                db,
                "INSERT INTO accepted_value (entry, sample, lamport, value, reason, by_whom, time_us) VALUES "
                "(?,?,?,?,?,?,?)",
                {e.uuid, value.value(QStringLiteral("id")).toString(), e.lamport, json, b.text("reason"),
                 e.actor, e.timeUs});
            !done)
            return done;
    }
    return {};
}

/// What an entry says to those who read the ledger itself (id_book.h, the list of conflicts): it has no
/// table.
Done onlyInTheLedger(const Database &, const Entry &)
{
    return {};
}

} // namespace

VerbRules diveVerbRules()
{
    VerbRules rules{
        {verb::cruiseOpened, cruiseOpened},
        {verb::stationJoined, stationJoined},
        {keyAnnouncedVerb, keyAnnounced},
        {verb::phaseReached, phaseReached},
        {verb::phaseTakenBack, phaseTakenBack},
        {verb::diveClosed, diveClosed},
        {verb::stampTaken, stampTaken},
        {verb::stampFailed, stampFailed},
        {verb::stampSetAside, stampSetAside},
        {verb::stampReopened, stampReopened},
        {verb::sampleLogged, sampleLogged},
        {verb::sampleMoved, sampleMoved},
        {verb::sampleAmended, sampleAmended},
        {verb::sampleState, sampleState},
        {verb::lidMoved, lidMoved},
        {verb::reachChanged, reachChanged},
        {verb::logTakenIn, logTakenIn},
        {verb::sensorsCorrected, sensorsCorrected},
        {verb::clockOffsetApplied, clockOffsetApplied},
        {verb::valuesAccepted, valuesAccepted},
        {verb::pinSet, onlyInTheLedger},
        {verb::itemRenumbered, onlyInTheLedger},
        {verb::conflictSettled, onlyInTheLedger},
    };
    rules.insert(describeVerbRules());
    rules.insert(planVerbRules());
    rules.insert(momentVerbRules());
    rules.insert(logUseVerbRules());
    rules.insert(feedVerbRules());
    rules.insert(readyVerbRules());
    return rules;
}

} // namespace holdfast
