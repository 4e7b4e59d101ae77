// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/ship_acoustics.h"

#include "check_table.h"
#include "invented_ship.h"
#include "nav/geodesic.h"

#include <gtest/gtest.h>

using namespace holdfast;
using namespace holdfast::test;

namespace
{

constexpr double latitude = -31.0, longitude = 179.9995; // the vehicle crosses 180 degrees
constexpr double degree = std::numbers::pi / 180;

UtcTime second(double t)
{
    return utcFromMicroseconds(1'773'302'400'000'000 + std::llround(t * 1e6));
}

double apartM(const PositionRecord &p, double lat, double lon)
{
    return geodesicBetween({p.latitudeDeg, p.longitudeDeg}, {lat, lon})->lengthM;
}

PositionRecord shipRecord(double t, double lat, double lon, bool attitude = true)
{
    const ShipState s = shipAt(t, lat, lon);
    PositionRecord r;
    r.time = second(t);
    r.latitudeDeg = s.latitudeDeg;
    r.longitudeDeg = s.longitudeDeg;
    r.headingDeg = s.headingDeg;
    r.sigmaM = 0.5;
    r.source = PositionSource::Satellite;
    if (attitude) {
        r.pitchDeg = s.pitchDeg;
        r.rollDeg = s.rollDeg;
    }
    return r;
}

const Lever lever{-12.5, 3.2, 23.5, 18};

AcousticSetup setup(AcousticFrame frame)
{
    AcousticSetup s;
    s.frame = frame;
    s.leverForwardM = lever.forwardM;
    s.leverStarboardM = lever.starboardM;
    s.leverDownM = lever.downM;
    s.antennaHeightM = lever.antennaHeightM;
    return s;
}

/// A vehicle that drifts east at 0.1 m/s (about) across 180 degrees at 1200 m, seen every 2 s by a ship that
/// is logged once a second.
class ShipAcoustics : public testing::Test
{
protected:
    struct Truth {
        double t, latitudeDeg, longitudeDeg;
    };

    void SetUp() override
    {
        for (int i = 0; i <= 600; ++i)
            m_ship.push_back(shipRecord(i, latitude, longitude));
        for (int i = 1; i < 590; i += 2) {
            const double t = i + 0.37;
            double lon = longitude + 1.5e-6 * t;
            lon = lon > 180 ? lon - 360 : lon;
            m_truth.push_back({t, latitude + 1e-7 * t, lon});
        }
    }
    Axes seen(const Truth &v) const
    {
        return seenFromShip(shipAt(v.t, latitude, longitude), lever, v.latitudeDeg, v.longitudeDeg, -1200);
    }
    AcousticRecord vector(const Truth &v) const
    {
        const Axes body = seen(v);
        AcousticRecord r;
        r.time = second(v.t);
        r.forwardM = body[0];
        r.starboardM = body[1];
        r.downM = body[2];
        return r;
    }
    AcousticRecord polar(const Truth &v) const
    {
        const Axes body = seen(v);
        AcousticRecord r;
        r.time = second(v.t);
        r.rangeM = std::hypot(body[0], body[1], body[2]);
        r.bearingDeg = std::atan2(body[1], body[0]) / degree;
        r.depressionDeg = std::asin(body[2] / *r.rangeM) / degree;
        return r;
    }
    void expectTruth(const AcousticPositions &placed, double withinM) const
    {
        ASSERT_EQ(placed.positions.size(), m_truth.size()) << placed.sentences().join('\n').toStdString();
        for (std::size_t i = 0; i < m_truth.size(); ++i)
            ASSERT_LT(apartM(placed.positions[i], m_truth[i].latitudeDeg, m_truth[i].longitudeDeg), withinM)
                << i;
    }

    std::vector<PositionRecord> m_ship;
    std::vector<Truth> m_truth;
};

} // namespace

// The attitude moves up to 1.7 degrees a second here, so one record a second leaves 0.2 degrees between, 5 m.
TEST_F(ShipAcoustics, VectorInShipAxesFindsTheVehicleThroughNorthAndAcross180)
{
    std::vector<AcousticRecord> records;
    for (const Truth &v : m_truth)
        records.push_back(vector(v));
    const auto placed = placeAcoustics(records, setup(AcousticFrame::Body), {m_ship, {}});
    expectTruth(placed, 6.0);
    EXPECT_TRUE(placed.sentences().isEmpty());
    EXPECT_EQ(placed.positions.front().source, PositionSource::Acoustic);
    EXPECT_NEAR(*placed.positions.front().depthM, 1200, 6);
}

TEST_F(ShipAcoustics, ARowsOwnAttitudeIsPreferredAndExact)
{
    std::vector<AcousticRecord> records;
    for (const Truth &v : m_truth) {
        records.push_back(v.t < 300 ? vector(v) : polar(v));
        const ShipState s = shipAt(v.t, latitude, longitude);
        records.back().headingDeg = s.headingDeg;
        records.back().pitchDeg = s.pitchDeg;
        records.back().rollDeg = s.rollDeg;
    }
    // What is left is the ship's position between two records a second apart.
    expectTruth(placeAcoustics(records, setup(AcousticFrame::Body), {m_ship, {}}), 0.05);
}

TEST_F(ShipAcoustics, StabilisedBearingWithDepthFromAnotherLog)
{
    std::vector<AcousticRecord> records;
    for (const Truth &v : m_truth) {
        // Level: the ray turned back by heading alone, from the transducer where roll and pitch have put it.
        ShipState upright = shipAt(v.t, latitude, longitude);
        const Axes body = seen(v);
        Axes level = body;
        level = intoShipAxes(level, {0, 0, 0, 0, -upright.rollDeg});
        level = intoShipAxes(level, {0, 0, 0, -upright.pitchDeg, 0});
        AcousticRecord r;
        r.time = second(v.t);
        r.rangeM = std::hypot(body[0], body[1], body[2]);
        r.bearingDeg = std::atan2(level[1], level[0]) / degree;
        r.headingDeg = upright.headingDeg;
        r.pitchDeg = upright.pitchDeg;
        r.rollDeg = upright.rollDeg;
        records.push_back(r);
    }
    std::vector<DepthRecord> depths;
    for (int i = 0; i <= 600; i += 5)
        depths.push_back({second(i), 1200});
    // The depth is below the tangent plane at the ship's antenna, 2 mm from the ellipsoid here.
    expectTruth(placeAcoustics(records, setup(AcousticFrame::Level), {m_ship, depths}), 0.1);

    const auto without = placeAcoustics(records, setup(AcousticFrame::Level), {m_ship, {}});
    EXPECT_TRUE(without.positions.empty());
    EXPECT_EQ(without.faults[static_cast<std::size_t>(AcousticFault::NoDepth)], records.size());
    EXPECT_TRUE(without.sentences().first().contains(QStringLiteral("depth"))) << "says what is missing";
}

TEST_F(ShipAcoustics, LevelVectorTurnsOnlyTheLeverByTheAttitude)
{
    std::vector<AcousticRecord> records;
    for (const Truth &v : m_truth) {
        const ShipState s = shipAt(v.t, latitude, longitude);
        Axes level = intoShipAxes(intoShipAxes(seen(v), {0, 0, 0, 0, -s.rollDeg}), {0, 0, 0, -s.pitchDeg, 0});
        AcousticRecord r;
        r.time = second(v.t);
        r.forwardM = level[0];
        r.starboardM = level[1];
        r.downM = level[2];
        r.headingDeg = s.headingDeg;
        r.pitchDeg = s.pitchDeg;
        r.rollDeg = s.rollDeg;
        records.push_back(r);
    }
    expectTruth(placeAcoustics(records, setup(AcousticFrame::Level), {m_ship, {}}), 0.05);
}

TEST_F(ShipAcoustics, NothingIsPlacedAcrossAGapOfTheShipNorBeyondItsEnds)
{
    std::erase_if(m_ship,
                  [](const PositionRecord &r) { return r.time > second(100) && r.time < second(110); });
    const std::vector<AcousticRecord> records{
        vector({-0.5, latitude, longitude}), vector({99.5, latitude, longitude}),
        vector({105.5, latitude, longitude}), vector({110.0, latitude, longitude}),
        vector({700.0, latitude, longitude})};
    const auto placed = placeAcoustics(records, setup(AcousticFrame::Body), {m_ship, {}});
    ASSERT_EQ(placed.positions.size(), 2u);
    EXPECT_EQ(placed.positions[0].time, second(99.5));
    EXPECT_EQ(placed.positions[1].time, second(110.0));
    EXPECT_EQ(placed.faults[static_cast<std::size_t>(AcousticFault::NoShipPosition)], 3u);
    AcousticSetup wide = setup(AcousticFrame::Body);
    wide.gapLimitS = 12;
    EXPECT_EQ(placeAcoustics(records, wide, {m_ship, {}}).positions.size(), 3u);
}

TEST_F(ShipAcoustics, HeadingMayComeMoreSeldomThanThePositionButNotAcrossTheLimit)
{
    for (std::size_t i = 0; i < m_ship.size(); ++i)
        if (i % 4 != 0)
            m_ship[i].headingDeg.reset();
    const std::vector<AcousticRecord> records{vector({101.5, latitude, longitude})};
    EXPECT_EQ(placeAcoustics(records, setup(AcousticFrame::Body), {m_ship, {}}).positions.size(), 1u);
    AcousticSetup narrow = setup(AcousticFrame::Body);
    narrow.gapLimitS = 3;
    const auto placed = placeAcoustics(records, narrow, {m_ship, {}});
    EXPECT_EQ(placed.faults[static_cast<std::size_t>(AcousticFault::NoHeading)], 1u);
}

TEST_F(ShipAcoustics, WithoutPitchAndRollAShipAxesBearingIsKeptAsideUnlessTheProfileAllows)
{
    for (PositionRecord &r : m_ship)
        r.pitchDeg = r.rollDeg = std::nullopt;
    const std::vector<AcousticRecord> records{polar(m_truth[0])};
    const auto kept = placeAcoustics(records, setup(AcousticFrame::Body), {m_ship, {}});
    EXPECT_TRUE(kept.positions.empty());
    EXPECT_EQ(kept.faults[static_cast<std::size_t>(AcousticFault::NoAttitude)], 1u);
    AcousticSetup allowed = setup(AcousticFrame::Body);
    allowed.withoutAttitude = true;
    const auto placed = placeAcoustics(records, allowed, {m_ship, {}});
    EXPECT_EQ(placed.positions.size(), 1u);
    EXPECT_EQ(placed.upright, 1u);
    EXPECT_TRUE(placed.sentences().last().contains(QStringLiteral("upright")));
}

TEST_F(ShipAcoustics, SigmaAddsRangeShipAndHeading)
{
    AcousticSetup s = setup(AcousticFrame::Body);
    s.sigmaPercentOfRange = 0.5;
    s.headingSigmaDeg = 0.5;
    AcousticRecord r = vector(m_truth[0]);
    const Axes body = seen(m_truth[0]);
    const auto placed = placeAcoustics({&r, 1}, s, {m_ship, {}});
    ASSERT_EQ(placed.positions.size(), 1u);
    const double range = std::hypot(body[0], body[1], body[2]);
    const double horizontal = std::sqrt(range * range - 1194.5 * 1194.5); // the transducer is 5.5 m down
    const double expected =
        std::sqrt(std::pow(0.005 * range, 2) + 0.25 + std::pow(0.5 * degree * horizontal, 2) / 2);
    EXPECT_NEAR(*placed.positions.front().sigmaM, expected, 0.1);
    r.sigmaM = 2.5;
    EXPECT_EQ(placeAcoustics({&r, 1}, s, {m_ship, {}}).positions.front().sigmaM, 2.5);
}

/// Every row of the check table through the feed's way: the ship logged before and after at the same place.
TEST(ShipAcousticsTable, PlacesEachRowAsTheTableSays)
{
    const auto rows = checkTable("usbl.csv");
    if (!rows)
        GTEST_SKIP() << "needs HOLDFAST_SHARED_DATA";
    std::size_t compared = 0;
    for (const CheckRow &row : *rows) {
        const std::string frame = row.at("frame");
        AcousticSetup s;
        s.frame = frame == "true"    ? AcousticFrame::True
                  : frame == "level" ? AcousticFrame::Level
                                     : AcousticFrame::Body;
        s.leverForwardM = number(row, "lever_x_m");
        s.leverStarboardM = number(row, "lever_y_m");
        s.leverDownM = number(row, "lever_z_m");
        s.antennaHeightM = number(row, "antenna_height_m");
        PositionRecord ship;
        ship.latitudeDeg = number(row, "antenna_lat");
        ship.longitudeDeg = number(row, "antenna_lon");
        ship.headingDeg = number(row, "heading_deg");
        ship.pitchDeg = number(row, "pitch_deg");
        ship.rollDeg = number(row, "roll_deg");
        ship.time = second(0);
        std::vector<PositionRecord> log{ship, ship};
        log[1].time = second(2);
        AcousticRecord seen;
        seen.time = second(1);
        seen.rangeM = number(row, "slant_range_m");
        seen.bearingDeg = number(row, "bearing_deg");
        if (frame == "body3d")
            seen.depressionDeg = number(row, "depression_deg");
        else
            seen.depthM = number(row, "depth_m");
        const auto placed = placeAcoustics({&seen, 1}, s, {log, {}});
        if (frame == "body3d" && ship.latitudeDeg == 0 && ship.longitudeDeg == 0) {
            // What receivers write before their first fix: taken for no position.
            EXPECT_TRUE(placed.positions.empty());
            continue;
        }
        ASSERT_EQ(placed.positions.size(), 1u) << row.at("case");
        EXPECT_LT(apartM(placed.positions[0], number(row, "target_lat"), number(row, "target_lon")), 1e-3)
            << row.at("case");
        EXPECT_NEAR(*placed.positions[0].depthM, number(row, "depth_m"), 1e-3) << row.at("case");
        ++compared;
    }
    EXPECT_GE(compared, 17u);
}
