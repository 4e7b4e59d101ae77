// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/sound_speed.h"

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
    double salinity, temperature, pressure, chenMillero, tolerance, teos10;
};

/// UNESCO Technical Papers in Marine Science 44 (1983), pp. 48 and 50: the check value and the table printed
/// to 0.1 m/s. The last column is GSW 3.6.16, sound_speed_t_exact at reference salinity.
constexpr Row published[] = {
    {40.0000, 39.990402303, 10000.0, 1731.995, 0.0006, 1736.710333},
    {25.0000, 0.000000000, 0.0, 1435.8, 0.0501, 1435.695881},
    {25.0000, 9.997600576, 0.0, 1477.7, 0.0501, 1477.649949},
    {25.0000, 19.995201152, 0.0, 1510.3, 0.0501, 1510.269114},
    {25.0000, 29.992801728, 0.0, 1535.2, 0.0501, 1535.084215},
    {25.0000, 39.990402303, 0.0, 1553.4, 0.0501, 1553.384085},
    {25.0000, 0.000000000, 5000.0, 1520.4, 0.0501, 1519.872409},
    {25.0000, 9.997600576, 5000.0, 1561.3, 0.0501, 1560.689239},
    {25.0000, 19.995201152, 5000.0, 1593.6, 0.0501, 1592.949671},
    {25.0000, 29.992801728, 5000.0, 1619.0, 0.0501, 1618.197164},
    {25.0000, 39.990402303, 5000.0, 1638.0, 0.0501, 1637.736606},
    {25.0000, 0.000000000, 10000.0, 1610.4, 0.0501, 1609.216276},
    {25.0000, 9.997600576, 10000.0, 1647.4, 0.0501, 1646.120124},
    {25.0000, 19.995201152, 10000.0, 1676.8, 0.0501, 1676.286763},
    {25.0000, 29.992801728, 10000.0, 1700.6, 0.0501, 1701.266477},
    {25.0000, 39.990402303, 10000.0, 1719.2, 0.0501, 1721.097589},
    {35.0000, 0.000000000, 0.0, 1449.1, 0.0501, 1449.024607},
    {35.0000, 9.997600576, 0.0, 1489.8, 0.0501, 1489.779632},
    {35.0000, 19.995201152, 0.0, 1521.5, 0.0501, 1521.465876},
    {35.0000, 29.992801728, 0.0, 1545.6, 0.0501, 1545.458757},
    {35.0000, 39.990402303, 0.0, 1563.2, 0.0501, 1563.357325},
    {35.0000, 0.000000000, 5000.0, 1534.0, 0.0501, 1533.319987},
    {35.0000, 9.997600576, 5000.0, 1573.4, 0.0501, 1572.846120},
    {35.0000, 19.995201152, 5000.0, 1604.5, 0.0501, 1603.871751},
    {35.0000, 29.992801728, 5000.0, 1629.0, 0.0501, 1628.220693},
    {35.0000, 39.990402303, 5000.0, 1647.3, 0.0501, 1647.754722},
    {35.0000, 0.000000000, 10000.0, 1623.2, 0.0501, 1622.178337},
    {35.0000, 9.997600576, 10000.0, 1659.0, 0.0501, 1657.500246},
    {35.0000, 19.995201152, 10000.0, 1687.2, 0.0501, 1686.375996},
    {35.0000, 29.992801728, 10000.0, 1710.1, 0.0501, 1711.052481},
    {35.0000, 39.990402303, 10000.0, 1727.8, 0.0501, 1731.873317},
};

/// The printed formula evaluated independently, and GSW as above.
constexpr Row computed[] = {
    {35.0000, 0.0000, 0.0, 1449.13883, 1e-4, 1449.024607},
    {35.0000, 2.5000, 1000.0, 1476.70436, 1e-4, 1476.417636},
    {34.7000, 1.1000, 6500.0, 1564.79650, 1e-4, 1564.148647},
    {34.9000, 4.0000, 2000.0, 1499.62912, 1e-4, 1499.209173},
    {35.3000, 12.0000, 500.0, 1505.44519, 1e-4, 1505.330703},
    {37.5000, 25.0000, 10.0, 1537.27150, 1e-4, 1537.229069},
    {30.0000, 10.0000, 200.0, 1487.03716, 1e-4, 1486.965824},
    {10.0000, 5.0000, 20.0, 1439.32213, 1e-4, 1439.388582},
    {2.0000, 28.0000, 0.0, 1506.56797, 1e-4, 1506.555325},
    {33.0000, 6.6000, 2500.0, 1516.08950, 1e-4, 1515.681588},
    {34.6200, 2.2000, 3500.0, 1517.08011, 1e-4, 1516.494373},
    {0.0000, 10.0000, 0.0, 1447.27984, 1e-4, 1447.284153},
};

/// Colder than the formula's range: the number is still the formula's.
constexpr Row outside[] = {
    {34.5000, -1.8000, 0.0, 1440.01768, 1e-4, 1439.898329},
    {34.6000, -1.8500, 300.0, 1444.78289, 1e-4, 1444.610343},
};

template <std::size_t N>
void expectRows(const Row (&rows)[N])
{
    for (const Row &row : rows) {
        EXPECT_NEAR(soundSpeedChenMillero(row.salinity, row.temperature, row.pressure), row.chenMillero,
                    row.tolerance)
            << row.salinity << ", " << row.temperature << " degC, " << row.pressure << " dbar";
        EXPECT_NEAR(soundSpeedTeos10(row.salinity, row.temperature, row.pressure), row.teos10, 1e-4)
            << row.salinity << ", " << row.temperature << " degC, " << row.pressure << " dbar";
    }
}

TEST(SoundSpeed, AgreesWithThePublishedTable)
{
    expectRows(published);
}

TEST(SoundSpeed, AgreesWithIndependentEvaluations)
{
    expectRows(computed);
}

TEST(SoundSpeed, IsGivenAndNotedOutsideTheRange)
{
    expectRows(outside);
    for (const Row &row : outside) {
        const RangeNote note =
            noteFor(SeawaterFormula::SoundSpeedChenMillero, row.salinity, row.temperature, row.pressure);
        EXPECT_EQ(note.bits, RangeNote::TemperatureLow);
        EXPECT_TRUE(
            noteFor(SeawaterFormula::SoundSpeedTeos10, row.salinity, row.temperature, row.pressure).inside());
    }
}

TEST(SoundSpeed, GrowsWithPressure)
{
    for (double p = 0; p < 10000; p += 100)
        ASSERT_GT(soundSpeedChenMillero(34.7, 2.0, p + 100), soundSpeedChenMillero(34.7, 2.0, p));
}

TEST(SoundSpeed, IsNothingForWhatIsNoNumber)
{
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const auto formula : {soundSpeedChenMillero, soundSpeedTeos10}) {
        EXPECT_TRUE(std::isnan(formula(nan, 2, 100)));
        EXPECT_TRUE(std::isnan(formula(35, nan, 100)));
        EXPECT_TRUE(std::isnan(formula(35, 2, nan)));
        EXPECT_TRUE(std::isnan(formula(-1, 2, 100)));
    }
}

} // namespace
} // namespace holdfast
