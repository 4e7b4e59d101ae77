// SPDX-License-Identifier: GPL-3.0-or-later
#include "check_table.h"
#include "nav/geodesic.h"

#include <GeographicLib/GeodesicExact.hpp>
#include <cmath>
#include <gtest/gtest.h>
#include <limits>

using namespace holdfast;

namespace
{

constexpr double tolerance = 1e-6; // metres

struct Row {
    const char *name;
    GeoPoint from, to;
    double fraction;
    GeoPoint expected;
    double lengthM;
};

/// From GeodSolve of GeographicLib 2.1.2 in its exact elliptic form (C. F. F. Karney 2013, J. Geodesy 87,
/// 43-55).
const Row rows[] = {
    {"short2km-2",
     {-21.075868, 173.2147333},
     {-21.064, 173.2},
     0.25,
     {-21.07290112141385, 173.21104975582102},
     2017.647785532},
    {"antimeridian50m-2",
     {-17.5, 179.9998},
     {-17.5001, -179.9998},
     0.25,
     {-17.50002500007563, 179.99989999995898},
     43.897826381},
    {"antimeridian2km-3",
     {-45.0, 179.99},
     {-45.005, -179.99},
     0.5,
     {-45.00250043835203, 179.99999956509498},
     1671.906137825},
    {"antimeridianW-2",
     {52.0, -179.995},
     {52.01, 179.995},
     0.5,
     {52.00500010824297, -179.99999944284258},
     1307.519174026},
    {"nearpole-3", {89.9995, 10.0}, {89.9995, -170.0}, 0.5001, {89.99999989999999, -170.0}, 111.693979562},
    {"nearpole2-3", {89.99, 0.0}, {89.99, 90.0}, 0.5, {89.99292893215259, 45.00000000030565}, 1579.591403105},
    {"southpole-3",
     {-89.9999, 30.0},
     {-89.9998, 140.0},
     0.5,
     {-89.99990471202297, 110.45675272287036},
     28.186038422},
    {"same-2", {36.6, -122.0}, {36.6, -122.0}, 0.5, {36.6, -122.0}, 0.0},
    {"long5000km-2",
     {60.0, -150.0},
     {55.0, 160.0},
     0.25,
     {60.67805077164894, -163.41534937322177},
     2973717.431616099},
    {"gap20min-2",
     {44.5, -125.5},
     {44.5105, -125.4851},
     1.0 / 3.0,
     {44.50350021811773, -125.49503392768099},
     1662.928435361},
};

double apart(const GeoPoint &a, const GeoPoint &b)
{
    double metres = 0;
    GeographicLib::GeodesicExact::WGS84().Inverse(a.latitudeDeg, a.longitudeDeg, b.latitudeDeg,
                                                  b.longitudeDeg, metres);
    return metres;
}

void expectRow(const Row &row)
{
    SCOPED_TRACE(row.name);
    const auto line = geodesicBetween(row.from, row.to);
    ASSERT_TRUE(line);
    EXPECT_NEAR(line->lengthM, row.lengthM, tolerance);
    const auto at = geodesicAtFraction(row.from, row.to, row.fraction);
    ASSERT_TRUE(at);
    EXPECT_LE(apart(*at, row.expected), tolerance);
    EXPECT_LE(std::abs(at->longitudeDeg), 180.0);
    const auto direct = geodesicPoint(row.from, line->azimuthAtStartDeg, row.fraction * row.lengthM);
    ASSERT_TRUE(direct);
    EXPECT_LE(apart(*direct, row.expected), tolerance);
}

} // namespace

TEST(Geodesic, AgreesWithTheReferenceSolver)
{
    for (const Row &row : rows)
        expectRow(row);
}

TEST(Geodesic, AgreesWithEveryRowOfTheCheckTable)
{
    const auto table = test::checkTable("geodesic.csv");
    if (!table)
        GTEST_SKIP() << "HOLDFAST_SHARED_DATA is not set";
    ASSERT_GE(table->size(), 80U);
    for (const auto &row : *table) {
        expectRow({row.at("case").c_str(),
                   {test::number(row, "lat1"), test::number(row, "lon1")},
                   {test::number(row, "lat2"), test::number(row, "lon2")},
                   test::number(row, "fraction"),
                   {test::number(row, "lat"), test::number(row, "lon")},
                   test::number(row, "distance_m")});
    }
}

TEST(Geodesic, EndsAreReturnedUnrounded)
{
    const GeoPoint from{-17.5, 179.9998}, to{-17.5001, -179.9998};
    EXPECT_EQ(geodesicAtFraction(from, to, 0.0)->longitudeDeg, from.longitudeDeg);
    EXPECT_EQ(geodesicAtFraction(from, to, 1.0)->latitudeDeg, to.latitudeDeg);
    EXPECT_EQ(geodesicAtFraction({10.0, 190.0}, to, 0.0)->longitudeDeg, -170.0);
}

TEST(Geodesic, RefusesWhatIsNoPlaceOrNoFraction)
{
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const GeoPoint &bad : {GeoPoint{91.0, 0.0}, GeoPoint{nan, 0.0}, GeoPoint{0.0, nan},
                                GeoPoint{0.0, std::numeric_limits<double>::infinity()}}) {
        EXPECT_FALSE(isPlace(bad));
        const auto line = geodesicBetween(bad, {0.0, 1.0});
        ASSERT_FALSE(line);
        EXPECT_EQ(line.error().kind, ErrorKind::Usage);
        EXPECT_FALSE(geodesicBetween({0.0, 1.0}, bad));
        EXPECT_FALSE(geodesicPoint(bad, 0.0, 1.0));
    }
    EXPECT_FALSE(geodesicPoint({0.0, 0.0}, nan, 1.0));
    EXPECT_FALSE(geodesicAtFraction({0.0, 0.0}, {0.0, 1.0}, 1.0001));
    EXPECT_FALSE(geodesicAtFraction({0.0, 0.0}, {0.0, 1.0}, nan));
}
