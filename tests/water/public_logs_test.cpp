// SPDX-License-Identifier: GPL-3.0-or-later

// Logs of real instruments, for those who have them (see check_table.h): two days of an underwater glider
// (public, MIT licence, from a tool's test resources) with rows of zeros while the instrument wakes, and
// three repeat- hydrography casts whose own quality flags are good.

#include "check_table.h"
#include "invented_dive.h"
#include "water/quality.h"

namespace holdfast
{
namespace
{

struct Depths {
    std::vector<std::int64_t> timeUs;
    std::vector<double> depthM;
};

CtdColumns ctdFrom(const test::CheckTable &table)
{
    CtdColumns ctd;
    for (const QStringList &row : table.rows) {
        const auto time = parseIsoUtc(table.text(row, "time_utc").toStdString());
        EXPECT_TRUE(time);
        ctd.timeUs.push_back(microsecondsOf(time.value_or(UtcTime{})));
        ctd.conductivityMsCm.push_back(table.number(row, "conductivity_mS_cm"));
        ctd.temperatureDegC.push_back(table.number(row, "temperature_degC"));
        ctd.pressureDbar.push_back(table.number(row, "pressure_dbar"));
    }
    return ctd;
}

Depths depthsFrom(const test::CheckTable &table)
{
    Depths depths;
    for (const QStringList &row : table.rows) {
        depths.timeUs.push_back(
            microsecondsOf(parseIsoUtc(table.text(row, "time_utc").toStdString()).value_or(UtcTime{})));
        depths.depthM.push_back(table.number(row, "depth_m"));
    }
    return depths;
}

struct Day {
    const char *ctd, *depth;
    std::size_t rowsOfZeros, suspects;
};

TEST(PublicLogs, OfAGliderFailOnlyWhereTheInstrumentWakes)
{
    for (const Day &day : {Day{"glider/day252_ctd.csv", "glider/day252_depth_heading.csv", 28, 0},
                           Day{"glider/day253_ctd.csv", "glider/day253_depth_heading.csv", 7, 2}}) {
        const auto table = test::loadLog(day.ctd);
        const auto depthTable = test::loadLog(day.depth);
        if (!table || !depthTable)
            GTEST_SKIP() << "HOLDFAST_SHARED_DATA is not set";
        const CtdColumns ctd = ctdFrom(*table);
        const Depths depths = depthsFrom(*depthTable);
        const QualityReport report = qualityReport(
            ctd, derive(ctd, 27.5), test::shippedLimits("slow-profiler"), {depths.timeUs, depths.depthM});
        EXPECT_EQ(report.summary.startUpScans, day.rowsOfZeros);
        for (const QcParameter p : {QcParameter::Conductivity, QcParameter::Temperature,
                                    QcParameter::Pressure, QcParameter::Salinity, QcParameter::Depth}) {
            EXPECT_EQ(report.summary.count(p, QcFlag::Fail), day.rowsOfZeros) << qPrintable(nameOf(p));
            EXPECT_LE(report.summary.count(p, QcFlag::Suspect), day.suspects) << qPrintable(nameOf(p));
        }
        EXPECT_LT(std::abs(report.summary.depthDifferenceM.value_or(99)), 0.5);
        EXPECT_TRUE(report.summary.findings.empty());
    }
}

TEST(PublicLogs, OfGoodCastsPassWhole)
{
    for (const char *name :
         {"ctd_cast/ocean_p02_175.csv", "ctd_cast/ocean_a22_1.csv", "ctd_cast/ocean_i06s_62.csv"}) {
        const auto table = test::loadLog(name);
        if (!table)
            GTEST_SKIP() << "HOLDFAST_SHARED_DATA is not set";
        CtdColumns
            ctd; // 2 dbar means without time or conductivity: lowered at 1 m/s, conductivity from salinity
        for (const QStringList &row : table->rows) {
            const double t = table->number(row, "temperature_degC_ITS90");
            const double p = table->number(row, "pressure_dbar");
            ctd.timeUs.push_back(static_cast<std::int64_t>(ctd.timeUs.size()) * 2'000'000);
            ctd.temperatureDegC.push_back(t);
            ctd.pressureDbar.push_back(p);
            ctd.conductivityMsCm.push_back(
                conductivityFromSalinity(table->number(row, "salinity_PSS78"), t, p));
        }
        const QualityReport report =
            qualityReport(ctd, derive(ctd, 30), test::shippedLimits("slow-profiler"));
        EXPECT_EQ(report.summary.aggregateByFlag[0], ctd.size()) << name;
    }
}

} // namespace
} // namespace holdfast
