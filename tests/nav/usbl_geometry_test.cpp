// SPDX-License-Identifier: GPL-3.0-or-later
#include "check_table.h"
#include "nav/usbl_geometry.h"

#include <GeographicLib/Geodesic.hpp>
#include <cmath>
#include <gtest/gtest.h>
#include <limits>

using namespace holdfast;

namespace
{

constexpr double tolerance = 1e-3; // metres

struct Row {
    std::string name;
    UsblObservation seen;
    GeoPoint target;
    double heightM, depthM, depressionDeg, transducerDepthM;
};

/// Explicit vector sums in Earth-centred coordinates, the tangent plane by the local cartesian of
/// GeographicLib 2.1.2; the two agree to 1e-6 m.
const Row rows[] = {
    {"U4",
     {UsblFrame::Level,
      {-21.0759, 173.2147},
      18.0,
      214.0,
      2.1,
      -4.7,
      -12.5,
      3.2,
      23.5,
      1702.3,
      141.7,
      1432.600000,
      std::nullopt},
     {-21.06742547456084, 173.21405204518391},
     -1432.530271,
     1432.600000,
     56.958607167,
     5.601268},
    {"U5",
     {UsblFrame::Body,
      {-21.0759, 173.2147},
      18.0,
      214.0,
      2.1,
      -4.7,
      -12.5,
      3.2,
      23.5,
      1702.3,
      141.7,
      1432.600000,
      std::nullopt},
     {-21.06758456521588, 173.21286718554256},
     -1432.530364,
     1432.600000,
     58.560156514,
     5.601268},
    {"U6",
     {UsblFrame::Body3d,
      {-21.0759, 173.2147},
      18.0,
      214.0,
      2.1,
      -4.7,
      -12.5,
      3.2,
      23.5,
      1702.3,
      141.7,
      std::nullopt,
      57.000000000},
     {-21.06723482775104, 173.21286084750278},
     -1407.048330,
     1407.123723,
     57.000000000,
     5.601268},
    {"U9",
     {UsblFrame::Body3d,
      {0.0, 0.0},
      0.0,
      45.0,
      0.0,
      0.0,
      0.0,
      0.0,
      0.0,
      500.0,
      270.0,
      std::nullopt,
      30.000000000},
     {0.00276916396453, -0.00275062540529},
     -249.985251,
     250.000000,
     30.000000000,
     0.000000},
    {"U12",
     {UsblFrame::True,
      {60.1, -12.3},
      22.0,
      10.0,
      5.0,
      0.0,
      30.0,
      0.0,
      27.0,
      5400.0,
      200.0,
      3100.000000,
      std::nullopt},
     {60.06295829137721, -12.32707537895609},
     -3098.489091,
     3100.000000,
     35.005241645,
     2.282585},
    {"U14",
     {UsblFrame::Level,
      {-17.5, 179.9999},
      15.0,
      77.0,
      1.0,
      -1.5,
      -5.0,
      2.0,
      19.0,
      950.0,
      15.0,
      420.000000,
      std::nullopt},
     {-17.50030065118077, -179.99209960872176},
     -419.943343,
     420.000000,
     25.967922533,
     4.025512},
    {"U16",
     {UsblFrame::Level,
      {89.999, 40.0},
      15.0,
      30.0,
      0.5,
      0.5,
      -5.0,
      2.0,
      19.0,
      900.0,
      10.0,
      500.000000,
      std::nullopt},
     {89.99404390493173, 173.57525282508195},
     -499.956447,
     500.000000,
     33.438723367,
     4.059638},
    {"U17",
     {UsblFrame::Body,
      {78.55, 5.2},
      20.0,
      133.3,
      0.8,
      1.2,
      -8.0,
      1.1,
      25.0,
      2600.0,
      300.0,
      2440.000000,
      std::nullopt},
     {78.55235540544331, 5.23919706774074},
     -2439.935624,
     2440.000000,
     70.909557092,
     5.126813},
};

void expectRow(const Row &row)
{
    SCOPED_TRACE(row.name);
    const auto target = usblTarget(row.seen);
    ASSERT_TRUE(target) << target.error().sentence.toStdString();
    double metres = 0;
    GeographicLib::Geodesic::WGS84().Inverse(target->position.latitudeDeg, target->position.longitudeDeg,
                                             row.target.latitudeDeg, row.target.longitudeDeg, metres);
    EXPECT_LE(metres, tolerance);
    EXPECT_NEAR(target->heightM, row.heightM, tolerance);
    EXPECT_NEAR(target->depthM, row.depthM, tolerance);
    EXPECT_NEAR(target->depressionDeg, row.depressionDeg, 1e-6);
    EXPECT_NEAR(target->transducerDepthM, row.transducerDepthM, 1e-5);
}

UsblFrame frameFrom(const std::string &text)
{
    return text == "true"    ? UsblFrame::True
           : text == "level" ? UsblFrame::Level
           : text == "body"  ? UsblFrame::Body
                             : UsblFrame::Body3d;
}

Row fromTable(const test::CheckRow &row)
{
    const auto number = [&row](const char *column) { return test::number(row, column); };
    UsblObservation seen;
    seen.frame = frameFrom(row.at("frame"));
    seen.antenna = {number("antenna_lat"), number("antenna_lon")};
    seen.antennaHeightM = number("antenna_height_m");
    seen.headingDeg = number("heading_deg");
    seen.pitchDeg = number("pitch_deg");
    seen.rollDeg = number("roll_deg");
    seen.leverForwardM = number("lever_x_m");
    seen.leverStarboardM = number("lever_y_m");
    seen.leverDownM = number("lever_z_m");
    seen.slantRangeM = number("slant_range_m");
    seen.bearingDeg = number("bearing_deg");
    if (seen.frame == UsblFrame::Body3d)
        seen.depressionDeg = number("depression_deg");
    else
        seen.depthM = number("depth_m");
    return {row.at("case"),
            seen,
            {number("target_lat"), number("target_lon")},
            number("target_height_m"),
            number("depth_m"),
            number("depression_deg"),
            number("transducer_depth_m")};
}

UsblObservation sound()
{
    return rows[0].seen;
}

} // namespace

TEST(UsblGeometry, AgreesWithTheReferenceVectors)
{
    for (const Row &row : rows)
        expectRow(row);
}

TEST(UsblGeometry, AgreesWithEveryRowOfTheCheckTable)
{
    const auto table = test::checkTable("usbl.csv");
    if (!table)
        GTEST_SKIP() << "HOLDFAST_SHARED_DATA is not set";
    ASSERT_GE(table->size(), 20U);
    for (const auto &row : *table)
        expectRow(fromTable(row));
}

TEST(UsblGeometry, RefusesARangeShorterThanTheDepthDifference)
{
    for (const UsblFrame frame : {UsblFrame::True, UsblFrame::Level, UsblFrame::Body}) {
        UsblObservation seen = sound();
        seen.frame = frame;
        seen.slantRangeM = 1000.0;
        const auto target = usblTarget(seen);
        ASSERT_FALSE(target);
        EXPECT_EQ(target.error().kind, ErrorKind::Malformed);
        EXPECT_TRUE(target.error().sentence.contains(QStringLiteral("1000.00 m")));
    }
}

TEST(UsblGeometry, RefusesASteepTargetThatNoDeckPlaneDirectionFits)
{
    UsblObservation seen;
    seen.frame = UsblFrame::Body;
    seen.antenna = {10.0, 20.0};
    seen.pitchDeg = 10.0; // the bow is up: ahead of the ship nothing lies steeper than 80 degrees below
    seen.slantRangeM = 1000.0;
    seen.depthM = 999.0;
    seen.bearingDeg = 90.0; // abeam, the deck's down axis leans back: even it does not go down fast enough
    const auto target = usblTarget(seen);
    ASSERT_FALSE(target);
    EXPECT_EQ(target.error().kind, ErrorKind::Malformed);
}

TEST(UsblGeometry, RefusesASteepTargetWithTwoPossibleDirections)
{
    UsblObservation seen;
    seen.frame = UsblFrame::Body;
    seen.antenna = {10.0, 20.0};
    seen.pitchDeg = -10.0; // bow down: straight down lies 10 degrees aft of the deck's down axis
    seen.slantRangeM = 1000.0;
    seen.depthM = 999.0;
    seen.bearingDeg = 0.0;
    const auto target = usblTarget(seen);
    ASSERT_FALSE(target);
    EXPECT_TRUE(target.error().sentence.contains(QStringLiteral("two directions")));
}

TEST(UsblGeometry, RefusesMissingAndImpossibleNumbers)
{
    const auto refused = [](auto change) {
        UsblObservation seen = sound();
        change(seen);
        const auto target = usblTarget(seen);
        return !target && target.error().kind == ErrorKind::Usage;
    };
    const double nan = std::numeric_limits<double>::quiet_NaN();
    EXPECT_TRUE(refused([](auto &o) { o.depthM.reset(); }));
    EXPECT_TRUE(refused([](auto &o) { o.frame = UsblFrame::Body3d; }));
    EXPECT_TRUE(refused([](auto &o) { o.slantRangeM = 0.0; }));
    EXPECT_TRUE(refused([](auto &o) { o.pitchDeg = 90.0; }));
    EXPECT_TRUE(refused([](auto &o) { o.antenna.latitudeDeg = 91.0; }));
    EXPECT_TRUE(refused([nan](auto &o) { o.headingDeg = nan; }));
    EXPECT_TRUE(refused([](auto &o) {
        o.frame = UsblFrame::Body3d;
        o.depressionDeg = 91.0;
    }));
}
