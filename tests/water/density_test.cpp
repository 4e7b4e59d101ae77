// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/density.h"

#include "water/freezing.h"
#include "water/range.h"
#include "water/salinity.h"
#include "water/teos10.h"

#include <cmath>
#include <functional>
#include <gtest/gtest.h>
#include <limits>
#include <span>

namespace holdfast
{
namespace
{

/// Temperatures are ITS-90: the printed IPTS-68 figure over 1.00024.
struct Row {
    double salinity, temperature, pressure, value, tolerance;
};

/// EOS-80 density, kg/m3. First eight rows: UNESCO 44 (1983), p. 19; the rest: the printed formula evaluated
/// independently.
constexpr Row density[] = {
    {0.0000, 4.998800288, 0.0, 999.96675, 1e-5},    {0.0000, 4.998800288, 10000.0, 1044.12802, 1e-5},
    {0.0000, 24.994001440, 0.0, 997.04796, 1e-5},   {0.0000, 24.994001440, 10000.0, 1037.90204, 1e-5},
    {35.0000, 4.998800288, 0.0, 1027.67547, 1e-5},  {35.0000, 4.998800288, 10000.0, 1069.48914, 1e-5},
    {35.0000, 24.994001440, 0.0, 1023.34306, 1e-5}, {35.0000, 24.994001440, 10000.0, 1062.53817, 1e-5},
    {35.0000, 0.0000, 0.0, 1028.106331, 1e-5},      {35.0000, -1.8000, 100.0, 1028.662535, 1e-5},
    {34.5000, -1.5000, 500.0, 1030.159078, 1e-5},   {34.6000, 1.5000, 4000.0, 1045.796147, 1e-5},
    {34.6800, 1.1000, 6500.0, 1056.504580, 1e-5},   {34.5600, 3.4120, 1440.0, 1034.123479, 1e-5},
    {34.9000, 4.0000, 2000.0, 1036.824903, 1e-5},   {35.2000, 10.0000, 1000.0, 1031.584951, 1e-5},
    {36.1000, 20.0000, 200.0, 1026.471709, 1e-5},   {37.5000, 26.0000, 20.0, 1025.006695, 1e-5},
    {38.6000, 13.4000, 2500.0, 1039.924248, 1e-5},  {30.0000, 8.0000, 50.0, 1023.579758, 1e-5},
    {20.0000, 15.0000, 10.0, 1014.488007, 1e-5},    {10.0000, 2.0000, 0.0, 1007.982542, 1e-5},
    {5.0000, 30.0000, 0.0, 999.378087, 1e-5},       {40.0000, 32.0000, 0.0, 1024.772143, 1e-5},
    {35.0000, 5.0000, 0.0, 1027.675325, 1e-5},      {35.0000, 25.0000, 0.0, 1023.341235, 1e-5},
    {33.0000, 6.0000, 3000.0, 1039.413327, 1e-5},   {34.7000, 2.0000, 5000.0, 1050.063987, 1e-5},
};

/// Potential temperature at 0 dbar on IPTS-68: UNESCO 44 (1983), pp. 44 and 45, table printed to 4 decimals.
constexpr Row theta68[] = {
    {40.0000, 39.990402303, 10000.0, 36.89073, 1e-5}, {25.0000, 0.000000000, 5000.0, -0.3061, 7e-5},
    {25.0000, 9.997600576, 5000.0, 9.3531, 7e-5},     {25.0000, 19.995201152, 5000.0, 19.0438, 7e-5},
    {25.0000, 29.992801728, 5000.0, 28.7512, 7e-5},   {25.0000, 39.990402303, 5000.0, 38.4607, 7e-5},
    {25.0000, 0.000000000, 10000.0, -0.9667, 7e-5},   {25.0000, 9.997600576, 10000.0, 8.4684, 7e-5},
    {25.0000, 19.995201152, 10000.0, 17.9426, 7e-5},  {25.0000, 29.992801728, 10000.0, 27.4353, 7e-5},
    {25.0000, 39.990402303, 10000.0, 36.9254, 7e-5},  {35.0000, 0.000000000, 5000.0, -0.3856, 7e-5},
    {35.0000, 9.997600576, 5000.0, 9.2906, 7e-5},     {35.0000, 19.995201152, 5000.0, 18.9985, 7e-5},
    {35.0000, 29.992801728, 5000.0, 28.7231, 7e-5},   {35.0000, 39.990402303, 5000.0, 38.4498, 7e-5},
    {35.0000, 0.000000000, 10000.0, -1.0974, 7e-5},   {35.0000, 9.997600576, 10000.0, 8.3643, 7e-5},
    {35.0000, 19.995201152, 10000.0, 17.8654, 7e-5},  {35.0000, 29.992801728, 10000.0, 27.3851, 7e-5},
    {35.0000, 39.990402303, 10000.0, 36.9023, 7e-5},
};

/// The same on ITS-90, evaluated independently.
constexpr Row theta90[] = {
    {35.0000, 0.0000, 0.0, 0.0000000, 1e-6},     {34.5000, -1.5000, 500.0, -1.5133637, 1e-6},
    {34.6800, 1.1000, 6500.0, 0.4867268, 1e-6},  {34.9000, 4.0000, 2000.0, 3.8327074, 1e-6},
    {36.1000, 20.0000, 200.0, 19.9627793, 1e-6}, {38.6000, 13.4000, 2500.0, 13.0104708, 1e-6},
    {20.0000, 15.0000, 10.0, 14.9986827, 1e-6},  {5.0000, 30.0000, 0.0, 30.0000000, 1e-6},
    {35.0000, 5.0000, 0.0, 5.0000000, 1e-6},     {33.0000, 6.0000, 3000.0, 5.6945010, 1e-6},
};

/// EOS-80 potential density anomaly, kg/m3, evaluated independently.
constexpr Row sigmaTheta[] = {
    {35.0000, 0.0000, 0.0, 28.106331, 1e-5},     {35.0000, -1.8000, 100.0, 28.181324, 1e-5},
    {34.5000, -1.5000, 500.0, 27.766162, 1e-5},  {34.6000, 1.5000, 4000.0, 27.711627, 1e-5},
    {34.6800, 1.1000, 6500.0, 27.820532, 1e-5},  {34.5600, 3.4120, 1440.0, 27.505383, 1e-5},
    {34.9000, 4.0000, 2000.0, 27.724016, 1e-5},  {35.2000, 10.0000, 1000.0, 27.128938, 1e-5},
    {36.1000, 20.0000, 200.0, 25.610969, 1e-5},  {37.5000, 26.0000, 20.0, 24.922319, 1e-5},
    {38.6000, 13.4000, 2500.0, 29.182906, 1e-5}, {30.0000, 8.0000, 50.0, 23.350475, 1e-5},
    {20.0000, 15.0000, 10.0, 14.442926, 1e-5},   {10.0000, 2.0000, 0.0, 7.982542, 1e-5},
    {5.0000, 30.0000, 0.0, -0.621913, 1e-5},     {40.0000, 32.0000, 0.0, 24.772143, 1e-5},
    {35.0000, 5.0000, 0.0, 27.675325, 1e-5},     {35.0000, 25.0000, 0.0, 23.341235, 1e-5},
    {33.0000, 6.0000, 3000.0, 26.009536, 1e-5},  {34.7000, 2.0000, 5000.0, 27.765851, 1e-5},
};

/// UNESCO 44 freezing point on IPTS-68, pp. 29 and 30, table printed to 3 decimals.
constexpr Row freezing68[] = {
    {40.0000, 0.000000000, 500.0, -2.588567, 1e-6}, {5.0000, 0.000000000, 0.0, -0.274, 6e-4},
    {10.0000, 0.000000000, 0.0, -0.542, 6e-4},      {15.0000, 0.000000000, 0.0, -0.812, 6e-4},
    {20.0000, 0.000000000, 0.0, -1.083, 6e-4},      {25.0000, 0.000000000, 0.0, -1.358, 6e-4},
    {30.0000, 0.000000000, 0.0, -1.638, 6e-4},      {35.0000, 0.000000000, 0.0, -1.922, 6e-4},
    {40.0000, 0.000000000, 0.0, -2.212, 6e-4},      {5.0000, 0.000000000, 500.0, -0.650, 6e-4},
    {10.0000, 0.000000000, 500.0, -0.919, 6e-4},    {15.0000, 0.000000000, 500.0, -1.188, 6e-4},
    {20.0000, 0.000000000, 500.0, -1.460, 6e-4},    {25.0000, 0.000000000, 500.0, -1.735, 6e-4},
    {30.0000, 0.000000000, 500.0, -2.014, 6e-4},    {35.0000, 0.000000000, 500.0, -2.299, 6e-4},
    {40.0000, 0.000000000, 500.0, -2.589, 6e-4},
};

/// The same on ITS-90, evaluated independently.
constexpr Row freezing90[] = {
    {35.0000, 0.0000, 0.0, -1.9218401, 1e-6},    {35.0000, 0.0000, 1000.0, -2.6746594, 1e-6},
    {34.5000, 0.0000, 3000.0, -4.1516289, 1e-6}, {33.0000, 0.0000, 200.0, -1.9580443, 1e-6},
    {20.0000, 0.0000, 50.0, -1.1205871, 1e-6},   {5.0000, 0.0000, 0.0, -0.2736976, 1e-6},
    {38.0000, 0.0000, 500.0, -2.4714022, 1e-6},
};

/// GSW 3.6.16, sigma0 at reference salinity, kg/m3.
constexpr Row sigma0[] = {
    {35.0000, 0.0000, 0.0, 28.107022, 1e-5},     {35.0000, -1.8000, 100.0, 28.182907, 1e-5},
    {34.5000, -1.5000, 500.0, 27.768087, 1e-5},  {34.6000, 1.5000, 4000.0, 27.712262, 1e-5},
    {34.6800, 1.1000, 6500.0, 27.821376, 1e-5},  {34.5600, 3.4120, 1440.0, 27.505777, 1e-5},
    {34.9000, 4.0000, 2000.0, 27.724337, 1e-5},  {35.2000, 10.0000, 1000.0, 27.130954, 1e-5},
    {36.1000, 20.0000, 200.0, 25.614050, 1e-5},  {37.5000, 26.0000, 20.0, 24.922649, 1e-5},
    {38.6000, 13.4000, 2500.0, 29.183912, 1e-5}, {30.0000, 8.0000, 50.0, 23.352261, 1e-5},
    {20.0000, 15.0000, 10.0, 14.445661, 1e-5},   {10.0000, 2.0000, 0.0, 7.980410, 1e-5},
    {5.0000, 30.0000, 0.0, -0.620333, 1e-5},     {40.0000, 32.0000, 0.0, 24.769200, 1e-5},
    {35.0000, 5.0000, 0.0, 27.675741, 1e-5},     {35.0000, 25.0000, 0.0, 23.343131, 1e-5},
    {33.0000, 6.0000, 3000.0, 26.010684, 1e-5},  {34.7000, 2.0000, 5000.0, 27.766401, 1e-5},
};

/// GSW 3.6.16, rho at reference salinity, kg/m3.
constexpr Row rho[] = {
    {35.0000, 0.0000, 0.0, 1028.107022, 1e-5},    {34.5000, -1.5000, 500.0, 1030.161742, 1e-5},
    {34.6800, 1.1000, 6500.0, 1056.509088, 1e-5}, {34.9000, 4.0000, 2000.0, 1036.827320, 1e-5},
    {36.1000, 20.0000, 200.0, 1026.474918, 1e-5}, {38.6000, 13.4000, 2500.0, 1039.927517, 1e-5},
    {20.0000, 15.0000, 10.0, 1014.490743, 1e-5},  {5.0000, 30.0000, 0.0, 999.379667, 1e-5},
    {35.0000, 5.0000, 0.0, 1027.675741, 1e-5},    {33.0000, 6.0000, 3000.0, 1039.417400, 1e-5},
};

/// GSW 3.6.16, t_freezing of air-free water at reference salinity.
constexpr Row freezingTeos[] = {
    {35.0000, 0.0000, 0.0, -1.9191143, 1e-5},    {35.0000, 0.0000, 1000.0, -2.6833062, 1e-5},
    {34.5000, 0.0000, 3000.0, -4.2770686, 1e-5}, {33.0000, 0.0000, 200.0, -1.9553197, 1e-5},
    {20.0000, 0.0000, 50.0, -1.1176276, 1e-5},   {5.0000, 0.0000, 0.0, -0.2706939, 1e-5},
    {38.0000, 0.0000, 500.0, -2.4699923, 1e-5},
};

using Formula = std::function<double(double, double, double)>;

void expectRows(std::span<const Row> rows, const Formula &formula)
{
    for (const Row &row : rows)
        EXPECT_NEAR(formula(row.salinity, row.temperature, row.pressure), row.value, row.tolerance)
            << row.salinity << ", " << row.temperature << " degC, " << row.pressure << " dbar";
}

double theta(double s, double t, double p)
{
    return potentialTemperatureEos80(s, t, p);
}

TEST(Density, AgreesWithThePublishedCheckValues)
{
    expectRows(density, densityEos80);
}

TEST(PotentialTemperature, AgreesWithThePublishedTable)
{
    expectRows(theta68, [](double s, double t, double p) { return theta(s, t, p) * t68PerT90; });
    expectRows(theta90, theta);
}

TEST(PotentialTemperature, ComesBackWhenTheParcelDoes)
{
    for (double p = 0; p <= 6500; p += 500) {
        const double raised = potentialTemperatureEos80(34.7, 2.0, p, 0.0);
        EXPECT_NEAR(potentialTemperatureEos80(34.7, raised, 0.0, p), 2.0, 1e-5) << p; // one step, both ways
    }
    EXPECT_EQ(potentialTemperatureEos80(34.7, 2.0, 100.0, 100.0), 2.0);
}

TEST(Sigma0, AgreesWithIndependentEvaluations)
{
    expectRows(sigmaTheta, sigma0Eos80);
}

TEST(Sigma0, IsTheDensityOfTheRaisedParcel)
{
    EXPECT_NEAR(sigma0Eos80(34.7, 2.0, 5000), densityEos80(34.7, theta(34.7, 2.0, 5000), 0) - 1000, 1e-12);
}

TEST(FreezingPoint, AgreesWithThePublishedTable)
{
    expectRows(freezing68, [](double s, double, double p) { return freezingPointUnesco44Ipts68(s, p); });
    expectRows(freezing90, [](double s, double, double p) { return freezingPointUnesco44(s, p); });
}

TEST(FreezingPoint, IsGivenAndNotedBeyond500Dbar)
{
    const auto note = [](double s, double p) { return noteFor(SeawaterFormula::FreezingUnesco44, s, 0, p); };
    EXPECT_TRUE(note(35, 500).inside());
    EXPECT_EQ(note(35, 500.1).bits, RangeNote::PressureHigh);
    EXPECT_EQ(note(3.9, 0).bits, RangeNote::SalinityLow);
    EXPECT_NEAR(freezingPointUnesco44(34.5, 3000), -4.1516289, 1e-6);
}

TEST(Teos10, DensityAndSigma0AgreeWithTheToolbox)
{
    expectRows(sigma0, sigma0Teos10);
    expectRows(rho, [](double s, double t, double p) {
        const double sa = referenceSalinity(s);
        return densityTeos10(sa, conservativeTemperature(sa, t, p), p);
    });
}

TEST(Teos10, FreezingPointAgreesWithTheToolbox)
{
    expectRows(freezingTeos, [](double s, double, double p) { return freezingPointTeos10(s, p); });
}

TEST(Teos10, ConservativeTemperatureOfTheReferencePointIsZero)
{
    // By definition of the reference state: 35.16504 g/kg, 0 degC, 0 dbar (TEOS-10 manual, section 2.4).
    EXPECT_NEAR(conservativeTemperature(35.16504, 0.0, 0.0), 0.0, 2e-7);
    EXPECT_NEAR(referenceSalinity(35.0), 35.16504, 1e-12);
}

TEST(Density, IsNothingForWhatIsNoNumber)
{
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const auto formula : {densityEos80, sigma0Eos80, sigma0Teos10}) {
        EXPECT_TRUE(std::isnan(formula(nan, 2, 100)));
        EXPECT_TRUE(std::isnan(formula(35, nan, 100)));
        EXPECT_TRUE(std::isnan(formula(35, 2, nan)));
        EXPECT_TRUE(std::isnan(formula(-1, 2, 100)));
    }
    EXPECT_TRUE(std::isnan(densityTeos10(-1, 2, 100)));
    EXPECT_TRUE(std::isnan(freezingPointUnesco44(-1, 0)));
    EXPECT_TRUE(std::isnan(freezingPointTeos10(-1, 0)));
    EXPECT_TRUE(std::isnan(freezingPointTeos10(35, nan)));
    EXPECT_TRUE(std::isnan(conservativeTemperature(-1, 2, 0)));
}

} // namespace
} // namespace holdfast
