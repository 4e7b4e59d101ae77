// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/slot_conditions.h"

#include "support/a_cruise.h"

using namespace holdfast;
using test::at;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class SlotConditions : public test::WithCruise
{
protected:
    Loadout loadout()
    {
        const auto json = readTemplate(s("loadouts"), s("demo"));
        return parseLoadout(*json, s("demo")).value_or(Loadout{});
    }
    static SampleInfo lies(const char *id, const char *slot, const char *time, const char *state = "held")
    {
        SampleInfo sample;
        sample.id = s(id);
        sample.slot = s(slot);
        sample.time = at(time);
        sample.state = s(state);
        return sample;
    }
};

} // namespace

TEST_F(SlotConditions, ALidOverSeveralSlotsIsMovedForAllOrForNone)
{
    ASSERT_OK(moveLids(file(), act(), 1, {s("B1"), s("B2"), s("B3")}, true, at("2026-03-12T09:00:00Z")));
    const qint64 before = entries();
    EXPECT_FALSE(moveLids(file(), act(), 1, {s("B1"), s("Z9")}, false, at("2026-03-12T09:01:00Z")));
    EXPECT_EQ(entries(), before);
    const auto lids = readLids(file().db(), 1);
    ASSERT_OK(lids);
    EXPECT_EQ(lids->size(), 3u);
    const auto states = readSlots(file().db(), 1);
    ASSERT_OK(states);
    for (const SlotState &slot : *states)
        EXPECT_EQ(slot.lidOpen, slot.code == s("B1") || slot.code == s("B2") || slot.code == s("B3"));
    expectTablesFitTheLedger();
}

TEST_F(SlotConditions, ATrayIsStowedWithAllItsSlots)
{
    ASSERT_OK(setReaches(file(), act(), 1, {s("R1"), s("R2")}, false));
    int away = 0;
    const auto states = readSlots(file().db(), 1);
    ASSERT_OK(states);
    for (const SlotState &slot : *states)
        away += !slot.reachable;
    EXPECT_EQ(away, 2);
    expectTablesFitTheLedger();
}

TEST_F(SlotConditions, ExposureCountsFromTheMomentASampleLiesThere)
{
    const std::vector<LidMove> lids{{s("B1"), true, at("2026-03-12T09:00:00Z")},
                                    {s("B1"), false, at("2026-03-12T09:10:00Z")},
                                    {s("B1"), true, at("2026-03-12T09:30:00Z")}};
    const auto all = slotExposures(loadout(), {lies("001", "B1", "2026-03-12T09:04:00Z")}, lids,
                                   at("2026-03-12T09:32:00Z"));
    ASSERT_TRUE(all.contains(s("B1")));
    const SlotExposure b1 = all[s("B1")];
    EXPECT_EQ(b1.timesOpened, 2);
    EXPECT_DOUBLE_EQ(b1.openS, 360 + 120);
    ASSERT_TRUE(b1.openSince);
    EXPECT_EQ(*b1.openSince, at("2026-03-12T09:30:00Z"));
    EXPECT_TRUE(b1.takenBeside.isEmpty());
}

TEST_F(SlotConditions, WhatWasPutBesideAnOpenSlotIsNamed)
{
    const std::vector<LidMove> lids{{s("B1"), true, at("2026-03-12T09:00:00Z")},
                                    {s("B1"), false, at("2026-03-12T09:10:00Z")}};
    const auto all = slotExposures(
        loadout(),
        {lies("001", "B1", "2026-03-12T09:02:00Z"), lies("002", "B2", "2026-03-12T09:05:00Z"),
         lies("003", "B3", "2026-03-12T09:06:00Z", "lost"), lies("004", "B3", "2026-03-12T09:07:00Z", "void"),
         lies("005", "B2", "2026-03-12T09:11:00Z"), lies("006", "B4", "2026-03-12T09:05:00Z")},
        lids, at("2026-03-12T10:00:00Z"));
    EXPECT_EQ(all[s("B1")].takenBeside, QStringList({s("002"), s("003")}));
    EXPECT_FALSE(all[s("B1")].openSince);
}

TEST_F(SlotConditions, AnOpeningBeforeTheSampleDoesNotCount)
{
    const std::vector<LidMove> lids{{s("B1"), true, at("2026-03-12T09:00:00Z")},
                                    {s("B1"), false, at("2026-03-12T09:10:00Z")}};
    const auto all = slotExposures(loadout(), {lies("001", "B1", "2026-03-12T09:20:00Z")}, lids,
                                   at("2026-03-12T10:00:00Z"));
    EXPECT_EQ(all[s("B1")].timesOpened, 0);
    EXPECT_DOUBLE_EQ(all[s("B1")].openS, 0);
}
