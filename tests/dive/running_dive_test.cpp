// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/running_dive.h"

#include <gtest/gtest.h>

using namespace holdfast;

namespace
{
DiveInfo dive(int number)
{
    DiveInfo d;
    d.number = number;
    return d;
}
UtcTime hour(int h)
{
    return UtcTime{} + std::chrono::hours(h);
}
} // namespace

TEST(RunningDive, IsTheOneInTheWaterThoughLaterOnesArePlanned)
{
    std::vector<DiveInfo> dives{dive(1), dive(2), dive(3)};
    EXPECT_EQ(diveInTheWater(dives), 0);
    EXPECT_EQ(runningDive(dives), 1) << "the next to be launched";
    dives[1].launched = hour(5);
    EXPECT_EQ(runningDive(dives), 2);
    dives[1].onDeck = hour(9);
    EXPECT_EQ(diveInTheWater(dives), 0);
    dives[0].closed = hour(10);
    EXPECT_EQ(runningDive(dives), 3);
}

TEST(RunningDive, ADiveOnDeckTakesWhatComesUntilTheNextIsPlanned)
{
    std::vector<DiveInfo> dives{dive(1)};
    dives[0].launched = hour(1);
    dives[0].onDeck = hour(2);
    EXPECT_EQ(runningDive(dives), 1);
    dives[0].closed = hour(3);
    EXPECT_EQ(runningDive(dives), 0);
    EXPECT_EQ(runningDive({}), 0);
}

TEST(RunningDive, OfTwoInTheWaterTheLastLaunchedCounts)
{
    std::vector<DiveInfo> dives{dive(1), dive(2)};
    dives[0].launched = hour(2);
    dives[1].launched = hour(1);
    EXPECT_EQ(runningDive(dives), 1);
}
