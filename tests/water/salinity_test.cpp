// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/salinity.h"

#include "water/range.h"

#include <cmath>
#include <gtest/gtest.h>
#include <limits>
#include <random>

namespace holdfast
{
namespace
{

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

struct Row {
    double conductivity, temperature, pressure, salinity, tolerance;
};

/// UNESCO Technical Papers in Marine Science 44 (1983), pp. 9 and 14 (as later reproductions quote them):
/// ratio x 42.914 mS/cm, IPTS-68 / 1.00024. The rows of 5e-5 are printed with a ratio of six decimals.
constexpr Row published[] = {
    {81.025537174, 39.990402303, 10000.0, 40.000000, 5e-06},
    {42.914000000, 14.996400864, 0.0, 35.000000, 1e-06},
    {51.496800000, 19.995201152, 2000.0, 37.245628, 1e-06},
    {27.894100000, 4.998800288, 1500.0, 27.995347, 1e-06},
    {28.108240860, 9.997600576, 0.0, 25.000000, 5e-5},
    {21.724955016, 0.000000000, 1000.0, 25.000000, 5e-5},
    {28.450909150, 9.997600576, 1000.0, 25.000000, 5e-5},
    {42.917132722, 9.997600576, 0.0, 40.000000, 5e-5},
    {65.657003838, 29.992801728, 0.0, 40.000000, 5e-5},
};

/// TEOS-10 toolbox GSW 3.6.16, SP_from_C.
constexpr Row computed[] = {
    {2.06741, -0.1000, 0.0, 2.050000004, 1e-6},     {8.10929, 20.0000, 500.0, 4.999999660, 1e-6},
    {24.69521, 25.0000, 0.0, 15.000002161, 1e-6},   {47.83786, 30.0000, 20.0, 28.000000666, 1e-6},
    {26.34816, -1.9000, 0.0, 33.499995188, 1e-6},   {31.63325, 1.5000, 4000.0, 34.599996219, 1e-6},
    {32.46578, 2.8000, 2500.0, 34.899994519, 1e-6}, {39.32237, 10.0000, 3000.0, 35.000002745, 1e-6},
    {58.69007, 28.3000, 2.0, 36.499998934, 1e-6},   {47.36939, 14.0000, 3500.0, 38.700001440, 1e-6},
    {74.90848, 35.0000, 100.0, 42.000000406, 1e-6},
};

/// The same below 2, where it uses the extension of Hill, Dauphinee and Woods 1986.
constexpr Row fresh[] = {
    {0.03207, 10.0000, 0.0, 0.020003075, 1e-6},   {0.05821, 0.5000, 5.0, 0.049999094, 1e-6},
    {0.21222, 25.0000, 0.0, 0.100001173, 1e-6},   {0.37931, 4.0000, 1200.0, 0.300001968, 1e-6},
    {0.81429, 15.0000, 100.0, 0.499998110, 1e-6}, {1.96509, 30.0000, 0.0, 0.899998485, 1e-6},
    {1.57386, 8.0000, 50.0, 1.199998836, 1e-6},   {2.77553, 20.0000, 300.0, 1.599997282, 1e-6},
    {2.10304, 2.0000, 10.0, 1.950004158, 1e-6},   {3.04555, 15.0000, 0.0, 1.999000492, 1e-6},
};

template <std::size_t N>
void expectRows(const Row (&rows)[N])
{
    for (const Row &row : rows)
        EXPECT_NEAR(practicalSalinity(row.conductivity, row.temperature, row.pressure), row.salinity,
                    row.tolerance)
            << row.conductivity << " mS/cm, " << row.temperature << " degC, " << row.pressure << " dbar";
}

TEST(Salinity, AgreesWithThePublishedCheckValues)
{
    expectRows(published);
}

TEST(Salinity, AgreesWithTeos10)
{
    expectRows(computed);
}

TEST(Salinity, FollowsTheExtensionBelowTwo)
{
    expectRows(fresh);
}

TEST(Salinity, OfTheBareScaleDiffersBelowTwoOnly)
{
    // UNESCO 44 scale without extension at the row of 0.02: 0.023002678 (GSW 3.6.16, extension left out).
    EXPECT_NEAR(practicalSalinityWithoutExtension(0.03207, 10.0, 0.0), 0.023002678, 2e-9);
    EXPECT_EQ(practicalSalinityWithoutExtension(32.3, 3.4, 1440.0), practicalSalinity(32.3, 3.4, 1440.0));
}

TEST(Salinity, HasNoStepAtTwo)
{
    for (const double t : {-1.0, 5.0, 15.0, 30.0}) {
        const double at2 = conductivityFromSalinity(2.0, t, 0.0);
        const double below = practicalSalinity(at2 * (1 - 1e-9), t, 0.0);
        const double above = practicalSalinity(at2 * (1 + 1e-9), t, 0.0);
        EXPECT_NEAR(below, 2.0, 1e-8) << t;
        EXPECT_NEAR(above, 2.0, 1e-8) << t;
    }
}

TEST(Salinity, MixingTheTemperatureScalesWouldShow)
{
    // 0.00024 x 10 degC changes salinity by about 0.002: the input is ITS-90, not the scale of the
    // polynomials.
    const double right = practicalSalinity(39.32237, 10.0, 3000.0);
    const double wrong = practicalSalinity(39.32237, 10.0 / t68PerT90, 3000.0);
    EXPECT_NEAR(wrong - right, 0.0022, 0.0004);
}

TEST(Salinity, GrowsWithConductivity)
{
    for (const double t : {-1.9, 4.0, 20.0, 34.0}) {
        double before = -1.0;
        for (double c = 0.01; c < 75.0; c += 0.05) {
            const double s = practicalSalinity(c, t, 500.0);
            ASSERT_GT(s, before) << c << " mS/cm at " << t;
            before = s;
        }
    }
}

TEST(Salinity, ComesBackFromItsConductivity)
{
    std::mt19937_64 random(44);
    std::uniform_real_distribution<double> salinity(0.001, 42.0), temperature(-2.0, 35.0),
        pressure(0.0, 10000.0);
    for (int i = 0; i < 20000; ++i) {
        const double s = salinity(random), t = temperature(random), p = pressure(random);
        ASSERT_NEAR(practicalSalinity(conductivityFromSalinity(s, t, p), t, p), s, 1e-10)
            << s << ' ' << t << ' ' << p;
    }
    EXPECT_EQ(conductivityFromSalinity(0.0, 10.0, 0.0), 0.0);
    EXPECT_NEAR(conductivityFromSalinity(35.0, 15.0 / t68PerT90, 0.0), 42.9140, 1e-5);
}

TEST(Salinity, IsNothingForWhatIsNoConductivity)
{
    EXPECT_TRUE(std::isnan(practicalSalinity(-0.01, 10.0, 0.0)));
    EXPECT_TRUE(std::isnan(practicalSalinity(nan, 10.0, 0.0)));
    EXPECT_TRUE(std::isnan(practicalSalinity(40.0, nan, 0.0)));
    EXPECT_TRUE(std::isnan(practicalSalinity(40.0, 10.0, nan)));
    EXPECT_NEAR(practicalSalinity(0.0, 10.0, 0.0), 0.0, 1e-12);
    // The extension falls below 0 for the least conductivities; TEOS-10 toolbox (python3-gsw 3.6.16): no
    // value.
    EXPECT_TRUE(std::isnan(practicalSalinity(1e-3, 10.0, 0.0)));
    EXPECT_TRUE(std::isnan(practicalSalinity(1e-3, 35.0, 10000.0)));
    EXPECT_NEAR(practicalSalinity(0.01, 10.0, 0.0), 0.005200881504370362, 1e-15); // the same toolbox
    EXPECT_TRUE(std::isnan(conductivityFromSalinity(-1.0, 10.0, 0.0)));
    EXPECT_TRUE(std::isnan(conductivityFromSalinity(35.0, std::numeric_limits<double>::infinity(), 0.0)));
}

} // namespace
} // namespace holdfast
