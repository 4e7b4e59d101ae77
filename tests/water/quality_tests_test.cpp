// SPDX-License-Identifier: GPL-3.0-or-later

// The cases are worked by hand from the definitions of the tests in the QARTOD manual (U.S. IOOS, temperature
// and salinity, version 2.0, 2016) as quality_tests.h words them; most were also tried against another
// implementation of the manual.

#include "water/quality_tests.h"

#include <cmath>
#include <functional>
#include <gtest/gtest.h>
#include <limits>
#include <random>
#include <string>
#include <vector>

namespace holdfast
{
namespace
{

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

std::vector<std::int64_t> microseconds(const std::vector<double> &seconds)
{
    std::vector<std::int64_t> times;
    for (const double s : seconds)
        times.push_back(std::llround(s * 1e6));
    return times;
}

/// The flags as digits.
std::string digits(const std::vector<QcFlag> &flags)
{
    std::string text;
    for (const QcFlag flag : flags)
        text += static_cast<char>('0' + static_cast<int>(flag));
    return text;
}

std::vector<QcFlag> flagsFrom(const std::string &digits)
{
    std::vector<QcFlag> flags;
    for (const char c : digits)
        flags.push_back(static_cast<QcFlag>(c - '0'));
    return flags;
}

struct GrossRangeCase {
    const char *name;
    GrossRangeLimits limits;
    std::vector<double> values;
    std::string flags;
};
struct SpikeCase {
    const char *name;
    SpikeLimits limits;
    std::vector<double> values;
    std::string flags;
};
struct RateCase {
    const char *name;
    RateLimits limits;
    std::vector<double> seconds, values;
    std::string flags;
};
struct FlatCase {
    const char *name;
    FlatLimits limits;
    std::vector<double> seconds, values;
    std::string flags;
};
struct GapCase {
    const char *name;
    double maxGapS;
    std::vector<double> seconds;
    std::string flags;
};
struct AggregateCase {
    const char *name;
    std::vector<std::string> tests;
    std::string flags;
};

const std::vector<GrossRangeCase> grossRangeCases{
    {"Q1", {-2, 35, 0, 30}, {5, -2, -2.001, 0, -0.001, 30, 30.001, 35, 35.001, 12}, "1341313341"},
    {"Q2", {-2, 35, std::nullopt, std::nullopt}, {5, -2, 35, 40, -3}, "11144"},
    {"Q3", {-2, 35, 0, 30}, {nan, 3, nan, 99}, "9194"},
    {"Q4", {2, 42, 33, 36}, {34.5, 33, 36, 36.0001, 41.9, 1.9, 2}, "1113343"},
    {"Q5", {0, 6500, std::nullopt, std::nullopt}, {0, -0.01, 6500, 1432.6}, "1411"},
};

const std::vector<SpikeCase> spikeCases{
    {"Q6", {0.5, 2}, {10, 10, 10, 10}, "2112"},
    {"Q7", {0.5, 2}, {10, 10.5, 10, 10, 10}, "21112"},
    {"Q8", {0.5, 2}, {10, 11, 10, 10, 10}, "23112"},
    {"Q9", {0.5, 2}, {10, 10, 10, 14, 10, 10}, "213432"},
    {"Q10", {0.5, 2}, {0, 1, 2, 3, 4, 5}, "211112"},
    {"Q11", {0.5, 2}, {10, 10, nan, 10, 14, 10}, "229242"},
    {"Q12", {0.5, 2}, {10, 10, 13, 13, 10, 10}, "233332"},
    {"Q13", {0.5, 2}, {3.4, 3.4, -9.4, 3.4, 3.4}, "24442"},
    {"Q14", {0.5, 2}, {nan, 10, 10, nan}, "9229"},
};

const std::vector<RateCase> rateCases{
    {"Q15", {0.5, std::nullopt}, {0, 1, 2, 3, 4}, {1, 1.2, 1.7, 2.3, 2.3}, "21131"},
    {"Q16", {0.5, 2}, {0, 1, 2, 3, 4}, {0, 0.25, 2.25, 5, 5.25}, "21341"},
    {"Q17", {0.5, std::nullopt}, {0, 10, 11, 12}, {1, 5, 5, 6}, "2113"},
    {"Q18", {0.5, std::nullopt}, {0, 1, 2, 3}, {1, nan, 9, 9}, "2921"},
    {"Q19", {0.5, std::nullopt}, {0, 1, 2, 3}, {5, 4, 4, 2}, "2313"},
    {"Q20", {0.5, std::nullopt}, {0, 0.5, 1, 1.5, 2}, {1, 1.1, 1.2, 2.2, 2.2}, "21131"},
    {"Q21",
     {0.5, std::nullopt},
     {0, 0.041667, 0.083333, 0.125, 0.166667},
     {34.56, 34.5605, 34.561, 34.6, 34.601},
     "21131"},
    {"Q22", {0.5, std::nullopt}, {0, 0, 100}, {1, 1, 9}, "221"},
};

const std::vector<FlatCase> flatCases{
    {"Q23", {3, 5, 0.001}, {0, 1, 2, 3, 4, 5, 6, 7}, {1, 1, 1, 1, 1, 1, 1, 1}, "11133444"},
    {"Q24", {3, 5, 0.001}, {0, 1, 2, 3, 4, 5}, {1, 1.1, 1, 1.1, 1, 1.1}, "111111"},
    {"Q25", {3, 5, 0.001}, {0, 1, 2, 3, 4, 5, 6, 7, 8, 9}, {1, 1, 1, 1, 2, 2, 2, 2, 2, 2}, "1113111334"},
    {"Q26", {3, 5, 0.001}, {0, 1, 2, 3, 4, 5}, {1, 1.0005, 1, 1.0005, 1.0005, 1}, "111334"},
    {"Q27", {3, 5, 0.25}, {0, 1, 2, 3, 4, 5}, {1, 1.25, 1, 1.25, 1, 1.25}, "111111"},
    {"Q28", {3, 5, 0}, {0, 1, 2, 3, 4, 5, 6}, {1, 1, 1, 1, 1, 1, 1}, "1111111"},
    {"Q29", {6, 10, 0.001}, {0, 2, 4, 6, 8, 10, 12}, {7, 7, 7, 7, 7, 7, 7}, "1113344"},
    {"Q30", {3, 5, 0.001}, {0, 1, 2, 3, 4, 5, 6}, {1, 1, nan, 1, 1, 1, 1}, "1193344"},
    {"Q31", {3, 5, 0.001}, {0, 1}, {1, 1}, "11"},
};

const std::vector<GapCase> gapCases{
    {"Q32", 2, {0, 1, 2, 3}, "2111"},
    {"Q33", 2, {0, 1, 3, 6, 7}, "21141"},
    {"Q34", 2, {0, 100, 101}, "241"},
    {"Q35", 1, {1773325327, 1773325328, 1773325330, 1773325331}, "2141"},
};

const std::vector<AggregateCase> aggregateCases{
    {"Q36", {"1111", "1321", "1143"}, "1343"},
    {"Q37", {"92919", "22199", "12992"}, "12112"},
    {"Q38", {"9", "9"}, "9"},
};

std::string spikeFlags(const SpikeLimits &limits, const std::vector<double> &values)
{
    std::vector<QcFlag> flags(values.size());
    spikeTest(values, limits, flags);
    return digits(flags);
}
std::string burstFlags(const BurstLimits &limits, const std::vector<double> &values)
{
    std::vector<QcFlag> flags(values.size());
    burstTest(values, limits, flags);
    return digits(flags);
}
std::string flatFlags(const FlatLimits &limits, const std::vector<double> &seconds,
                      const std::vector<double> &values)
{
    std::vector<QcFlag> flags(values.size());
    flatTest(microseconds(seconds), values, limits, flags);
    return digits(flags);
}
std::string clockFlags(const ClockLimits &limits, const std::vector<double> &seconds)
{
    std::vector<QcFlag> flags(seconds.size());
    clockTest(microseconds(seconds), limits, flags);
    return digits(flags);
}

TEST(GrossRangeTest, AgreesWithTheHandWorkedCases)
{
    for (const GrossRangeCase &c : grossRangeCases) {
        std::vector<QcFlag> flags(c.values.size());
        grossRangeTest(c.values, c.limits, flags);
        EXPECT_EQ(digits(flags), c.flags) << c.name;
    }
}

TEST(SpikeTest, AgreesWithTheHandWorkedCases)
{
    for (const SpikeCase &c : spikeCases)
        EXPECT_EQ(spikeFlags(c.limits, c.values), c.flags) << c.name;
}

TEST(RateTest, AgreesWithTheHandWorkedCases)
{
    for (const RateCase &c : rateCases) {
        std::vector<QcFlag> flags(c.values.size());
        rateTest(microseconds(c.seconds), c.values, c.limits, flags);
        EXPECT_EQ(digits(flags), c.flags) << c.name;
    }
}

TEST(FlatTest, AgreesWithTheHandWorkedCases)
{
    for (const FlatCase &c : flatCases)
        EXPECT_EQ(flatFlags(c.limits, c.seconds, c.values), c.flags) << c.name;
}

TEST(GapTest, AgreesWithTheHandWorkedCases)
{
    for (const GapCase &c : gapCases) {
        std::vector<QcFlag> flags(c.seconds.size());
        gapTest(microseconds(c.seconds), c.maxGapS, flags);
        EXPECT_EQ(digits(flags), c.flags) << c.name;
    }
}

TEST(Aggregate, TakesTheWorstInTheOrderOfTheScheme)
{
    for (const AggregateCase &c : aggregateCases) {
        std::vector<QcFlag> flags(c.flags.size(), QcFlag::Missing);
        for (const std::string &test : c.tests)
            mergeFlags(flags, flagsFrom(test));
        EXPECT_EQ(digits(flags), c.flags) << c.name;
    }
}

/// The flat-line definition taken literally, in quadratic time: what the linear one must give.
std::string literalFlat(const FlatLimits &limits, const std::vector<std::int64_t> &timeUs,
                        const std::vector<double> &values)
{
    const auto flatFor = [&](std::size_t i, double seconds) {
        const std::int64_t from = timeUs[i] - std::llround(seconds * 1e6);
        double low = values[i], high = values[i];
        std::size_t count = 0;
        for (std::size_t k = 0; k <= i; ++k) {
            if (timeUs[k] < from || std::isnan(values[k]))
                continue;
            low = std::min(low, values[k]);
            high = std::max(high, values[k]);
            ++count;
        }
        return from >= timeUs[0] && count >= 2 && high - low < limits.tolerance;
    };
    std::string text;
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (std::isnan(values[i]))
            text += '9';
        else
            text += flatFor(i, limits.failS) ? '4' : flatFor(i, limits.suspectS) ? '3' : '1';
    }
    return text;
}

TEST(FlatTest, InLinearTimeGivesWhatTheDefinitionGives)
{
    std::mt19937_64 random(30);
    std::uniform_int_distribution<int> step(0, 3), move(0, 9), missing(0, 12), pause(0, 60);
    for (int round = 0; round < 200; ++round) {
        std::vector<std::int64_t> times;
        std::vector<double> values;
        std::int64_t t = 0;
        double v = 10;
        for (int i = 0; i < 250; ++i) {
            t += pause(random) == 0 ? 20'000'000 : step(random) * 500'000;
            v += move(random) == 0 ? 0.01 * (step(random) - 1.5) : 0.0002 * (step(random) - 1.5);
            times.push_back(t);
            values.push_back(missing(random) == 0 ? nan : v);
        }
        const FlatLimits limits{3, 6, 0.002};
        std::vector<QcFlag> flags(values.size());
        flatTest(times, values, limits, flags);
        ASSERT_EQ(digits(flags), literalFlat(limits, times, values)) << round;
    }
}

TEST(FlatTest, DoesNotTakeOneValueAfterAGapForALine)
{
    EXPECT_EQ(flatFlags({3, 5, 0.001}, {0, 1, 2, 100, 101}, {1, 2, 3, 4, 5}), "11111");
}

TEST(FlatTest, StartsAnewWhereTimeRunsBackwards)
{
    EXPECT_EQ(flatFlags({3, 5, 0.001}, {0, 1, 2, 3, 1, 2, 3, 4}, {1, 1, 1, 1, 1, 1, 1, 1}), "11131113");
}

TEST(BurstTest, SeesTheMiddleOfASpikeOfThreeScans)
{
    const std::vector<double> values{5, 5, 5, 5, 5, 9, 9, 9, 5, 5, 5, 5, 5};
    EXPECT_EQ(spikeFlags({0.5, 3}, values), "2111331331112") << "the middle passes the spike test";
    EXPECT_EQ(burstFlags({4, 0.5, 3}, values), "1111144411111");
}

TEST(BurstTest, LetsRampsStepsAndPeaksOfGoodWaterPass)
{
    EXPECT_EQ(burstFlags({2, 0.5, 3}, {0, 1, 2, 3, 4, 5, 6, 7}), "33111133")
        << "a ramp is its own median, but for a steep one at the ends";
    EXPECT_EQ(burstFlags({2, 0.5, 3}, {0, 0, 0, 0, 9, 9, 9, 9}), "11111111") << "and so is a step";
}

TEST(BurstTest, TakesMissingNeighboursAsAgreeing)
{
    EXPECT_EQ(burstFlags({2, 0.5, 3}, {nan, nan, 9, nan, nan}), "99199");
    EXPECT_EQ(burstFlags({2, 0.5, 3}, {5, 5, 9, 5, nan}), "11419");
}

TEST(BurstTest, JudgesTheFirstAndTheLastScan)
{
    EXPECT_EQ(burstFlags({2, 0.5, 3}, {99, 5, 5, 5, 5, 5, 6}), "4111113");
    EXPECT_EQ(burstFlags({2, 0.5, 3}, {99, 5, 5, 5}), "2222") << "too few to say";
}

TEST(ClockTest, FlagsAClockThatStandsStill)
{
    EXPECT_EQ(clockFlags({3, 5, 60}, {0, 1, 1, 2, 3}), "21111") << "two equal times may be two scans a tick";
    EXPECT_EQ(clockFlags({3, 5, 60}, {0, 1, 1, 1, 2}), "23331");
    EXPECT_EQ(clockFlags({3, 5, 60}, {0, 1, 1, 1, 1, 1}), "244444");
}

TEST(ClockTest, FlagsTimesThatRunBackwardsUntilTheyHaveCaughtUp)
{
    EXPECT_EQ(clockFlags({3, 5, 60}, {0, 10, 20, 8, 15, 20, 30}), "2113311");
    EXPECT_EQ(clockFlags({3, 5, 60}, {0, 10, 5000, 20, 30}), "21131") << "set back for good: a new beginning";
}

TEST(Tests, TakeAnEmptyLog)
{
    std::vector<QcFlag> none;
    grossRangeTest({}, {0, 1, {}, {}}, none);
    spikeTest({}, {1, 2}, none);
    burstTest({}, {4, 1, 2}, none);
    rateTest({}, {}, {1, {}}, none);
    flatTest({}, {}, {3, 5, 1}, none);
    gapTest({}, 2, none);
    clockTest({}, {}, none);
    EXPECT_TRUE(none.empty());
}

} // namespace
} // namespace holdfast
