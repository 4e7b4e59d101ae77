// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/plan_projection.h"

#include "dive/loadout.h"
#include "dive/loadout_merge.h"
#include "dive/verbs.h"

#include <QJsonDocument>

namespace holdfast
{

namespace
{

QString s(const char *text)
{
    return QString::fromLatin1(text);
}

QString textIn(const QJsonObject &body, const char *key)
{
    const QString t = body.value(QLatin1String(key)).toString();
    return t.isNull() ? s("") : t;
}

QString jsonText(const QJsonObject &object)
{
    return QString::fromUtf8(QJsonDocument(object).toJson(QJsonDocument::Compact));
}

Result<Loadout> loadoutOf(qint64 dive, const QJsonObject &json)
{
    return parseLoadout(json, QStringLiteral("The loadout of dive %1").arg(dive));
}

/// The loadout that the tables have; an empty object when the dive is not there.
Result<QJsonObject> plannedNow(const Database &db, qint64 dive)
{
    auto row = query(db.connection(), s("SELECT loadout_json FROM dive WHERE number=?"), {dive});
    if (!row)
        return row.error();
    return row->next() ? QJsonDocument::fromJson(row->text(0).toUtf8()).object() : QJsonObject();
}

/// The slots of a dive as its plan has them; what is in none of them goes.
Done layOut(const Database &db, qint64 dive, const Loadout &loadout)
{
    QStringList codes;
    int place = 0;
    for (const Loadout::Place &p : loadout.inUnloadOrder()) {
        codes << p.slot->code;
        if (auto done = execSql(
                db.connection(),
                s("INSERT INTO slot (dive, code, container, accepts, mixing, place) VALUES (?,?,?,?,?,?) ON "
                  "CONFLICT (dive, code) DO UPDATE SET container=excluded.container, "
                  "accepts=excluded.accepts, mixing=excluded.mixing, place=excluded.place"),
                {dive, p.slot->code, p.box->container, p.slot->accepts.join(QLatin1Char(' ')),
                 p.slot->mixing ? 1 : 0, place++});
            !done)
            return done;
    }
    auto rows = query(db.connection(), s("SELECT code FROM slot WHERE dive=?"), {dive});
    if (!rows)
        return rows.error();
    QStringList gone;
    while (rows->next()) {
        if (!codes.contains(rows->text(0)))
            gone << rows->text(0);
    }
    rows->reset();
    for (const QString &code : std::as_const(gone)) {
        if (auto done = execSql(db.connection(), s("DELETE FROM slot WHERE dive=? AND code=?"), {dive, code});
            !done)
            return done;
    }
    return {};
}

/// The dive gets this vehicle and plan, and its slots follow.
Done setPlan(const Database &db, qint64 dive, const QString &vehicle, const QJsonObject &plan)
{
    const auto loadout = loadoutOf(dive, plan);
    if (!loadout)
        return loadout.error();
    if (auto done =
            execSql(db.connection(), s("UPDATE dive SET vehicle=?, loadout=?, loadout_json=? WHERE number=?"),
                    {vehicle, loadout->name, jsonText(plan), dive});
        !done)
        return done;
    return layOut(db, dive, *loadout);
}

Done divePlanned(const Database &db, const Entry &e)
{
    const QJsonObject b = e.bodyObject();
    const qint64 dive = b.value(s("number")).toInteger();
    const QJsonObject plan = b.value(s("loadout")).toObject();
    const auto now = plannedNow(db, dive);
    if (!now)
        return now.error();
    // Two stations planned it without knowing of each other: the later plan counts until a person has said
    // what is right, and all slots of both stay, for the samples of both.
    if (!now->isEmpty())
        return setPlan(db, dive, textIn(b, "vehicle"), withSlotsOf(plan, *now, slotCodesOf(*now)));
    const auto loadout = loadoutOf(dive, plan);
    if (!loadout)
        return loadout.error();
    if (auto done =
            execSql(db.connection(),
                    s("INSERT INTO dive (number, uuid, vehicle, loadout, loadout_json, planned_us) VALUES "
                      "(?,?,?,?,?,?)"),
                    {dive, textIn(b, "uuid"), textIn(b, "vehicle"), loadout->name, jsonText(plan), e.timeUs});
        !done)
        return done;
    return layOut(db, dive, *loadout);
}

/// Slots in which something lies or lay, or that somebody has looked at.
Result<QStringList> usedSlots(const Database &db, qint64 dive)
{
    auto rows =
        query(db.connection(),
              s("SELECT slot FROM sample WHERE dive=? AND slot IS NOT NULL UNION SELECT slot FROM lid "
                "WHERE dive=? UNION SELECT slot FROM tally WHERE dive=?"),
              {dive, dive, dive});
    if (!rows)
        return rows.error();
    QStringList codes;
    while (rows->next())
        codes << rows->text(0);
    return codes;
}

Done divePlannedAgain(const Database &db, const Entry &e)
{
    const QJsonObject b = e.bodyObject();
    const qint64 dive = b.value(s("number")).toInteger();
    const auto now = plannedNow(db, dive);
    if (!now)
        return now.error();
    if (now->isEmpty())
        return fail(ErrorKind::NotFound, QStringLiteral("dive %1 is not in the tables").arg(dive));
    const auto used = usedSlots(db, dive);
    if (!used)
        return used.error();
    return setPlan(db, dive, textIn(b, "vehicle"),
                   withSlotsOf(b.value(s("loadout")).toObject(), *now, *used));
}

} // namespace

Done needSlot(const Database &db, qint64 dive, const QString &code)
{
    auto row = query(db.connection(), s("SELECT 1 FROM slot WHERE dive=? AND code=?"), {dive, code});
    if (!row)
        return row.error();
    if (code.isEmpty() || row->next())
        return {};
    row->reset();
    auto about = query(db.connection(), s("SELECT vehicle, loadout_json FROM dive WHERE number=?"), {dive});
    if (!about)
        return about.error();
    if (!about->next())
        return {}; // the entry that needs it will say that there is no such dive
    const QString vehicle = about->text(0);
    const QJsonObject now = QJsonDocument::fromJson(about->text(1).toUtf8()).object();
    about->reset();
    const QJsonObject back = withSlotBack(now, code);
    return back == now ? Done() : setPlan(db, dive, vehicle, back);
}

VerbRules planVerbRules()
{
    return {{verb::divePlanned, divePlanned}, {verb::divePlannedAgain, divePlannedAgain}};
}

} // namespace holdfast
