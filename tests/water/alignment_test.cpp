// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/alignment.h"

#include "invented_dive.h"

#include <gtest/gtest.h>

namespace holdfast
{
namespace
{

using test::inventedDive;
using test::shippedLimits;

/// A descent through many thin layers, as a thermocline really is, with temperature logged `lagS` late.
CtdColumns layered(double lagS)
{
    std::mt19937_64 random(11);
    std::normal_distribution<double> noise;
    const auto temperatureAt = [](double p) {
        return 12.0 - 0.02 * p + 0.3 * std::sin(p * 2.2) + 0.2 * std::sin(p * 5.1);
    };
    CtdColumns c;
    for (std::size_t i = 0; i < 12'000; ++i) {
        const double seconds = static_cast<double>(i) / 24.0;
        const double p = 20.0 + 0.5 * seconds;
        const double late = 20.0 + 0.5 * (seconds - lagS);
        c.timeUs.push_back(std::llround(seconds * 1e6));
        c.pressureDbar.push_back(p);
        c.temperatureDegC.push_back(temperatureAt(late) + 3e-4 * noise(random));
        c.conductivityMsCm.push_back(conductivityFromSalinity(34.7, temperatureAt(p), p) +
                                     3e-4 * noise(random));
    }
    return c;
}

std::optional<LagEstimate> estimateFor(const CtdColumns &c)
{
    return estimateTemperatureLag(c, qualityOf(c, derive(c, 0.0), shippedLimits()));
}

TEST(Alignment, FindsTheLagOfTheTemperatureSensor)
{
    for (const double lag : {-0.3, 0.12, 0.55}) {
        const auto estimate = estimateFor(layered(lag));
        ASSERT_TRUE(estimate) << lag;
        EXPECT_NEAR(estimate->lagS, lag, 0.02);
        EXPECT_GT(estimate->correlation, 0.95);
        EXPECT_LT(estimate->sigmaS, 0.05);
        EXPECT_LT(estimate->roughnessAfter, 0.5 * estimate->roughnessBefore);
    }
}

TEST(Alignment, SaysNothingWhereTheDataCannotTell)
{
    EXPECT_FALSE(estimateFor(inventedDive())) << "a smooth gradient looks the same at every lag";
    EXPECT_FALSE(estimateFor(layered(0.0))) << "nothing to improve";
    EXPECT_FALSE(estimateFor(CtdColumns{}));
    EXPECT_FALSE(estimateFor(inventedDive(50)));
}

TEST(Alignment, MakesTheSalinityOfLayersSmoothAgain)
{
    const CtdColumns raw = layered(0.25);
    const CtdColumns aligned = corrected(raw, {.temperatureLagS = 0.25});
    const DerivedColumns before = derive(raw, 0.0), after = derive(aligned, 0.0);
    double worstBefore = 0, worstAfter = 0;
    for (std::size_t i = 100; i < raw.size() - 100; ++i) {
        worstBefore = std::max(worstBefore, std::abs(before.practicalSalinity[i] - 34.7));
        worstAfter = std::max(worstAfter, std::abs(after.practicalSalinity[i] - 34.7));
    }
    EXPECT_GT(worstBefore, 0.05);
    EXPECT_LT(worstAfter, 0.005);
    EXPECT_TRUE(std::isnan(aligned.temperatureDegC.back())) << "nothing is known past the end";
    EXPECT_FALSE(std::isnan(aligned.temperatureDegC.front()));
}

TEST(Alignment, ReportsSalinitySpikesThatNoSensorShows)
{
    // A sharp interface of 1.6 degC, passed with the temperature 3 scans late.
    CtdColumns c = inventedDive(6000);
    for (std::size_t i = 0; i < c.size(); ++i) {
        const double early = 5.0 + 0.8 * std::tanh((static_cast<double>(i) - 3000.0) / 12.0);
        const double late = 5.0 + 0.8 * std::tanh((static_cast<double>(i) - 3003.0) / 12.0);
        c.temperatureDegC[i] = late + (i % 2 == 0 ? 2e-4 : -2e-4);
        c.conductivityMsCm[i] =
            conductivityFromSalinity(34.7, early, c.pressureDbar[i]) + 1e-4 * static_cast<double>(i % 3);
    }
    const QualityLimits limits = [] {
        QualityLimits l = shippedLimits();
        l.salinity.spike = SpikeLimits{0.0015, 0.3};
        return l;
    }();
    const auto spikesOf = [&limits](const CtdColumns &ctd) {
        const DerivedColumns d = derive(ctd, 0.0);
        return salinityMismatch(d, qualityOf(ctd, d, limits), limits);
    };
    const MismatchReport raw = spikesOf(c);
    const MismatchReport aligned = spikesOf(corrected(c, {.temperatureLagS = 3.0 / 24.0}));
    EXPECT_GT(raw.evaluated, 5900U);
    EXPECT_GE(raw.spikes, aligned.spikes);
    EXPECT_GT(raw.roughness, 0.0);
}

TEST(Corrections, SubtractThePressureOfTheDeck)
{
    const CtdColumns raw = inventedDive(100);
    const CtdColumns better = corrected(raw, {.pressureOffsetDbar = 1.3});
    EXPECT_NEAR(better.pressureDbar[50], raw.pressureDbar[50] - 1.3, 1e-12);
    EXPECT_EQ(better.temperatureDegC[50], raw.temperatureDegC[50]);
    EXPECT_EQ(corrected(raw, {}).temperatureDegC, raw.temperatureDegC);
}

TEST(Corrections, ReadNoTemperatureBesideAMissingOneOrInALogOutOfOrder)
{
    CtdColumns c = inventedDive(100);
    c.temperatureDegC[50] = missingValue;
    const CtdColumns late = corrected(c, {.temperatureLagS = 0.02});
    EXPECT_TRUE(std::isnan(late.temperatureDegC[49]));
    EXPECT_TRUE(std::isnan(late.temperatureDegC[50]));
    EXPECT_FALSE(std::isnan(late.temperatureDegC[51]));
    std::swap(c.timeUs[10], c.timeUs[20]);
    EXPECT_TRUE(std::isnan(corrected(c, {.temperatureLagS = 0.02}).temperatureDegC[70]));
}

} // namespace
} // namespace holdfast
