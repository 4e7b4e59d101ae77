// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/readers.h"

#include "dive/verbs.h"

#include <QHash>
#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>

namespace holdfast
{

namespace
{

std::optional<UtcTime> maybeTime(const Statement &row, int column)
{
    if (row.isNull(column))
        return {};
    return utcFromMicroseconds(row.integer(column));
}

QStringList listFromJson(const QString &json)
{
    QStringList list;
    for (const QJsonValue v : QJsonDocument::fromJson(json.toUtf8()).array())
        list << v.toString();
    return list;
}

DiveInfo diveFromRow(const Statement &row)
{
    return {static_cast<int>(row.integer(0)),
            row.text(1),
            row.text(2),
            row.text(3),
            maybeTime(row, 4),
            maybeTime(row, 5),
            maybeTime(row, 6),
            maybeTime(row, 7),
            maybeTime(row, 8)};
}

StampInfo stampFromRow(const Statement &row)
{
    return {row.text(0),
            static_cast<int>(row.integer(1)),
            utcFromMicroseconds(row.integer(2)),
            row.text(3),
            row.text(4),
            row.text(5),
            row.text(6)};
}

SampleInfo sampleFromRow(const Statement &row)
{
    SampleInfo s;
    s.id = row.text(0);
    s.uuid = row.text(1);
    s.dive = static_cast<int>(row.integer(2));
    s.number = static_cast<int>(row.integer(3));
    s.stamp = row.text(4);
    s.time = utcFromMicroseconds(row.integer(5));
    s.slot = row.text(6);
    s.kind = row.text(7);
    s.family = row.text(8);
    s.count = static_cast<int>(row.integer(9));
    s.description = row.text(10);
    s.tool = row.text(11);
    s.askedBy = row.text(12);
    s.permit = row.text(13);
    s.loggedBy = row.text(14);
    s.state = row.text(15);
    s.warnings = listFromJson(row.text(16));
    s.momentKnown = !QJsonDocument::fromJson(row.text(17).toUtf8()).object().contains(verb::seenFrom);
    return s;
}

const QString diveColumns =
    QStringLiteral("number, vehicle, loadout, loadout_json, launched_us, on_bottom_us, "
                   "off_bottom_us, on_deck_us, closed_us");
const QString stampColumns = QStringLiteral("uuid, dive, time_us, by_whom, state, reason, seen");
const QString sampleColumns =
    QStringLiteral("id, uuid, dive, number, stamp, time_us, slot, kind, family, count, "
                   "description, tool, asked_by, permit, logged_by, state, warnings, "
                   "(SELECT seen FROM stamp WHERE stamp.uuid=sample.stamp)");

template <typename T, typename F>
Result<std::vector<T>> allRows(Result<Statement> rows, F fromRow)
{
    if (!rows)
        return rows.error();
    std::vector<T> out;
    while (rows->next())
        out.push_back(fromRow(*rows));
    return out;
}

} // namespace

Result<CruiseInfo> readCruise(const Database &db)
{
    auto row = query(db.connection(), QStringLiteral("SELECT code, title, id_pattern FROM cruise"));
    if (!row)
        return row.error();
    if (!row->next())
        return fail(ErrorKind::Malformed, QStringLiteral("%1 holds no cruise.").arg(db.path()));
    return CruiseInfo{row->text(0), row->text(1), row->text(2)};
}

Result<std::vector<DiveInfo>> readDives(const Database &db)
{
    return allRows<DiveInfo>(
        query(db.connection(), QStringLiteral("SELECT %1 FROM dive ORDER BY number").arg(diveColumns)),
        diveFromRow);
}

Result<DiveInfo> readDive(const Database &db, int number)
{
    auto row = query(db.connection(), QStringLiteral("SELECT %1 FROM dive WHERE number=?").arg(diveColumns),
                     {number});
    if (!row)
        return row.error();
    if (row->next())
        return diveFromRow(*row);
    const auto dives = readDives(db);
    if (!dives)
        return dives.error();
    QStringList numbers;
    for (const DiveInfo &dive : *dives)
        numbers << QString::number(dive.number);
    return fail(
        ErrorKind::NotFound,
        QStringLiteral("There is no dive %1 in %2; %3.")
            .arg(number)
            .arg(db.path(), numbers.isEmpty()
                                ? QStringLiteral("no dive has been planned yet")
                                : QStringLiteral("there are: %1").arg(numbers.join(QStringLiteral(", ")))));
}

Result<std::vector<SlotState>> readSlots(const Database &db, int dive)
{
    auto rows = query(
        db.connection(),
        QStringLiteral("SELECT code, container, accepts, mixing, lid_open_us, reachable, EXISTS (SELECT 1 "
                       "FROM lid WHERE lid.dive=slot.dive AND lid.slot=slot.code) FROM slot WHERE "
                       "dive=? ORDER BY place"),
        {dive});
    auto all = allRows<SlotState>(std::move(rows), [](const Statement &row) {
        SlotState s;
        s.code = row.text(0);
        s.container = row.text(1);
        s.accepts = row.text(2).split(QLatin1Char(' '));
        s.mixing = row.integer(3) != 0;
        s.lidOpen = !row.isNull(4);
        s.reachable = row.integer(5) != 0;
        s.lid = row.integer(6) != 0;
        return s;
    });
    if (!all)
        return all;
    QHash<QString, SlotState *> byCode;
    for (SlotState &slot : *all)
        byCode.insert(slot.code, &slot);
    auto held = query(
        db.connection(),
        QStringLiteral("SELECT slot, id, kind FROM sample WHERE dive=? AND state='held' AND slot IS NOT "
                       "NULL ORDER BY number"),
        {dive});
    if (!held)
        return held.error();
    while (held->next()) {
        if (SlotState *slot = byCode.value(held->text(0), nullptr)) {
            slot->held << held->text(1);
            slot->heldKinds << held->text(2);
        }
    }
    return all;
}

Result<std::vector<StampInfo>> readStamps(const Database &db, int dive)
{
    return allRows<StampInfo>(
        query(db.connection(),
              QStringLiteral("SELECT %1 FROM stamp WHERE dive=? ORDER BY time_us, uuid").arg(stampColumns),
              {dive}),
        stampFromRow);
}

Result<StampInfo> readStamp(const Database &db, const QString &uuid)
{
    auto row =
        query(db.connection(), QStringLiteral("SELECT %1 FROM stamp WHERE uuid=?").arg(stampColumns), {uuid});
    if (!row)
        return row.error();
    if (!row->next())
        return fail(ErrorKind::NotFound, QStringLiteral("That stamp is not in the file."));
    return stampFromRow(*row);
}

Result<std::vector<SampleInfo>> readSamples(const Database &db, int dive)
{
    return allRows<SampleInfo>(
        query(db.connection(),
              QStringLiteral("SELECT %1 FROM sample WHERE dive=? ORDER BY number").arg(sampleColumns),
              {dive}),
        sampleFromRow);
}

Result<SampleInfo> readSample(const Database &db, const QString &id)
{
    auto row =
        query(db.connection(), QStringLiteral("SELECT %1 FROM sample WHERE id=?").arg(sampleColumns), {id});
    if (!row)
        return row.error();
    if (!row->next())
        return fail(ErrorKind::NotFound, QStringLiteral("No sample has the id %1 in this cruise.").arg(id));
    return sampleFromRow(*row);
}

Result<std::vector<AmendmentInfo>> readAmendments(const Database &db, int dive)
{
    return allRows<AmendmentInfo>(
        query(db.connection(),
              QStringLiteral(
                  "SELECT sample, field, old_value, new_value, reason, by_whom, a.time_us FROM amendment a "
                  "JOIN sample s ON s.id=a.sample WHERE s.dive=? ORDER BY a.time_us, entry, field"),
              {dive}),
        [](const Statement &row) {
            return AmendmentInfo{row.text(0),
                                 row.text(1),
                                 row.text(2),
                                 row.text(3),
                                 row.text(4),
                                 row.text(5),
                                 utcFromMicroseconds(row.integer(6))};
        });
}

Result<std::vector<IntakeInfo>> readIntakes(const Database &db, int dive)
{
    return allRows<IntakeInfo>(
        query(db.connection(),
              QStringLiteral(
                  "SELECT uuid, profile, kind, file_name, sha256, by_whom, dive, bytes, accepted, repaired, "
                  "rejected, first_us, last_us, taken_us, replaced_by FROM intake WHERE dive=? ORDER BY "
                  "taken_us, uuid"),
              {dive}),
        [](const Statement &row) {
            IntakeInfo i;
            i.uuid = row.text(0);
            i.profile = row.text(1);
            i.kind = row.text(2);
            i.fileName = row.text(3);
            i.sha256 = row.text(4);
            i.by = row.text(5);
            i.dive = static_cast<int>(row.integer(6));
            i.bytes = row.integer(7);
            i.accepted = row.integer(8);
            i.repaired = row.integer(9);
            i.rejected = row.integer(10);
            i.first = maybeTime(row, 11);
            i.last = maybeTime(row, 12);
            i.taken = utcFromMicroseconds(row.integer(13));
            i.replaced = !row.isNull(14);
            return i;
        });
}

} // namespace holdfast
