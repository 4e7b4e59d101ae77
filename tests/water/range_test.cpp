// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/range.h"

#include <gtest/gtest.h>
#include <limits>

namespace holdfast
{
namespace
{

using enum SeawaterFormula;

TEST(RangeNote, TakesTheLimitsThemselvesAsInside)
{
    EXPECT_TRUE(noteFor(SalinityPss78, 42, 35, 10000).inside());
    EXPECT_TRUE(noteFor(SalinityPss78, 0, -2, 0).inside());
    EXPECT_TRUE(noteFor(SoundSpeedChenMillero, 40, 0, 10000).inside());
}

TEST(RangeNote, NamesEachSideThatIsExceeded)
{
    EXPECT_EQ(noteFor(DensityEos80, 42.1, 40.1, 10000.1).bits,
              RangeNote::SalinityHigh | RangeNote::TemperatureHigh | RangeNote::PressureHigh);
    EXPECT_EQ(noteFor(DensityEos80, -0.1, -2.1, -0.1).bits,
              RangeNote::SalinityLow | RangeNote::TemperatureLow | RangeNote::PressureLow);
}

TEST(RangeNote, IgnoresWhatAFormulaDoesNotTake)
{
    EXPECT_TRUE(noteFor(FreezingUnesco44, 35, 999, 0).inside());
    EXPECT_TRUE(noteFor(OxygenSolubility, 35, 10, 20000).inside());
    const double nan = std::numeric_limits<double>::quiet_NaN();
    EXPECT_TRUE(noteFor(OxygenSolubility, 35, 10, nan).inside());
}

TEST(RangeNote, TellsAMissingInputFromAnExtrapolation)
{
    const double nan = std::numeric_limits<double>::quiet_NaN();
    EXPECT_EQ(noteFor(DensityEos80, nan, 2, 100).bits, RangeNote::NotANumber);
    EXPECT_EQ(noteFor(DensityEos80, 35, std::numeric_limits<double>::infinity(), 100).bits,
              RangeNote::NotANumber);
}

TEST(RangeNote, OfSigma0TakesTheLapseRatesRangeOnlyAtDepth)
{
    EXPECT_TRUE(noteFor(Sigma0Eos80, 10, 4, 150).inside());
    EXPECT_TRUE(noteFor(Sigma0Eos80, 10, 4, 300).has(RangeNote::SalinityLow));
    EXPECT_TRUE(noteFor(Sigma0Eos80, 34.7, 2, 6500).inside());
}

TEST(RangeNote, IsASentenceWithTheLimits)
{
    const QString sentence = describe(noteFor(SoundSpeedChenMillero, 34.5, -1.8, 0), SoundSpeedChenMillero);
    EXPECT_EQ(sentence,
              QStringLiteral("outside the stated range of Chen-Millero 1977 (S 0 to 40, 0 to 40 degC, 0 to "
                             "10000 dbar): temperature too low; the value is extrapolated"));
    EXPECT_TRUE(describe(RangeNote{}, SalinityPss78).isEmpty());
    EXPECT_TRUE(describe(noteFor(FreezingUnesco44, 35, 0, 900), FreezingUnesco44)
                    .contains(QStringLiteral("500 dbar")));
}

} // namespace
} // namespace holdfast
