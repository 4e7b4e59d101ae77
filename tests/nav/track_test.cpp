// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/live_track.h"
#include "nav/track.h"

#include "nav/invented_dive.h"

#include <cmath>
#include <gtest/gtest.h>
#include <limits>
#include <random>

using namespace holdfast;
using test::diveTime;

namespace
{

constexpr double absent = std::numeric_limits<double>::quiet_NaN();

PositionRecord position(double s, double latitude, double longitude,
                        PositionSource source = PositionSource::Acoustic)
{
    PositionRecord r;
    r.time = diveTime(s);
    r.latitudeDeg = latitude;
    r.longitudeDeg = longitude;
    r.depthM = 1000.0;
    r.source = source;
    return r;
}

/// A vehicle creeping north, one fix every two seconds, with a scatter of a metre.
std::vector<PositionRecord> creeping(int count, double latitude = -31.0, double longitude = -128.0)
{
    test::Dice dice(5);
    std::vector<PositionRecord> records;
    for (int i = 0; i < count; ++i) {
        records.push_back(
            position(2.0 * i, latitude + 1e-6 * i + 1e-5 * dice.normal(), longitude + 1e-5 * dice.normal()));
        records.back().line = static_cast<std::uint32_t>(i + 2);
    }
    return records;
}

double apart(const NavFix &fix, double latitude, double longitude)
{
    return geodesicBetween({fix.latitudeDeg.value(), fix.longitudeDeg.value()}, {latitude, longitude})
        ->lengthM;
}

Track built(std::vector<PositionRecord> records, FixMethod method)
{
    TrackOptions options;
    options.method = method;
    auto track = Track::build(std::move(records), options);
    EXPECT_TRUE(track);
    return *track;
}

bool says(const TrackReport &report, const char *words)
{
    return report.sentences.join(u' ').contains(QLatin1String(words));
}

class TrackByMethod : public testing::TestWithParam<FixMethod>
{
protected:
    static Track build(std::vector<PositionRecord> records) { return built(std::move(records), GetParam()); }
};
INSTANTIATE_TEST_SUITE_P(Methods, TrackByMethod, testing::Values(FixMethod::Linear, FixMethod::Smooth),
                         [](const auto &which) { return textOf(which.param).toStdString(); });

} // namespace

TEST_P(TrackByMethod, WithoutPositionsSaysSo)
{
    const Track track = build({});
    const NavFix fix = track.at(diveTime(0.0));
    EXPECT_EQ(fix.flag, FixFlag::NoFix);
    EXPECT_FALSE(fix.latitudeDeg);
    EXPECT_FALSE(fix.uncertainty95M);
    EXPECT_TRUE(fix.reason.contains(QStringLiteral("no positions")));
    EXPECT_TRUE(says(track.report(), "no positions"));
}

TEST_P(TrackByMethod, OfOnePositionIsSuspectNearItAndNothingFurtherOff)
{
    const Track track = build({position(0.0, 10.0, 20.0)});
    const NavFix near = track.at(diveTime(5.0));
    EXPECT_EQ(near.flag, FixFlag::Suspect);
    EXPECT_NEAR(near.latitudeDeg.value(), 10.0, 1e-8);
    EXPECT_FALSE(near.reason.isEmpty());
    const NavFix far = track.at(diveTime(86'400.0));
    EXPECT_EQ(far.flag, FixFlag::NoFix);
    EXPECT_FALSE(far.longitudeDeg);
    EXPECT_TRUE(far.reason.contains(QStringLiteral("after the last")));
    EXPECT_TRUE(says(track.report(), "one position"));
}

TEST_P(TrackByMethod, RefusesWhatIsNoPlaceAndTellsWhy)
{
    auto records = creeping(40);
    records[3].latitudeDeg = absent;
    records[5].longitudeDeg = absent;
    records[7].latitudeDeg = 91.0;
    records[7].longitudeDeg = 361.0;
    records[9].latitudeDeg = records[9].longitudeDeg = 0.0;
    const Track track = build(records);
    EXPECT_EQ(track.report().notANumber, 2U);
    EXPECT_EQ(track.report().outOfRange, 2U);
    EXPECT_EQ(track.report().looksSwapped, 0U);
    ASSERT_EQ(track.report().rejected.size(), 4U);
    EXPECT_EQ(track.report().rejected.front().line, 5U);
    EXPECT_EQ(track.report().rejected.front().reason, RejectReason::NotANumber);
    EXPECT_EQ(track.at(diveTime(30.0)).flag, FixFlag::Good);
}

TEST_P(TrackByMethod, WithSwappedColumnsHasNoFixAndAsksAboutThem)
{
    auto records = creeping(40);
    for (PositionRecord &r : records)
        std::swap(r.latitudeDeg, r.longitudeDeg);
    const Track track = build(records);
    EXPECT_EQ(track.report().looksSwapped, 40U);
    EXPECT_EQ(track.at(diveTime(30.0)).flag, FixFlag::NoFix);
    EXPECT_TRUE(track.at(diveTime(30.0)).reason.contains(QStringLiteral("None of the log's 40")));
    EXPECT_TRUE(says(track.report(), "swapped"));
}

TEST_P(TrackByMethod, CountsRepeatsAndDisorderAndUsesTheRest)
{
    auto records = creeping(60);
    records.insert(records.begin() + 11, records[10]); // the same row again
    records.insert(records.begin() + 21, records[20]); // the same time, another place
    records[21].latitudeDeg += 1e-6;
    std::swap(records[40], records[41]);               // backwards
    records[50].latitudeDeg = records[49].latitudeDeg; // the same place, later
    records[50].longitudeDeg = records[49].longitudeDeg;
    const Track track = build(records);
    EXPECT_EQ(track.report().duplicates, 1U);
    EXPECT_EQ(track.report().sameTime, 1U);
    EXPECT_EQ(track.report().outOfOrder, 1U);
    EXPECT_EQ(track.report().stale, 1U);
    EXPECT_EQ(track.report().used, 61U);
    EXPECT_EQ(track.at(diveTime(41.0)).flag, FixFlag::Good);
}

TEST_P(TrackByMethod, WithAllTimesEqualHasThatOneMoment)
{
    auto records = creeping(40);
    for (PositionRecord &r : records)
        r.time = diveTime(100.0);
    const Track track = build(records);
    const NavFix fix = track.at(diveTime(100.0));
    ASSERT_TRUE(fix.latitudeDeg);
    EXPECT_LT(apart(fix, -31.0, -128.0), 20.0);
    EXPECT_EQ(track.at(diveTime(400.0)).flag, FixFlag::NoFix);
    EXPECT_EQ(track.report().sameTime, 39U);
}

TEST_P(TrackByMethod, RunningBackwardsIsSorted)
{
    auto records = creeping(60);
    std::ranges::reverse(records);
    const Track track = build(records);
    EXPECT_EQ(track.report().outOfOrder, 59U);
    EXPECT_EQ(track.at(diveTime(61.0)).flag, FixFlag::Good);
}

TEST_P(TrackByMethod, OfPositionsThatAllContradictEachOtherIsSuspect)
{
    test::Dice dice(3);
    std::vector<PositionRecord> records;
    for (int i = 0; i < 200; ++i)
        records.push_back(position(2.0 * i, -31.0 + 0.1 * dice.normal(), -128.0 + 0.1 * dice.normal()));
    const Track track = build(records);
    const NavFix fix = track.at(diveTime(201.0));
    EXPECT_FALSE(fix.reason.isEmpty() && fix.uncertainty95M.value_or(0.0) < 1000.0);
}

TEST_P(TrackByMethod, OfAnotherDayHasNoFix)
{
    const Track track = build(creeping(60));
    const NavFix fix = track.at(diveTime(-86'400.0));
    EXPECT_EQ(fix.flag, FixFlag::NoFix);
    EXPECT_TRUE(fix.reason.contains(QStringLiteral("before the first")));
    EXPECT_NEAR(fix.nearestFixS.value(), 86'400.0, 1e-6);
}

TEST_P(TrackByMethod, GivesNothingInsideAGapBeyondTheLimit)
{
    auto records = creeping(50);
    for (PositionRecord r : creeping(50)) {
        r.time += Microseconds(3'600'000'000);
        records.push_back(r);
    }
    const Track track = build(records);
    EXPECT_EQ(track.at(diveTime(1800.0)).flag, FixFlag::NoFix);
    EXPECT_TRUE(track.at(diveTime(1800.0)).reason.contains(QStringLiteral("limit")));
    EXPECT_FALSE(track.at(diveTime(1800.0)).uncertainty95M);
    EXPECT_EQ(track.at(diveTime(110.0)).flag, FixFlag::Suspect); // 12 s beyond the last fix before the gap
    EXPECT_EQ(track.at(diveTime(50.0)).flag, FixFlag::Good);
}

TEST_P(TrackByMethod, WidensInAGap)
{
    auto records = creeping(400);
    std::erase_if(records, [](const PositionRecord &r) {
        return r.time > diveTime(300.0) && r.time < diveTime(480.0);
    });
    for (PositionRecord &r : records)
        r.sigmaM = 1.1; // as they scatter: nothing is left that may be a slow error
    const Track track = build(records);
    const NavFix inside = track.at(diveTime(390.0)), before = track.at(diveTime(200.0));
    EXPECT_NEAR(inside.gapS.value(), 180.0, 2.1);
    EXPECT_EQ(inside.flag, FixFlag::Suspect);
    EXPECT_GT(*inside.uncertainty95M, 1.3 * *before.uncertainty95M);
}

TEST_P(TrackByMethod, TakesARealLeapAndRejectsALoneOne)
{
    auto records = creeping(400);
    for (std::size_t i = 200; i < records.size(); ++i)
        records[i].latitudeDeg += 0.09; // 10 km: the vehicle was moved
    records[100].latitudeDeg += 0.09;   // one fix astray
    const Track track = build(records);
    EXPECT_EQ(track.report().leaps, 1U);
    EXPECT_EQ(track.report().outliers, 1U);
    EXPECT_LT(apart(track.at(diveTime(300.0)), -31.0, -128.0), 60.0);
    EXPECT_LT(apart(track.at(diveTime(390.0)), -31.0, -128.0), 60.0);
    EXPECT_LT(apart(track.at(diveTime(410.0)), -30.91, -128.0), 60.0);
    EXPECT_LT(apart(track.at(diveTime(500.0)), -30.91, -128.0), 60.0);
    EXPECT_LT(apart(track.at(diveTime(200.0)), -31.0, -128.0), 60.0);
    EXPECT_TRUE(says(track.report(), "leap"));
}

TEST_P(TrackByMethod, KeepsSatelliteFixesWhateverCameBefore)
{
    auto records = creeping(200);
    for (int i = 0; i < 5; ++i) {
        auto r =
            position(402.0 + 2.0 * i, -31.005 + 1e-6 * i, -128.0, PositionSource::Satellite); // 550 m off
        r.depthM = 0.0;
        records.push_back(r);
    }
    const Track track = build(records);
    EXPECT_LT(apart(track.at(diveTime(408.0)), -31.005, -128.0), 10.0);
    EXPECT_EQ(track.report().used, 205U);
}

TEST_P(TrackByMethod, HoldsBothPlacesWhereASatelliteClockWasSetBack)
{
    // a boat at 2.6 m/s to the east; after 40 s its clock is set back by 12 s
    std::vector<PositionRecord> records;
    constexpr double degreesPerMetre = 1.0 / 95'504.0; // of longitude at 31 degrees south
    for (int i = 0; i < 60; ++i) {
        const double clock = i < 40 ? i : i - 12;
        auto r = position(clock, -31.0, -128.0 + 2.6 * i * degreesPerMetre, PositionSource::Satellite);
        r.depthM = 0.0;
        r.sigmaM = 2.0;
        records.push_back(r);
    }
    const Track track = build(records);
    const NavFix fix = track.at(diveTime(34.0));
    EXPECT_EQ(fix.flag, FixFlag::Suspect);
    EXPECT_LE(apart(fix, -31.0, -128.0 + 2.6 * 34 * degreesPerMetre), *fix.uncertainty95M);
    EXPECT_LE(apart(fix, -31.0, -128.0 + 2.6 * 46 * degreesPerMetre), *fix.uncertainty95M);
    EXPECT_TRUE(says(track.report(), "clock was set back"));
    EXPECT_EQ(track.at(diveTime(10.0)).flag, FixFlag::Good);
    EXPECT_LT(*track.at(diveTime(10.0)).uncertainty95M, 10.0);
}

TEST_P(TrackByMethod, HoldsTheStepAfterASatellitePlaceThatWasHeld)
{
    // at the surface at 0 s and again, 400 m north, at 600 s; the row of 0 s is repeated in between
    std::vector<PositionRecord> records;
    for (int i = 0; i < 20; ++i) {
        auto r =
            position(60.0 * i, i < 10 ? -31.0 : -31.0 + 400.0 / 110'860.0, -128.0, PositionSource::Satellite);
        r.depthM = 0.0;
        records.push_back(r);
    }
    const Track track = build(records);
    const NavFix late = track.at(diveTime(530.0));
    EXPECT_EQ(late.flag, FixFlag::Suspect);
    const double onTheWay = -31.0 + 400.0 / 110'860.0 * 530.0 / 600.0;
    EXPECT_LE(apart(late, onTheWay, -128.0), *late.uncertainty95M) << "it may have gone most of the way";
    EXPECT_EQ(track.at(diveTime(30.0)).flag, FixFlag::Suspect) << "the row after it is held";
    EXPECT_LT(*track.at(diveTime(0.0)).uncertainty95M, 10.0) << "when the place first came it was right";
    EXPECT_EQ(track.at(diveTime(700.0)).flag, FixFlag::Good);
    EXPECT_TRUE(says(track.report(), "repeat an old place"));
}

// The error of a satellite receiver goes over many minutes: its mean over one minute is no better than one
// position.
TEST(Track, ASatelliteReceiverAtRestIsNoBetterThanItSays)
{
    std::mt19937 random(3);
    auto live = LiveTrack::start();
    ASSERT_TRUE(live);
    std::vector<PositionRecord> records;
    NavFix last;
    for (int i = 0; i < 600; ++i) {
        const double jitter = 1e-6 * (static_cast<double>(random()) / 4294967295.0 - 0.5); // 5 cm either way
        auto r = position(i, -31.0 + 5.0 / 110'860.0 + jitter, -128.0, PositionSource::Satellite);
        r.sigmaM = 3.0;
        records.push_back(r);
        last = live->add(r);
    }
    const NavFix fix = Track::build(records)->at(diveTime(300.4));
    EXPECT_LE(apart(fix, -31.0, -128.0), *fix.uncertainty95M) << "5 m off all the time";
    EXPECT_LT(*fix.uncertainty95M, 10.0);
    EXPECT_LE(apart(last, -31.0, -128.0), *last.uncertainty95M);
}

TEST(Track, NonsenseGivesNoPlaceRatherThanAFalseOne)
{
    std::mt19937 random(11);
    const auto between = [&random](double low, double high) {
        return low + (high - low) * static_cast<double>(random()) / 4294967295.0;
    };
    std::size_t given = 0, refused = 0;
    for (int log = 0; log < 300; ++log) {
        std::vector<PositionRecord> records;
        const int count = 2 + static_cast<int>(random() % 30);
        double time = 0;
        for (int i = 0; i < count; ++i) {
            time += between(0.0, 10.0);
            auto r = position(time, between(-90, 90), between(-180, 180), PositionSource::Acoustic);
            r.sigmaM = std::pow(10.0, between(-12, 12));
            records.push_back(r);
        }
        for (const FixMethod method : {FixMethod::Linear, FixMethod::Smooth}) {
            TrackOptions options;
            options.method = method;
            const auto track = Track::build(records, options);
            ASSERT_TRUE(track);
            for (double t = -20; t < time + 20; t += 3.7) {
                const NavFix fix = track->at(diveTime(t));
                if (!fix.latitudeDeg) {
                    EXPECT_EQ(fix.flag, FixFlag::NoFix);
                    EXPECT_FALSE(fix.reason.isEmpty());
                    ++refused;
                    continue;
                }
                ++given;
                EXPECT_LE(std::abs(*fix.latitudeDeg), 90.0);
                EXPECT_LE(std::abs(*fix.longitudeDeg), 180.0);
                EXPECT_TRUE(std::isfinite(*fix.uncertainty95M) && *fix.uncertainty95M > 0.0);
            }
        }
        auto live = LiveTrack::start();
        ASSERT_TRUE(live);
        for (const PositionRecord &r : records)
            if (const NavFix fix = live->add(r); fix.latitudeDeg) {
                EXPECT_TRUE(std::isfinite(*fix.latitudeDeg) && std::isfinite(*fix.uncertainty95M));
            }
    }
    EXPECT_GT(given, 0U);
    EXPECT_GT(refused, 0U);
}

// A float that comes up each twenty minutes for two fixes, goes 300 m in between, and whose receiver gives
// the last place again while it is under water. Made up after what real logs of such vehicles hold.
TEST(Track, APlaceGivenAgainUnderWaterIsNotTheVehiclesPlace)
{
    std::vector<PositionRecord> records;
    std::vector<std::size_t> measured;
    std::vector<double> north;
    for (int leg = 0; leg < 12; ++leg)
        for (const double s : {0.0, 75.0, 400.0, 800.0, 1150.0}) {
            const double time = 1200.0 * leg + s, was = 300.0 * leg + 15.0 * (leg % 3) * (s > 0 ? 1.0 : 0.0);
            auto r = position(time, -31.0 + was / 110'860.0, -128.0, PositionSource::Satellite);
            r.depthM = 0.0;
            if (s <= 75.0) {
                measured.push_back(records.size());
                north.push_back(was);
            }
            records.push_back(r);
        }
    std::size_t inside = 0, count = 0;
    double worst = 0;
    for (std::size_t k = 2; k + 2 < measured.size(); ++k) {
        std::vector<PositionRecord> others = records;
        others.erase(others.begin() + static_cast<std::ptrdiff_t>(measured[k]));
        const NavFix fix = Track::build(others)->at(records[measured[k]].time);
        if (!fix.latitudeDeg)
            continue;
        const double off = apart(fix, -31.0 + north[k] / 110'860.0, -128.0);
        worst = std::max(worst, off);
        inside += off <= *fix.uncertainty95M ? 1U : 0U;
        ++count;
    }
    EXPECT_GE(count, 15U);
    EXPECT_LT(worst, 100.0) << "300 m if the place under water is believed";
    EXPECT_GE(static_cast<double>(inside), 0.9 * static_cast<double>(count));
}

TEST_P(TrackByMethod, CountsAreLocalAndTheNearestFixIsNamed)
{
    const Track track = build(creeping(300));
    const NavFix fix = track.at(diveTime(300.5));
    EXPECT_NEAR(fix.gapS.value(), 2.0, 1e-9);
    EXPECT_NEAR(fix.nearestFixS.value(), 0.5, 1e-9);
    EXPECT_LT(fix.nearestFixM.value(), 10.0);
    EXPECT_EQ(fix.usedCount, GetParam() == FixMethod::Linear ? 2U : 60U);
    EXPECT_NEAR(fix.depthM.value(), 1000.0, 1e-6);
    EXPECT_EQ(fix.depthSource, DepthSource::PositionLog);
    EXPECT_EQ(fix.method, GetParam());
}

TEST(Track, LinearIsTheGeodesicBetweenTheNeighbours)
{
    const PositionRecord a = position(0.0, -17.5, 179.9998), b = position(2.0, -17.5001, -179.9998);
    const NavFix fix = built({a, b}, FixMethod::Linear).at(diveTime(0.5));
    // GeodSolve of GeographicLib 2.1.2, a quarter of the way
    EXPECT_LT(apart(fix, -17.50002500007563, 179.99989999995898), 1e-3);
}

TEST(Track, PrefersTheSeparateDepthSeries)
{
    TrackInputs inputs;
    inputs.positions = creeping(50);
    inputs.depths = {{diveTime(48.0), 1004.0}, {diveTime(52.0), 1008.0}, {diveTime(50.0), absent}};
    const auto track = Track::build(std::move(inputs));
    EXPECT_NEAR(track->at(diveTime(49.0)).depthM.value(), 1005.0, 1e-9);
    EXPECT_EQ(track->at(diveTime(49.0)).depthSource, DepthSource::DepthSeries);
    EXPECT_EQ(track->at(diveTime(70.0)).depthSource, DepthSource::PositionLog);
}

TEST(Track, RefusesOptionsOutsideTheirRange)
{
    TrackOptions options;
    options.slowShare = 1.5;
    const auto track = Track::build(creeping(5), options);
    ASSERT_FALSE(track);
    EXPECT_EQ(track.error().kind, ErrorKind::Usage);
    EXPECT_TRUE(track.error().sentence.contains(QStringLiteral("slowShare")));
    options.slowShare = absent;
    EXPECT_FALSE(Track::build(creeping(5), options));
}

TEST(Track, StatesTheGapLimitGiven)
{
    TrackOptions options;
    options.gapLimitS = 20.0;
    options.extrapolationLimitS = 0.0;
    auto records = creeping(100);
    std::erase_if(
        records, [](const PositionRecord &r) { return r.time > diveTime(99.0) && r.time < diveTime(131.0); });
    const auto track = Track::build(records, options);
    EXPECT_EQ(track->at(diveTime(110.0)).flag, FixFlag::NoFix);
    EXPECT_EQ(track->at(diveTime(80.0)).flag, FixFlag::Good);
    EXPECT_EQ(track->at(diveTime(200.0)).flag, FixFlag::NoFix);
}

TEST(Track, DeadReckoningIsShiftedTowardsItsCorrection)
{
    std::vector<PositionRecord> records;
    for (int i = 0; i <= 60; ++i) {
        // 20 m a minute east; the log drifts 400 m south and steps back in its last row
        const double drift = i == 60 ? 0.0 : 400.0 * i / 60.0;
        records.push_back(position(60.0 * i, 28.0 - drift / 110'830.0, -80.0 + 20.0 * i / 98'300.0,
                                   PositionSource::DeadReckoning));
        records.back().depthM = i == 0 || i == 60 ? 0.0 : 20.0;
    }
    for (int i = 61; i < 64; ++i)
        records.push_back(
            position(60.0 * i, 28.0, -80.0 + 20.0 * i / 98'300.0, PositionSource::DeadReckoning));
    records.front().source = PositionSource::Satellite;
    const Track track = built(records, FixMethod::Smooth);
    EXPECT_EQ(track.report().corrections, 1U);
    const NavFix early = track.at(diveTime(300.0)), late = track.at(diveTime(3500.0));
    EXPECT_LT(apart(late, 28.0, -80.0 + 20.0 * 3500.0 / 60.0 / 98'300.0), 60.0);
    EXPECT_GT(*late.uncertainty95M, 3.0 * *early.uncertainty95M);
    EXPECT_LT(apart(late, 28.0, late.longitudeDeg.value()), *late.uncertainty95M);
    EXPECT_LT(*track.at(diveTime(3660.0)).uncertainty95M, *late.uncertainty95M);
}

TEST(Track, DeadReckoningYieldsToAcousticPositions)
{
    auto records = creeping(60);
    records.push_back(position(61.0, -31.01, -128.0, PositionSource::DeadReckoning));
    const Track track = built(records, FixMethod::Smooth);
    EXPECT_EQ(track.report().setAside, 1U);
    EXPECT_TRUE(says(track.report(), "set aside"));
}

TEST(Track, EllipseAndRadiusHoldTheSameShare)
{
    // Along and across deviations as a gap makes them: the exact share inside the radius by integration.
    const Track track = built(creeping(60), FixMethod::Smooth);
    const NavFix fix = track.at(diveTime(60.0));
    const double a = fix.ellipse95->semiMajorM / 2.447746830680816,
                 b = fix.ellipse95->semiMinorM / 2.447746830680816;
    double outside = 0;
    constexpr int steps = 20'000;
    for (int i = 0; i < steps; ++i) {
        const double way = (i + 0.5) / steps * 2.0 * std::numbers::pi;
        const double r = *fix.uncertainty95M / std::hypot(a * std::cos(way), b * std::sin(way));
        outside += std::exp(-0.5 * r * r) / steps;
    }
    EXPECT_NEAR(outside, 0.05, 0.001);
    EXPECT_GE(fix.ellipse95->semiMajorM, fix.ellipse95->semiMinorM);
}
