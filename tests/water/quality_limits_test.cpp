// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/quality_limits.h"

#include "invented_dive.h"

#include <QDir>
#include <gtest/gtest.h>

namespace holdfast
{
namespace
{

const QByteArray smallest = R"({
    "format": "holdfast-quality-limits", "version": 1, "name": "small", "title": "A small one", "max_gap_s": 2,
    "clock": { "repeat_suspect_scans": 3, "repeat_fail_scans": 9, "overlap_s": 60 }, "flat_reaches_back": true,
    "parameters": { "temperature_degC": {
        "gross_range": { "fail": [-2, 40], "suspect": [-1, 30] },
        "spike": { "suspect": 0.1, "fail": 1 },
        "burst": { "half_scans": 4, "suspect": 0.1, "fail": 1 },
        "rate": { "suspect_per_s": 0.5 },
        "flat": { "suspect_s": 3, "fail_s": 5, "tolerance": 0.001 }
    } } })";

QString faultOf(QByteArray json)
{
    const auto limits = parseQualityLimits(json, QStringLiteral("a.json"));
    return limits ? QString() : limits.error().sentence;
}

QByteArray with(const char *what, const char *instead)
{
    QByteArray json = smallest;
    EXPECT_TRUE(json.contains(what)) << what;
    return json.replace(what, instead);
}

TEST(QualityLimits, AreReadAsWritten)
{
    const auto limits = parseQualityLimits(smallest, QStringLiteral("a.json"));
    ASSERT_TRUE(limits) << qPrintable(limits.error().sentence);
    EXPECT_EQ(limits->name, QStringLiteral("small"));
    EXPECT_EQ(limits->maxGapS, 2.0);
    EXPECT_EQ(limits->clock.repeatFail, 9U);
    ASSERT_TRUE(limits->temperature.grossRange);
    EXPECT_EQ(limits->temperature.grossRange->failMin, -2.0);
    EXPECT_EQ(limits->temperature.grossRange->suspectMax, 30.0);
    EXPECT_EQ(limits->temperature.burst->halfScans, 4);
    EXPECT_FALSE(limits->temperature.rate->failPerS);
    EXPECT_EQ(limits->temperature.flat->tolerance, 0.001);
    EXPECT_FALSE(limits->salinity.spike) << "an absent test is not run";
    EXPECT_FALSE(limits->air);
}

TEST(QualityLimits, SayWhereAndWhatIsWrong)
{
    EXPECT_EQ(
        faultOf(with("\"suspect_s\": 3", "\"suspect_s\": \"3\"")),
        QStringLiteral("a.json: parameters.temperature_degC.flat.suspect_s is \"3\", expected a number"));
    EXPECT_EQ(faultOf(with("[-2, 40]", "[40, -2]")),
              QStringLiteral(
                  "a.json: parameters.temperature_degC.gross_range.fail is a list, expected two numbers, the "
                  "smaller first"));
    EXPECT_TRUE(
        faultOf(with("\"spike\"", "\"spikes\""))
            .startsWith(QStringLiteral("a.json: unknown key \"parameters.temperature_degC.spikes\"; known "
                                       "here: gross_range, spike, burst, rate, flat")));
    EXPECT_TRUE(faultOf(with("\"max_gap_s\": 2,", "")).contains(QStringLiteral("max_gap_s is nothing")));
    EXPECT_TRUE(faultOf("{ \"format\": ").contains(QStringLiteral("is not JSON")));
    EXPECT_TRUE(faultOf("[]").contains(QStringLiteral("holds no JSON object")));
}

TEST(QualityLimits, RefuseWhatWouldPassBadDataSilently)
{
    EXPECT_TRUE(
        faultOf(with("\"tolerance\": 0.001", "\"tolerance\": 0")).contains(QStringLiteral("can never flag")));
    EXPECT_TRUE(faultOf(with("\"suspect\": 0.1, \"fail\": 1 },\n        \"burst\"",
                             "\"suspect\": 2, \"fail\": 1 },\n        \"burst\""))
                    .contains(QStringLiteral("must be the wider one")));
    EXPECT_TRUE(faultOf(with("[-1, 30]", "[-3, 30]")).contains(QStringLiteral("reaches outside")));
    EXPECT_TRUE(
        faultOf(with("\"suspect_s\": 3", "\"suspect_s\": 6")).contains(QStringLiteral("is longer than")));
    EXPECT_TRUE(
        faultOf(with("\"half_scans\": 4", "\"half_scans\": 9")).contains(QStringLiteral("expected 1 to 8")));
    EXPECT_TRUE(faultOf(with("\"version\": 1", "\"version\": 2")).contains(QStringLiteral("version is 2")));
    EXPECT_TRUE(
        faultOf(with("holdfast-quality-limits", "something-else")).contains(QStringLiteral("format is")));
    EXPECT_TRUE(faultOf(with("\"repeat_fail_scans\": 9", "\"repeat_fail_scans\": 2"))
                    .contains(QStringLiteral("repeat_suspect_scans")));
}

TEST(QualityLimits, OfAMissingFileNameIt)
{
    const auto limits = readQualityLimits(QStringLiteral("/nowhere/limits.json"));
    ASSERT_FALSE(limits);
    EXPECT_EQ(limits.error().kind, ErrorKind::NotFound);
    EXPECT_TRUE(limits.error().sentence.contains(QStringLiteral("/nowhere/limits.json")));
}

TEST(QualityLimits, ShippedWithTheProgramAreAllReadable)
{
    const QDir folder(QString::fromLocal8Bit(qgetenv("HOLDFAST_SOURCE_DIR")) +
                      QStringLiteral("/templates/quality"));
    const QStringList names = folder.entryList({QStringLiteral("*.json")});
    EXPECT_GE(names.size(), 2);
    for (const QString &name : names) {
        const auto limits = readQualityLimits(folder.filePath(name));
        ASSERT_TRUE(limits) << qPrintable(limits.error().sentence);
        EXPECT_EQ(limits->name + QStringLiteral(".json"), name);
    }
}

} // namespace
} // namespace holdfast
