// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/oxygen.h"

#include "water/range.h"

#include <cmath>
#include <gtest/gtest.h>
#include <limits>
#include <span>

namespace holdfast
{
namespace
{

struct Row {
    double salinity, temperature, value, tolerance;
};

/// umol/kg: documentation of the TEOS-10 toolbox (version 3.05), page of O2sol_SP_pt; last row GSW 3.6.16 at
/// 10 degC on IPTS-68.
constexpr Row publishedPerKg[] = {
    {34.7118, 28.809900, 194.682543, 1e-4},   {34.8915, 28.439200, 195.613506, 1e-4},
    {35.0256, 22.786200, 214.655936, 1e-4},   {34.8472, 10.226200, 273.565283, 1e-4},
    {34.7366, 6.827200, 295.158076, 1e-4},    {34.7324, 4.323600, 312.959872, 1e-4},
    {35.0000, 9.997600576, 274.609832, 1e-4},
};

/// umol/kg, GSW 3.6.16.
constexpr Row perKg[] = {
    {0.0000, 0.0000, 457.005730, 1e-4},   {0.0000, 10.0000, 352.844123, 1e-4},
    {0.0000, 30.0000, 237.223062, 1e-4},  {20.0000, 5.0000, 343.781927, 1e-4},
    {20.0000, 20.0000, 249.196197, 1e-4}, {35.0000, 0.0000, 347.902871, 1e-4},
    {35.0000, 10.0000, 274.595664, 1e-4}, {35.0000, 30.0000, 190.718982, 1e-4},
    {34.5600, 3.4120, 320.344412, 1e-4},  {42.0000, 35.0000, 169.384235, 1e-4},
};

/// mL/L, Garcia and Gordon 1992 with the Benson and Krause data, evaluated independently.
constexpr Row perLitre[] = {
    {0.0000, 0.0000, 10.231426, 1e-5},  {0.0000, 10.0000, 7.898299, 1e-5},  {0.0000, 30.0000, 5.288612, 1e-5},
    {20.0000, 5.0000, 7.819505, 1e-5},  {20.0000, 20.0000, 5.654204, 1e-5}, {35.0000, 0.0000, 8.010117, 1e-5},
    {35.0000, 10.0000, 6.314439, 1e-5}, {35.0000, 30.0000, 4.362896, 1e-5}, {34.5600, 3.4120, 7.370873, 1e-5},
    {42.0000, 35.0000, 3.887682, 1e-5},
};

void expectRows(std::span<const Row> rows, double (*formula)(double, double) noexcept)
{
    for (const Row &row : rows)
        EXPECT_NEAR(formula(row.salinity, row.temperature), row.value, row.tolerance)
            << row.salinity << ", " << row.temperature << " degC";
}

TEST(OxygenSolubility, AgreesWithTheDocumentedValues)
{
    expectRows(publishedPerKg, oxygenSolubilityUmolKg);
}

TEST(OxygenSolubility, AgreesWithTeos10)
{
    expectRows(perKg, oxygenSolubilityUmolKg);
}

TEST(OxygenSolubility, PerLitreIsAFitOfItsOwn)
{
    expectRows(perLitre, oxygenSolubilityMlL);
    // The authors' check value, S 35, 10 degC on IPTS-68: 282.015 umol/L (quoted from memory).
    EXPECT_NEAR(oxygenSolubilityUmolL(35.0, 10.0 / 1.00024), 282.015, 6e-4);
    EXPECT_GT(oxygenSolubilityUmolL(35.0, 10.0) - oxygenSolubilityUmolKg(35.0, 10.0), 7.0);
}

TEST(OxygenSolubility, FallsWithTemperatureAndSalinity)
{
    for (double t = -1.9; t < 39; t += 0.5)
        ASSERT_LT(oxygenSolubilityUmolKg(35, t + 0.5), oxygenSolubilityUmolKg(35, t));
    for (double s = 0; s < 41; s += 0.5)
        ASSERT_LT(oxygenSolubilityUmolKg(s + 0.5, 5), oxygenSolubilityUmolKg(s, 5));
}

TEST(OxygenUnits, FollowTheirDefinitions)
{
    // 44.6596 umol in a mL (STP), 31.998 g/mol, density in kg/L.
    EXPECT_NEAR(umolLFromMlL(6.315), 282.025374, 1e-5);
    EXPECT_NEAR(mgLFromUmolL(282.025374), 9.024248, 1e-6);
    EXPECT_NEAR(umolKgFromUmolL(282.025374, 1.02695), 274.624250, 1e-5);
    EXPECT_NEAR(umolKgFromMlL(6.315, 1.02695), 274.624250, 1e-5);
    EXPECT_NEAR(umolLFromMgL(6.315), 197.356085, 1e-5);
    EXPECT_NEAR(mlLFromUmolKg(252.6, 1.02695), 5.808551, 1e-6);
    EXPECT_EQ(umolKgFromMlL(0, 1.025), 0.0);
}

TEST(OxygenUnits, ComeBack)
{
    for (double x = 0; x < 500; x += 13.7) {
        EXPECT_NEAR(umolKgFromMlL(mlLFromUmolKg(x, 1.0278), 1.0278), x, 1e-12 * (1 + x));
        EXPECT_NEAR(umolKgFromMgL(mgLFromUmolKg(x, 1.0278), 1.0278), x, 1e-12 * (1 + x));
    }
}

TEST(OxygenSaturation, IsHundredInEquilibrium)
{
    EXPECT_NEAR(oxygenSaturationPercent(oxygenSolubilityUmolKg(34.56, 3.4), 34.56, 3.4), 100.0, 1e-12);
    EXPECT_NEAR(oxygenSaturationPercent(0.0, 34.56, 3.4), 0.0, 0.0);
    EXPECT_TRUE(std::isnan(oxygenSaturationPercent(std::numeric_limits<double>::quiet_NaN(), 34.56, 3.4)));
}

} // namespace
} // namespace holdfast
