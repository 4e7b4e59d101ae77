// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/quality.h"

#include "invented_dive.h"

#include <algorithm>
#include <gtest/gtest.h>

namespace holdfast
{
namespace
{

using test::inventedDive;
using test::isBad;
using test::shippedLimits;

constexpr std::size_t minute = 60 * 24;

QualityReport reportOf(const CtdColumns &ctd, const DepthReference &reference = {})
{
    return qualityReport(ctd, derive(ctd, -31.27), shippedLimits(), reference);
}

TEST(Quality, PassesAGoodDive)
{
    const CtdColumns ctd = inventedDive();
    const QualityReport report = reportOf(ctd);
    EXPECT_EQ(report.summary.aggregateByFlag[0], ctd.size()) << "not one good scan of 40,000 is flagged";
    EXPECT_EQ(report.summary.findings.size(), 0U);
    EXPECT_EQ(report.summary.flatStretches.size(), 0U);
    EXPECT_EQ(report.summary.gaps, 0U);
    EXPECT_NEAR(report.summary.longestGapS, 0.042, 1e-9);
}

/// Spikes of 1 to 3 scans in every parameter, as an electronic glitch makes them.
TEST(Quality, FindsEveryScanOfASpikeAndFewOthers)
{
    CtdColumns ctd = inventedDive();
    const std::array<std::pair<std::vector<double> *, double>, 4> columns{{{&ctd.conductivityMsCm, 1.0},
                                                                           {&ctd.temperatureDegC, 1.0},
                                                                           {&ctd.pressureDbar, 4.0},
                                                                           {&ctd.oxygenUmolKg, 12.0}}};
    std::vector<bool> bad(ctd.size());
    for (std::size_t k = 0; k < 120; ++k) {
        const std::size_t at = 200 + k * 330;
        for (std::size_t j = 0; j <= k % 3; ++j) {
            (*columns[k % 4].first)[at + j] += (k % 2 == 0 ? 1.0 : -1.0) * columns[k % 4].second;
            bad[at + j] = true;
        }
    }
    const QualityReport report = reportOf(ctd);
    std::size_t spikes = 0, missed = 0, good = 0, wronglyFlagged = 0;
    for (std::size_t i = 0; i < ctd.size(); ++i) {
        const bool flagged = isBad(report.flags.aggregate[i]);
        spikes += bad[i];
        missed += bad[i] && !flagged;
        good += !bad[i];
        wronglyFlagged += !bad[i] && flagged;
    }
    EXPECT_EQ(spikes, 240U);
    EXPECT_EQ(missed, 0U);
    // The two neighbours of each of the 120 spikes are flagged by the definition of the spike test, nothing
    // else.
    EXPECT_LE(wronglyFlagged, 240U);
    EXPECT_LT(static_cast<double>(wronglyFlagged) / static_cast<double>(good), 0.0065);
}

TEST(Quality, FindsAFrozenMinuteOfConductivityFromItsFirstScan)
{
    CtdColumns ctd = inventedDive();
    const std::size_t from = 30'000;
    std::fill_n(ctd.conductivityMsCm.begin() + from, minute, ctd.conductivityMsCm[from]);
    const QualityReport report = reportOf(ctd);
    const auto &flags = report.flags.flags(QcParameter::Conductivity);
    EXPECT_EQ(std::count_if(flags.begin() + from, flags.begin() + from + minute, isBad),
              static_cast<int>(minute));
    EXPECT_LE(std::count_if(flags.begin(), flags.end(), isBad), static_cast<int>(minute) + 2);
    ASSERT_EQ(report.summary.flatStretches.size(), 1U);
    EXPECT_EQ(report.summary.flatStretches[0].first, from);
    EXPECT_EQ(report.summary.flatStretches[0].last, from + minute - 1);
    EXPECT_EQ(report.summary.flatStretches[0].parameter, QcParameter::Conductivity);
    EXPECT_EQ(microsecondsOf(report.summary.flatStretches[0].from), ctd.timeUs[from]);
    // Salinity stands on conductivity; temperature and depth do not.
    EXPECT_TRUE(isBad(report.flags.flags(QcParameter::Salinity)[from + 100]));
    EXPECT_EQ(report.flags.flags(QcParameter::Temperature)[from + 100], QcFlag::Pass);
    EXPECT_EQ(report.flags.flags(QcParameter::Depth)[from + 100], QcFlag::Pass);
}

TEST(Quality, TellsARowOfZerosFromTheSea)
{
    CtdColumns ctd = inventedDive(5000);
    for (const std::size_t i : {0U, 1U, 2000U}) {
        ctd.conductivityMsCm[i] = ctd.temperatureDegC[i] = ctd.pressureDbar[i] = 0.0;
    }
    const QualityReport report = reportOf(ctd);
    EXPECT_EQ(report.summary.startUpScans, 3U);
    for (const std::size_t i : {0U, 1U, 2000U}) {
        EXPECT_EQ(report.flags.flags(QcParameter::Temperature)[i], QcFlag::Fail) << i;
        EXPECT_EQ(report.flags.flags(QcParameter::Pressure)[i], QcFlag::Fail) << i;
        EXPECT_EQ(report.flags.flags(QcParameter::Salinity)[i], QcFlag::Fail) << i;
        EXPECT_EQ(report.flags.flags(QcParameter::Depth)[i], QcFlag::Fail) << i;
    }
    EXPECT_EQ(report.summary.aggregateByFlag[3], 3U) << "their neighbours are no spikes";
}

TEST(Quality, StatesThePressureReadOnDeckAndAppliesNothing)
{
    CtdColumns ctd = inventedDive(20'000);
    std::mt19937_64 random(3);
    std::normal_distribution<double> noise(0.0, 0.02);
    for (std::size_t i = 0; i < 2000; ++i) {
        ctd.conductivityMsCm[i] = 0.012;
        ctd.temperatureDegC[i] = 24.0 + noise(random);
        ctd.pressureDbar[i] = 1.3 + noise(random);
    }
    ctd.conductivityMsCm[0] = ctd.temperatureDegC[0] = 99.0; // rubbish in the first row is no dive
    ctd.pressureDbar[0] = 163.9;
    const QualityReport report = reportOf(ctd);
    ASSERT_TRUE(report.summary.deckBefore);
    EXPECT_NEAR(report.summary.deckBefore->medianDbar, 1.3, 0.002);
    EXPECT_NEAR(report.summary.deckBefore->spreadDbar, 0.02, 0.002);
    EXPECT_EQ(report.summary.deckBefore->count, 1999U);
    EXPECT_EQ(report.flags.flags(QcParameter::Pressure)[0], QcFlag::Fail);
    EXPECT_FALSE(report.summary.deckAfter);
    ASSERT_EQ(report.summary.airStretches.size(), 1U);
    EXPECT_EQ(report.summary.airStretches[0].last, 1999U);
    EXPECT_EQ(report.flags.flags(QcParameter::Temperature)[1000], QcFlag::Fail);
    EXPECT_EQ(report.flags.flags(QcParameter::Pressure)[1000], QcFlag::Pass) << "it is the air's pressure";
    ASSERT_EQ(report.summary.findings.size(), 1U);
    EXPECT_TRUE(report.summary.findings[0].startsWith(
        QStringLiteral("Pressure read 1.30 dbar in air before the dive")));
}

TEST(Quality, SaysThatALogIsWhollyInAir)
{
    CtdColumns ctd = inventedDive(1000);
    std::fill(ctd.conductivityMsCm.begin(), ctd.conductivityMsCm.end(), 0.01);
    std::fill(ctd.pressureDbar.begin(), ctd.pressureDbar.end(), 0.1);
    const QualityReport report = reportOf(ctd);
    ASSERT_FALSE(report.summary.findings.empty());
    EXPECT_TRUE(report.summary.findings[0].contains(QStringLiteral("in air for the whole log")));
    EXPECT_EQ(report.summary.count(QcParameter::Temperature, QcFlag::Pass), 0U);
}

TEST(Quality, CountsGapsAndClockFaults)
{
    CtdColumns ctd = inventedDive(5000);
    for (std::size_t i = 1000; i < ctd.size(); ++i)
        ctd.timeUs[i] += 90'000'000; // the log pauses
    for (std::size_t i = 2000; i < 2500; ++i)
        ctd.timeUs[i] = ctd.timeUs[2000]; // the clock stands still
    ctd.timeUs[4000] -= 5'000'000;        // and once runs back
    const QualityReport report = reportOf(ctd);
    EXPECT_EQ(report.flags.flags(QcParameter::Record)[1000], QcFlag::Fail);
    EXPECT_NEAR(report.summary.longestGapS, 90.042, 0.001);
    EXPECT_EQ(microsecondsOf(*report.summary.longestGapFrom), ctd.timeUs[999]);
    EXPECT_EQ(report.flags.flags(QcParameter::Record)[2250], QcFlag::Fail);
    EXPECT_EQ(report.flags.flags(QcParameter::Record)[4000], QcFlag::Suspect);
    EXPECT_EQ(report.summary.backwardSteps, 1U);
    EXPECT_EQ(report.summary.repeatedTimes, 499U);
    EXPECT_EQ(report.flags.flags(QcParameter::Temperature)[1000], QcFlag::Pass)
        << "the value after a gap is sound";
    EXPECT_EQ(report.flags.aggregate[1000], QcFlag::Fail) << "the aggregate is the worst of all tests";
    EXPECT_TRUE(report.flags.reasons[2250] & bitOf(QcTest::Clock));
}

TEST(Quality, ComparesDepthWithNavigation)
{
    const CtdColumns ctd = inventedDive(30'000);
    const DerivedColumns derived = derive(ctd, -31.27);
    std::vector<std::int64_t> times;
    std::vector<double> depths;
    for (std::size_t i = 0; i < ctd.size(); i += 240) {
        if (i >= 12'000 && i < 14'400)
            continue; // 100 s without navigation: longer than the limit of 60
        times.push_back(ctd.timeUs[i]);
        depths.push_back(derived.depthM[i] + (i >= 24'000 ? 90.0 : i >= 20'000 ? 30.0 : 1.0));
    }
    const QualityReport report = reportOf(ctd, {times, depths});
    const auto &flags = report.flags.flags(QcParameter::Depth);
    EXPECT_EQ(flags[5000], QcFlag::Pass);
    EXPECT_EQ(flags[22'000], QcFlag::Suspect);
    EXPECT_EQ(flags[28'000], QcFlag::Fail);
    EXPECT_EQ(report.flags.flags(QcParameter::Pressure)[28'000], QcFlag::Pass)
        << "it is not known which of the two is wrong: salinity keeps its pressure";
    EXPECT_LT(report.summary.depthCompared, ctd.size() - 2000);
    EXPECT_NEAR(*report.summary.depthDifferenceM, -1.0, 0.1);
}

TEST(Quality, FlagsAMissingValueAsMissingEverywhere)
{
    CtdColumns ctd = inventedDive(2000);
    ctd.conductivityMsCm[500] = missingValue;
    ctd.pressureDbar[700] = missingValue;
    ctd.oxygenUmolKg.clear();
    const QualityReport report = reportOf(ctd);
    EXPECT_EQ(report.flags.flags(QcParameter::Conductivity)[500], QcFlag::Missing);
    EXPECT_EQ(report.flags.flags(QcParameter::Salinity)[500], QcFlag::Missing);
    EXPECT_EQ(report.flags.flags(QcParameter::Depth)[500], QcFlag::Pass);
    EXPECT_EQ(report.flags.flags(QcParameter::Depth)[700], QcFlag::Missing);
    EXPECT_EQ(report.summary.count(QcParameter::Oxygen, QcFlag::Missing), ctd.size());
    EXPECT_EQ(report.flags.aggregate[500], QcFlag::Pass) << "9 is the last in the order of the scheme";
}

TEST(Quality, ReportsSwappedColumnsAndWrongUnits)
{
    const QualityLimits limits = shippedLimits();
    CtdColumns ctd = inventedDive();
    EXPECT_TRUE(columnFindings(ctd, limits).empty());
    std::swap(ctd.conductivityMsCm, ctd.temperatureDegC);
    auto findings = columnFindings(ctd, limits);
    ASSERT_EQ(findings.size(), 1U);
    EXPECT_TRUE(findings[0].contains(
        QStringLiteral("with \"temperature\" as conductivity, \"conductivity\" as temperature")))
        << qPrintable(findings[0]);

    ctd = inventedDive();
    for (double &c : ctd.conductivityMsCm)
        c /= 10.0;
    findings = columnFindings(ctd, limits);
    ASSERT_EQ(findings.size(), 1U);
    EXPECT_TRUE(findings[0].startsWith(QStringLiteral("Conductivity looks like S/m, not mS/cm")))
        << qPrintable(findings[0]);
}

TEST(Quality, SurvivesInfinitiesAndAnEmptyLog)
{
    CtdColumns ctd = inventedDive(500);
    ctd.conductivityMsCm[100] = std::numeric_limits<double>::infinity();
    ctd.temperatureDegC[200] = -std::numeric_limits<double>::infinity();
    const QualityReport report = reportOf(ctd);
    EXPECT_EQ(report.flags.flags(QcParameter::Conductivity)[100], QcFlag::Fail);
    EXPECT_EQ(report.flags.flags(QcParameter::Temperature)[200], QcFlag::Fail);
    EXPECT_EQ(reportOf(CtdColumns{}).flags.size(), 0U);
    EXPECT_EQ(reportOf(inventedDive(1)).flags.aggregate[0], QcFlag::Pass);
}

} // namespace
} // namespace holdfast
