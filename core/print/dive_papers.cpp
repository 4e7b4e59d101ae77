// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/dive_papers.h"

#include "base/template_folder.h"
#include "dive/dive_values.h"
#include "dive/loadout.h"
#include "dive/readers.h"
#include "ledger/ledger_store.h"

#include <QHash>
#include <QJsonDocument>
#include <algorithm>

namespace holdfast
{

namespace
{

struct Valued {
    SampleInfo sample;
    NavFix fix;
    WaterValues water;
};

/// The samples of a dive with what the logs say of their moments.
Result<std::vector<Valued>> valuedSamples(const Database &db, int dive)
{
    const auto samples = readSamples(db, dive);
    if (!samples)
        return samples.error();
    std::vector<UtcTime> times;
    for (const SampleInfo &s : *samples)
        times.push_back(s.time);
    const auto track = diveTrack(db, dive, FixMethod::Smooth);
    if (!track)
        return track.error();
    const auto water = diveWater(db, dive, times);
    if (!water)
        return water.error();
    std::vector<Valued> out;
    for (std::size_t i = 0; i < samples->size(); ++i)
        out.push_back(samples->at(i).momentKnown
                          ? Valued{samples->at(i), track->at(times[i]), water->at(i)}
                          : Valued{samples->at(i), fixOfUnknownMoment(), waterOfUnknownMoment()});
    return out;
}

std::optional<double> valueOf(const WaterValue &v)
{
    return v.has() ? std::optional<double>(v.value) : std::nullopt;
}

/// The depth of a sample: from the CTD where it passes, else the vehicle's.
std::optional<double> depthOf(const Valued &v)
{
    const auto depth = valueOf(v.water.depthM);
    return depth ? depth : v.fix.depthM;
}

QString fixWord(const NavFix &fix)
{
    switch (fix.flag) {
    case FixFlag::Good:
        return {};
    case FixFlag::NotEvaluated:
        return QStringLiteral("not checked");
    case FixFlag::Suspect:
        return QStringLiteral("doubtful");
    case FixFlag::Fail:
        return QStringLiteral("failed");
    case FixFlag::NoFix:
        break;
    }
    return QStringLiteral("no fix");
}

QString waterWord(QcFlag flag)
{
    switch (flag) {
    case QcFlag::Pass:
        return {};
    case QcFlag::NotEvaluated:
        return QStringLiteral("not checked");
    case QcFlag::Suspect:
        return QStringLiteral("doubtful");
    case QcFlag::Fail:
        return QStringLiteral("failed");
    case QcFlag::Missing:
        break;
    }
    return QStringLiteral("none");
}

CustodySample sheetRow(const Valued &v)
{
    const SampleInfo &s = v.sample;
    CustodySample row;
    row.id = s.id;
    row.time = s.time;
    row.slot = s.slot;
    row.kind = s.kind;
    row.description =
        s.count > 1 ? QStringLiteral("%1 pieces, %2").arg(s.count).arg(s.description) : s.description;
    row.collectedBy = s.loggedBy;
    row.depthM = depthOf(v);
    row.temperatureDegC = valueOf(v.water.temperatureDegC);
    row.salinity = valueOf(v.water.practicalSalinity);
    row.oxygenUmolKg = valueOf(v.water.oxygenUmolKg);
    row.waterFlag = waterWord(v.water.flag);
    row.latitudeDeg = v.fix.latitudeDeg;
    row.longitudeDeg = v.fix.longitudeDeg;
    row.uncertainty95M = v.fix.uncertainty95M;
    row.fixFlag = fixWord(v.fix);
    row.note = s.warnings.join(QStringLiteral("; "));
    if (s.state == QLatin1String("void"))
        row.setAside = QStringLiteral("void");
    else if (s.state == QLatin1String("lost"))
        row.note =
            QStringLiteral("LOST") + (row.note.isEmpty() ? QString() : QStringLiteral("; ") + row.note);
    return row;
}

/// Attempts that gave no sample stand on the sheet too: the paper tells of every stamp.
Done addStampsWithoutSample(const Database &db, int dive, std::vector<CustodySample> &rows)
{
    const auto stamps = readStamps(db, dive);
    if (!stamps)
        return stamps.error();
    for (const StampInfo &stamp : *stamps) {
        if (stamp.state == QLatin1String("sample"))
            continue;
        CustodySample row;
        row.time = stamp.time;
        row.collectedBy = stamp.by;
        row.setAside =
            stamp.reason.isEmpty() ? stamp.state : QStringLiteral("%1: %2").arg(stamp.state, stamp.reason);
        rows.push_back(row);
    }
    return {};
}

Done addHeads(const Database &db, CustodySheetContent &sheet)
{
    const auto heads = chainHeads(db);
    if (!heads)
        return heads.error();
    for (const ChainHead &head : *heads)
        sheet.ledgerHeads.push_back({head.station, head.seq, head.hash});
    return {};
}

Done addPeople(const Database &db, int dive, CustodySheetContent &sheet)
{
    auto rows = query(
        db.connection(),
        QStringLiteral("SELECT by_whom, min(time_us) FROM stamp WHERE dive=? GROUP BY by_whom ORDER BY 2"),
        {dive});
    if (!rows)
        return rows.error();
    while (rows->next())
        sheet.people.push_back({rows->text(0), QStringLiteral("data logger")});
    return {};
}

} // namespace

Result<LabelStock> labelStock(const QString &name)
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    return loadLabelStock(*folder + QStringLiteral("/labels"), name);
}

Result<std::vector<LabelStock>> labelStocks()
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    return loadLabelStocks(*folder + QStringLiteral("/labels"));
}

Result<std::vector<LabelContent>> diveLabels(const Database &db, int dive)
{
    if (auto known = readDive(db, dive); !known)
        return known.error();
    const auto cruise = readCruise(db);
    if (!cruise)
        return cruise.error();
    const auto valued = valuedSamples(db, dive);
    if (!valued)
        return valued.error();
    std::vector<LabelContent> labels;
    for (const Valued &v : *valued) {
        if (v.sample.state == QLatin1String("void"))
            continue;
        LabelContent label;
        label.id = v.sample.id;
        label.cruise = cruise->code;
        label.dive = QString::number(dive);
        label.kind = v.sample.kind;
        label.description = v.sample.description;
        label.time = v.sample.time;
        label.depthM = depthOf(v);
        label.latitudeDeg = v.fix.latitudeDeg;
        label.longitudeDeg = v.fix.longitudeDeg;
        label.slot = v.sample.slot;
        labels.push_back(label);
    }
    if (labels.empty())
        return fail(ErrorKind::NotFound,
                    QStringLiteral("Dive %1 has no samples yet, so there is no label to print.").arg(dive));
    return labels;
}

Result<SlotPlanContent> diveSlotPlan(const Database &db, int dive)
{
    const auto info = readDive(db, dive);
    if (!info)
        return info.error();
    const auto states = readSlots(db, dive);
    if (!states)
        return states.error();
    const auto json =
        parseJsonObject(info->loadoutJson.toUtf8(), QStringLiteral("The loadout of dive %1").arg(dive));
    if (!json)
        return json.error();
    const auto loadout = parseLoadout(*json, QStringLiteral("The loadout of dive %1").arg(dive));
    if (!loadout)
        return loadout.error();
    QHash<QString, SlotState> byCode;
    for (const SlotState &state : *states)
        byCode.insert(state.code, state);
    SlotPlanContent plan;
    for (const BoxSpec &box : loadout->boxes) {
        plan.boxes.push_back({box.title, QRectF(box.area)});
        for (const SlotSpec &slot : box.slotList) {
            const SlotState state = byCode.value(slot.code);
            SlotPicture picture;
            picture.code = slot.code;
            picture.rect = QRectF(slot.area);
            picture.round = slot.round;
            for (const QString &id : state.held)
                picture.ids << id.section(QLatin1Char('-'), -1);
            if (!state.held.isEmpty()) {
                picture.look = state.held.size() > 1 ? SlotLook::Mixed : SlotLook::Taken;
                picture.stateWord = state.held.size() > 1
                                        ? QStringLiteral("%1 samples").arg(state.held.size())
                                        : state.heldKinds.front();
            } else {
                picture.look = state.reachable ? SlotLook::Free : SlotLook::Unusable;
                picture.stateWord = state.reachable ? QStringLiteral("free") : QStringLiteral("out of reach");
            }
            plan.slotPictures.push_back(picture);
        }
    }
    return plan;
}

Result<CustodySheetContent> diveSheet(const Database &db, int dive, const QString &printedBy,
                                      UtcTime printedAt, const QString &remark)
{
    const auto cruise = readCruise(db);
    if (!cruise)
        return cruise.error();
    const auto info = readDive(db, dive);
    if (!info)
        return info.error();
    const auto valued = valuedSamples(db, dive);
    if (!valued)
        return valued.error();
    auto plan = diveSlotPlan(db, dive);
    if (!plan)
        return plan.error();
    const auto amendments = readAmendments(db, dive);
    if (!amendments)
        return amendments.error();
    CustodySheetContent sheet;
    sheet.cruise = cruise->code;
    sheet.cruiseTitle = cruise->title;
    sheet.dive = QString::number(dive);
    sheet.vehicle = info->vehicle;
    sheet.launch = info->launched;
    sheet.onBottom = info->onBottom;
    sheet.offBottom = info->offBottom;
    sheet.onDeck = info->onDeck;
    sheet.closed = info->closed.has_value();
    sheet.plan = std::move(*plan);
    for (const Valued &v : *valued)
        sheet.samples.push_back(sheetRow(v));
    if (auto added = addStampsWithoutSample(db, dive, sheet.samples); !added)
        return added.error();
    for (const AmendmentInfo &a : *amendments)
        sheet.amendments.push_back({a.time, a.by, a.sample, a.field, a.oldValue, a.newValue, a.reason});
    if (auto added = addPeople(db, dive, sheet); !added)
        return added.error();
    if (auto added = addHeads(db, sheet); !added)
        return added.error();
    sheet.printedBy = printedBy;
    sheet.printedAt = printedAt;
    sheet.remark = remark;
    return sheet;
}

Result<LabelSheets> diveLabelSheets(const Database &db, int dive, const QString &stock, int startPosition)
{
    LabelJob job;
    auto found = labelStock(stock);
    if (!found)
        return found.error();
    job.stock = std::move(*found);
    auto others = labelStocks();
    if (!others)
        return others.error();
    job.others = std::move(*others);
    auto labels = diveLabels(db, dive);
    if (!labels)
        return labels.error();
    job.labels = std::move(*labels);
    job.startPosition = startPosition;
    return layoutLabels(job);
}

Result<PageDocument> diveCustodySheet(const Database &db, int dive, const QString &layout,
                                      const QString &printedBy, UtcTime printedAt, const QString &remark)
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    const auto sheetLayout = loadSheetLayout(*folder + QStringLiteral("/sheets"), layout);
    if (!sheetLayout)
        return sheetLayout.error();
    const auto content = diveSheet(db, dive, printedBy, printedAt, remark);
    if (!content)
        return content.error();
    return layoutCustodySheet(*content, *sheetLayout);
}

} // namespace holdfast
