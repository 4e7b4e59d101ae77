// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/live_track.h"

#include "nav/invented_dive.h"

#include <gtest/gtest.h>
#include <limits>

using namespace holdfast;
using test::diveTime;

namespace
{

double apart(const NavFix &fix, double latitude, double longitude)
{
    return geodesicBetween({fix.latitudeDeg.value(), fix.longitudeDeg.value()}, {latitude, longitude})
        ->lengthM;
}

PositionRecord position(double s, double latitude, double longitude)
{
    PositionRecord r;
    r.time = diveTime(s);
    r.latitudeDeg = latitude;
    r.longitudeDeg = longitude;
    r.depthM = 1000.0;
    return r;
}

LiveTrack settled(double &latitude, double &longitude)
{
    auto live = LiveTrack::start();
    test::Dice dice(2);
    latitude = -31.0;
    longitude = -128.0;
    for (int i = 0; i < 100; ++i)
        live->add(position(2.0 * i, latitude + 2e-5 * dice.normal(), longitude + 2e-5 * dice.normal()));
    return std::move(*live);
}

} // namespace

TEST(LiveTrack, KnowsNothingBeforeTheFirstPosition)
{
    const auto live = LiveTrack::start();
    const NavFix fix = live->at(diveTime(0.0));
    EXPECT_EQ(fix.flag, FixFlag::NoFix);
    EXPECT_FALSE(fix.latitudeDeg);
    EXPECT_FALSE(fix.reason.isEmpty());
}

TEST(LiveTrack, FollowsTheVehicleWithinItsRadius)
{
    std::size_t inside = 0, count = 0, closer = 0;
    for (unsigned seed = 1; seed <= 6; ++seed) {
        test::DiveRecipe recipe;
        recipe.seed = seed;
        const auto dive = test::inventedDive(recipe);
        auto live = LiveTrack::start();
        std::size_t sample = 0;
        for (const PositionRecord &r : dive.positions) {
            while (sample < dive.sampleTimes.size() && dive.sampleTimes[sample] < r.time) {
                const NavFix fix = live->at(dive.sampleTimes[sample]);
                if (fix.latitudeDeg) {
                    const double error = dive.errorM(sample, *fix.latitudeDeg, *fix.longitudeDeg);
                    inside += error <= *fix.uncertainty95M ? 1U : 0U;
                    closer += error < 6.0 ? 1U : 0U;
                    ++count;
                }
                ++sample;
            }
            live->add(r);
        }
    }
    ASSERT_GT(count, 200U);
    EXPECT_GT(static_cast<double>(inside) / static_cast<double>(count), 0.92);
    EXPECT_GT(static_cast<double>(closer) / static_cast<double>(count), 0.8); // one fix alone: 0.37
}

TEST(LiveTrack, IsNotMovedByAnOutlierButByFourThatAgree)
{
    double latitude = 0, longitude = 0;
    LiveTrack live = settled(latitude, longitude);
    NavFix fix = live.add(position(200.0, latitude + 0.01, longitude));
    EXPECT_EQ(fix.flag, FixFlag::Suspect);
    EXPECT_TRUE(fix.reason.contains(QStringLiteral("too far")));
    EXPECT_LT(apart(fix, latitude, longitude), 10.0);
    for (int i = 1; i <= 4; ++i)
        fix = live.add(position(200.0 + 2.0 * i, latitude + 0.05 + 1e-5 * i, longitude));
    EXPECT_LT(apart(fix, latitude + 0.05, longitude), 20.0);
    EXPECT_EQ(fix.flag, FixFlag::Good);
}

TEST(LiveTrack, RefusesLateAndImpossiblePositions)
{
    double latitude = 0, longitude = 0;
    LiveTrack live = settled(latitude, longitude);
    EXPECT_TRUE(live.add(position(150.0, latitude, longitude)).reason.contains(QStringLiteral("older")));
    EXPECT_TRUE(live.add(position(200.0, 91.0, longitude)).reason.contains(QStringLiteral("no place")));
    const double nan = std::numeric_limits<double>::quiet_NaN();
    EXPECT_TRUE(live.add(position(202.0, nan, longitude)).reason.contains(QStringLiteral("not a number")));
    const NavFix fix = live.add(position(204.0, latitude + 1e-5, longitude));
    EXPECT_EQ(fix.flag, FixFlag::Good);
    EXPECT_LT(apart(fix, latitude, longitude), 10.0);
}

TEST(LiveTrack, WidensWithSilenceAndThenGivesNothing)
{
    double latitude = 0, longitude = 0;
    const LiveTrack live = settled(latitude, longitude);
    const NavFix now = live.at(diveTime(198.0)), later = live.at(diveTime(225.0)),
                 lost = live.at(diveTime(300.0));
    EXPECT_EQ(now.flag, FixFlag::Good);
    EXPECT_EQ(later.flag, FixFlag::Suspect);
    EXPECT_GT(*later.uncertainty95M, *now.uncertainty95M);
    EXPECT_EQ(lost.flag, FixFlag::NoFix);
    EXPECT_FALSE(lost.latitudeDeg);
}

TEST(LiveTrack, BelievesASatelliteFixAtOnce)
{
    double latitude = 0, longitude = 0;
    LiveTrack live = settled(latitude, longitude);
    PositionRecord surfaced = position(200.0, latitude + 0.005, longitude);
    surfaced.source = PositionSource::Satellite;
    EXPECT_LT(apart(live.add(surfaced), latitude + 0.005, longitude), 5.0);
}

TEST(LiveTrack, DeadReckoningGetsWiderUntilItSteps)
{
    auto live = LiveTrack::start();
    double before = 0;
    for (int i = 0; i <= 30; ++i) {
        PositionRecord r = position(60.0 * i, 28.0 + 1e-4 * i, -80.0);
        r.source = PositionSource::DeadReckoning;
        const NavFix fix = live->add(r);
        EXPECT_GE(*fix.uncertainty95M, before);
        before = *fix.uncertainty95M;
    }
    PositionRecord fixed = position(1860.0, 28.02, -80.0);
    fixed.source = PositionSource::Satellite;
    EXPECT_LT(*live->add(fixed).uncertainty95M, 0.1 * before);
}
