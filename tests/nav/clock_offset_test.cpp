// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/clock_offset.h"

#include "nav/invented_dive.h"

#include <cmath>
#include <gtest/gtest.h>

using namespace holdfast;
using test::diveTime;

namespace
{

/// Down at half a metre a second, an hour of work on a gentle slope, up again.
double depthAt(double t)
{
    const double bottom = 900.0 - 0.02 * (t - 1800.0) + 3.0 * std::sin(t / 90.0);
    const double down = 0.5 * t, up = 0.5 * (7200.0 - t);
    return std::max(0.0, std::min({down, bottom, up}));
}

struct Logs {
    std::vector<DepthRecord> ctd, vehicle;
};

Logs logs(double offsetS, unsigned seed, double vehicleNoiseM, double biasM)
{
    Logs result;
    test::Dice dice(seed);
    for (double t = 0.0; t < 7200.0; t += 0.25)
        result.ctd.push_back({diveTime(t + offsetS), depthAt(t) + biasM + 0.02 * dice.normal()});
    for (double t = 0.0; t < 7200.0; t += 2.0) {
        const double wild = dice.uniform() < 0.03 ? dice.uniform(-200.0, 200.0) : 0.0;
        result.vehicle.push_back({diveTime(t), depthAt(t) + vehicleNoiseM * dice.normal() + wild});
    }
    return result;
}

} // namespace

TEST(ClockOffset, IsFoundWithinASecondUnderAcousticNoise)
{
    unsigned seed = 1;
    for (const double offset : {0.0, 0.7, -4.2, 63.0, -250.0}) {
        const auto made = logs(offset, seed++, 5.0, 0.8);
        const auto found = estimateClockOffset(made.ctd, made.vehicle);
        ASSERT_TRUE(found);
        EXPECT_NEAR(found->offsetS, offset, 0.7);
        EXPECT_LT(std::abs(found->offsetS - offset), 4.0 * found->standardErrorS);
        EXPECT_NEAR(found->depthBiasM, 0.8, 0.5);
        EXPECT_TRUE(found->confident);
    }
}

TEST(ClockOffset, IsNotConfidentWithoutVerticalMotion)
{
    Logs made;
    test::Dice dice(4);
    for (double t = 0.0; t < 3600.0; t += 1.0) {
        made.ctd.push_back({diveTime(t), 900.0 + 0.02 * dice.normal()});
        made.vehicle.push_back({diveTime(t), 900.0 + 5.0 * dice.normal()});
    }
    const auto found = estimateClockOffset(made.ctd, made.vehicle);
    ASSERT_TRUE(found);
    EXPECT_FALSE(found->confident);
    EXPECT_TRUE(found->sentence.contains(QStringLiteral("uncertain")) ||
                found->sentence.contains(QStringLiteral("border")));
}

TEST(ClockOffset, IsNotConfidentBeyondTheRangeSearched)
{
    const auto made = logs(200.0, 9, 5.0, 0.0);
    const auto found = estimateClockOffset(made.ctd, made.vehicle, 60.0);
    ASSERT_TRUE(found);
    EXPECT_FALSE(found->confident);
}

TEST(ClockOffset, NeedsDepthsThatOverlap)
{
    auto made = logs(0.0, 1, 5.0, 0.0);
    EXPECT_FALSE(estimateClockOffset({}, made.vehicle));
    EXPECT_FALSE(estimateClockOffset(made.ctd, {}));
    EXPECT_FALSE(estimateClockOffset(made.ctd, made.vehicle, 0.0));
    for (DepthRecord &d : made.ctd)
        d.time += Microseconds(86'400'000'000);
    const auto found = estimateClockOffset(made.ctd, made.vehicle);
    ASSERT_FALSE(found);
    EXPECT_EQ(found.error().kind, ErrorKind::Malformed);
    EXPECT_TRUE(found.error().sentence.contains(QStringLiteral("same dive")));
    for (DepthRecord &d : made.vehicle)
        d.depthM = std::numeric_limits<double>::quiet_NaN();
    EXPECT_FALSE(estimateClockOffset(made.ctd, made.vehicle));
}
