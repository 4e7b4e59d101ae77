// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/dive_papers.h"

#include "base/template_folder.h"
#include "custody/custody_words.h"
#include "dive/describe.h"
#include "dive/loadout.h"
#include "dive/readers.h"
#include "dive/verbs.h"
#include "ledger/ledger_store.h"
#include "print/hand_over_paper.h"

#include <QHash>
#include <QJsonDocument>
#include <algorithm>

namespace holdfast
{

namespace
{

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
        row.waiting = stamp.state == QLatin1String("waiting");
        if (row.waiting)
            row.note = QStringLiteral("a stamp that waits for its details");
        else
            row.setAside = stamp.reason.isEmpty() ? stamp.state
                                                  : QStringLiteral("%1: %2").arg(stamp.state, stamp.reason);
        rows.push_back(row);
    }
    return {};
}

Done addPeople(const Database &db, int dive, CustodySheetContent &sheet)
{
    auto rows = query(
        db.connection(),
        QStringLiteral("SELECT by_whom, min(time_us), min(instr(seen, ?)>0) FROM stamp WHERE dive=? GROUP BY "
                       "by_whom ORDER BY 2"),
        {verb::seenFrom, dive});
    if (!rows)
        return rows.error();
    while (rows->next()) {
        const QString name = rows->text(0).simplified();
        const bool known = std::any_of(sheet.people.begin(), sheet.people.end(),
                                       [&name](const SheetPerson &p) { return samePerson(p.name, name); });
        if (!known)
            sheet.people.push_back({name, rows->integer(2) == 1 ? QStringLiteral("found at recovery")
                                                                : QStringLiteral("data logger")});
    }
    return {};
}

} // namespace

Result<std::vector<LedgerHead>> ledgerHeads(const Database &db)
{
    const auto heads = chainHeads(db);
    if (!heads)
        return heads.error();
    std::vector<LedgerHead> all;
    for (const ChainHead &head : *heads)
        all.push_back({head.station, head.seq, head.hash});
    return all;
}

Result<SheetLayout> sheetLayout(const QString &name)
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    return loadSheetLayout(*folder + QStringLiteral("/sheets"), name);
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
    const auto valued = valuedSamples(db, dive);
    if (!valued)
        return valued.error();
    return diveSheet(db, dive, *valued, printedBy, printedAt, remark);
}

Result<CustodySheetContent> diveSheet(const Database &db, int dive, const std::vector<ValuedSample> &valued,
                                      const QString &printedBy, UtcTime printedAt, const QString &remark)
{
    const auto cruise = readCruise(db);
    if (!cruise)
        return cruise.error();
    const auto info = readDive(db, dive);
    if (!info)
        return info.error();
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
    auto site = readSite(db, dive);
    if (!site)
        return site.error();
    sheet.site = std::move(*site);
    sheet.launch = info->launched;
    sheet.onBottom = info->onBottom;
    sheet.offBottom = info->offBottom;
    sheet.onDeck = info->onDeck;
    sheet.closed = info->closed.has_value();
    sheet.plan = std::move(*plan);
    const auto substances = substanceTable();
    if (!substances)
        return substances.error();
    for (const ValuedSample &v : valued) {
        auto row = sheetRow(db, v, *substances);
        if (!row)
            return row.error();
        sheet.samples.push_back(std::move(*row));
    }
    if (auto added = addStampsWithoutSample(db, dive, sheet.samples); !added)
        return added.error();
    for (const AmendmentInfo &a : *amendments)
        sheet.amendments.push_back({a.time, a.by, a.sample, a.field, a.oldValue, a.newValue, a.reason});
    if (auto added = addPeople(db, dive, sheet); !added)
        return added.error();
    auto heads = ledgerHeads(db);
    if (!heads)
        return heads.error();
    sheet.ledgerHeads = std::move(*heads);
    auto handOvers = handOversOfDive(db, dive);
    if (!handOvers)
        return handOvers.error();
    sheet.handOvers = std::move(*handOvers);
    sheet.printedBy = printedBy;
    sheet.printedAt = printedAt;
    sheet.remark = remark;
    return sheet;
}

Result<PageDocument> diveCustodySheet(const Database &db, int dive, const QString &layout,
                                      const QString &printedBy, UtcTime printedAt, const QString &remark)
{
    const auto found = sheetLayout(layout);
    if (!found)
        return found.error();
    const auto content = diveSheet(db, dive, printedBy, printedAt, remark);
    if (!content)
        return content.error();
    return layoutCustodySheet(*content, *found);
}

} // namespace holdfast
