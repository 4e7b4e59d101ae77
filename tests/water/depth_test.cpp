// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/depth.h"

#include "water/range.h"
#include "water/teos10.h"

#include <cmath>
#include <gtest/gtest.h>
#include <limits>

namespace holdfast
{
namespace
{

struct Row {
    double pressure, latitude, unesco, unescoTolerance, teos10;
};

/// UNESCO Technical Papers in Marine Science 44 (1983), p. 28 (check value and table); beside it GSW 3.6.16.
constexpr Row published[] = {
    {10000.00, 30.0000, 9712.653, 0.0005, 9713.735177}, {500.00, 0.0000, 496.65, 0.0055, 496.653285},
    {5000.00, 0.0000, 4915.04, 0.0055, 4915.150575},    {10000.00, 0.0000, 9725.47, 0.0055, 9726.555374},
    {500.00, 30.0000, 496.0, 0.0055, 495.997985},       {5000.00, 30.0000, 4908.56, 0.0055, 4908.668595},
    {10000.00, 30.0000, 9712.65, 0.0055, 9713.735177},  {500.00, 45.0000, 495.34, 0.0055, 495.342978},
    {5000.00, 45.0000, 4902.08, 0.0055, 4902.189518},   {10000.00, 45.0000, 9699.84, 0.0055, 9700.920703},
    {500.00, 90.0000, 494.03, 0.0055, 494.033867},      {5000.00, 90.0000, 4889.13, 0.0055, 4889.240250},
    {10000.00, 90.0000, 9674.23, 0.0055, 9675.309277},
};

/// The UNESCO 44 formula evaluated independently; GSW 3.6.16, z_from_p.
constexpr Row computed[] = {
    {100.00, 0.0000, 99.426547, 1e-5, 99.426676},
    {3000.00, 0.0000, 2962.425452, 1e-5, 2962.442627},
    {8000.00, 0.0000, 7812.928816, 1e-5, 7813.458858},
    {500.00, 30.0000, 495.997729, 1e-5, 495.997985},
    {4000.00, 30.0000, 3935.684057, 1e-5, 3935.733560},
    {11000.00, 30.0000, 10662.166713, 1e-5, 10663.626518},
    {1000.00, 45.0000, 989.499864, 1e-5, 989.500059},
    {5000.00, 45.0000, 4902.080752, 1e-5, 4902.189518},
    {10.00, 60.0000, 9.905476, 1e-5, 9.905490},
    {2000.00, 60.0000, 1971.716718, 1e-5, 1971.719914},
    {6500.00, 60.0000, 6343.308262, 1e-5, 6343.573915},
    {100.00, -77.0000, 98.928650, 1e-5, 98.928776},
    {3000.00, -77.0000, 2947.595323, 1e-5, 2947.612351},
    {8000.00, -77.0000, 7773.838401, 1e-5, 7774.365211},
};

template <std::size_t N>
void expectRows(const Row (&rows)[N])
{
    for (const Row &row : rows) {
        EXPECT_NEAR(depthUnesco44(row.pressure, row.latitude), row.unesco, row.unescoTolerance)
            << row.pressure << " dbar at " << row.latitude;
        EXPECT_NEAR(depthTeos10(row.pressure, row.latitude), row.teos10, 1e-5)
            << row.pressure << " dbar at " << row.latitude;
    }
}

TEST(Depth, AgreesWithThePublishedTable)
{
    expectRows(published);
}

TEST(Depth, AgreesWithTeos10)
{
    expectRows(computed);
}

TEST(Depth, IsTheSameNorthAndSouth)
{
    for (double latitude = 0; latitude <= 90; latitude += 7.5) {
        EXPECT_EQ(depthTeos10(6500, latitude), depthTeos10(6500, -latitude));
        EXPECT_EQ(depthUnesco44(6500, latitude), depthUnesco44(6500, -latitude));
    }
}

TEST(Depth, GrowsWithPressureByVolumeOverGravity)
{
    // Hydrostatics: d depth / d p = 1 / (rho g), rho of the standard ocean (35.16504 g/kg, 0 degC) by the 75
    // terms, gravity growing by 2.26e-7 of itself a metre. This ties the closed formula to the density.
    for (const double latitude : {0.0, -31.27, 78.0}) {
        for (double p = 5; p < 10000; p += 117) {
            const double slope = (depthTeos10(p + 0.5, latitude) - depthTeos10(p - 0.5, latitude)) / 1e4;
            const double depth = depthTeos10(p, latitude);
            const double gravity = surfaceGravity(latitude) * (1 + 2.26e-7 * depth);
            ASSERT_NEAR(slope * densityTeos10(35.16504, 0.0, p) * gravity, 1.0, 1e-8) << p;
        }
    }
}

TEST(Depth, ComesBackFromItsPressure)
{
    for (const double latitude : {0.0, 30.0, -77.0, 90.0}) {
        for (double p = -5; p <= 11000; p += 61) {
            ASSERT_NEAR(pressureFromDepthTeos10(depthTeos10(p, latitude), latitude), p, 1e-9);
        }
    }
}

TEST(Depth, IsNothingForWhatIsNoNumber)
{
    const double nan = std::numeric_limits<double>::quiet_NaN();
    EXPECT_TRUE(std::isnan(depthTeos10(nan, 0)));
    EXPECT_TRUE(std::isnan(depthTeos10(100, nan)));
    EXPECT_TRUE(std::isnan(depthUnesco44(nan, 0)));
    EXPECT_TRUE(std::isnan(pressureFromDepthTeos10(nan, 0)));
    EXPECT_TRUE(std::isnan(depthTeos10(100, 90.01))) << "there is no such latitude";
    EXPECT_TRUE(std::isnan(depthUnesco44(100, -91)));
    EXPECT_EQ(depthTeos10(0, 12), 0.0);
    EXPECT_EQ(depthUnesco44(0, 12), 0.0);
    EXPECT_LT(depthTeos10(-1, 12), 0.0);
}

TEST(Depth, SaysWhenLatitudeOrPressureIsOutside)
{
    using enum SeawaterFormula;
    EXPECT_TRUE(noteForDepth(DepthTeos10, 10000, -90).inside());
    EXPECT_TRUE(noteForDepth(DepthTeos10, 10000.1, 0).has(RangeNote::PressureHigh));
    EXPECT_TRUE(noteForDepth(DepthUnesco44, -0.1, 0).has(RangeNote::PressureLow));
    EXPECT_TRUE(noteForDepth(DepthUnesco44, 100, 91).has(RangeNote::LatitudeImpossible));
}

} // namespace
} // namespace holdfast
