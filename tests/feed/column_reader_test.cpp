// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/column_reader.h"
#include "feed/intake.h"
#include "feed/line_parser.h"

#include <cmath>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

using namespace holdfast;
using testing::HasSubstr;

namespace
{

FeedProfile profileOf(const char *name)
{
    const QString folder = qEnvironmentVariable("HOLDFAST_SOURCE_DIR") + QStringLiteral("/templates/feeds");
    auto profile = loadFeedProfile(QString::fromLatin1(name), {folder});
    EXPECT_TRUE(profile) << profile.error().sentence.toStdString();
    return *profile;
}

ColumnReader readerOf(const char *profile, std::initializer_list<std::string> lines)
{
    ColumnReader reader(profileOf(profile));
    for (const std::string &line : lines) {
        const Done pushed = reader.push(line + "\n");
        EXPECT_TRUE(pushed) << pushed.error().sentence.toStdString();
    }
    reader.finish();
    return reader;
}

const std::string positionHeader = "time_utc,latitude_deg,longitude_deg,depth_m,heading_deg";
const std::string ctdHeader = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg";

std::string onlyReason(const IntakeReport &report)
{
    EXPECT_EQ(report.rejects.size(), 1U);
    return report.rejects.empty() ? "" : report.rejects[0].reason.toStdString();
}

} // namespace

TEST(ColumnReader, FindsColumnsByNameInAnyOrder)
{
    const auto reader = readerOf("position-csv", {"x,Longitude_Deg, latitude_deg ,time_utc",
                                                  "9,-128.25,-31.5,2031-03-08T19:00:00.981Z"});
    ASSERT_EQ(reader.positions.size(), 1U);
    const PositionRecord &p = reader.positions[0];
    EXPECT_EQ(p.latitudeDeg, -31.5);
    EXPECT_EQ(p.longitudeDeg, -128.25);
    EXPECT_FALSE(p.depthM);
    EXPECT_EQ(toIso(p.time), QStringLiteral("2031-03-08T19:00:00.981Z"));
    EXPECT_EQ(p.line, 2U);
}

TEST(ColumnReader, AcceptsMarksQuotesCommentsAndBothLineEnds)
{
    const auto reader =
        readerOf("ctd-csv", {"\xEF\xBB\xBF" + ctdHeader + "\r", "# a remark", "", "   ",
                             "\"2031-03-08T19:00:00.000Z\",\"48.2590\",19.7502,0.521,225.86\r",
                             "2031-03-08T19:00:00.042Z, 48.2581 ,NaN,,NA"});
    ASSERT_EQ(reader.ctd.size(), 2U);
    EXPECT_EQ(reader.ctd.conductivityMsCm[0], 48.2590);
    EXPECT_EQ(reader.ctd.conductivityMsCm[1], 48.2581);
    EXPECT_TRUE(std::isnan(reader.ctd.temperatureDegC[1]));
    EXPECT_TRUE(std::isnan(reader.ctd.pressureDbar[1]));
    EXPECT_TRUE(std::isnan(reader.ctd.oxygenUmolKg[1]));
    EXPECT_EQ(reader.ctd.line[1], 6U);
    EXPECT_EQ(reader.report.lines, 6);
    EXPECT_EQ(reader.report.rejected, 0);
}

TEST(ColumnReader, KeepsBadLinesAsideWithTheirNumberAndReason)
{
    const auto reader =
        readerOf("position-csv", {positionHeader, "2031-03-08T19:00:00Z,-31,-128,1,2",
                                  "2031-03-08T19:00:01Z,-31,-128,1", // a field short
                                  "2031-03-08T19:00:02Z,91,-128,1,2", "2031-03-08T19:00:03Z,-31,-128.x,1,2",
                                  "2031-03-32T19:00:04Z,-31,-128,1,2", "2031-03-08T19:00:05Z,,-128,1,2",
                                  ",-31,-128,1,2", "2031-03-08T19:00:06Z,-31,-128,1,361",
                                  "2031-03-08T19:00:07Z,-31,361,1,2", "2031-03-08T19:00:08Z,-31,inf,1,2"});
    EXPECT_EQ(reader.report.accepted, 1);
    EXPECT_EQ(reader.report.rejected, 9);
    ASSERT_EQ(reader.report.aside.size(), 9U);
    const std::pair<unsigned, const char *> expected[] = {{3, "wrong number of fields (4 instead of 5)"},
                                                          {4, "latitude beyond 90"},
                                                          {5, "longitude is not a number"},
                                                          {6, "the time is not an ISO 8601 instant"},
                                                          {7, "no position"},
                                                          {8, "no time"},
                                                          {9, "heading is not 0 to 360"},
                                                          {10, "longitude beyond 180"},
                                                          {11, "longitude is not a number"}};
    for (std::size_t i = 0; i < 9; ++i) {
        EXPECT_EQ(reader.report.aside[i].line, expected[i].first);
        EXPECT_EQ(reader.report.aside[i].reason.toStdString(), expected[i].second);
    }
    EXPECT_EQ(reader.report.aside[0].text, QByteArray("2031-03-08T19:00:01Z,-31,-128,1"));
}

TEST(ColumnReader, SortsDropsRepeatsAndCountsBoth)
{
    const auto reader = readerOf(
        "position-csv", {positionHeader, "2031-03-08T19:00:02Z,-31.2,-128,1,2",
                         "2031-03-08T19:00:03Z,-31.3,-128,1,2", "2031-03-08T19:00:01Z,-31.1,-128,1,2",
                         "2031-03-08T19:00:03Z,-31.3,-128,1,2", "2031-03-08T19:00:03Z,-31.4,-128,1,2"});
    ASSERT_EQ(reader.positions.size(), 4U);
    EXPECT_EQ(reader.positions[0].latitudeDeg, -31.1);
    EXPECT_EQ(reader.positions[0].line, 4U);
    EXPECT_EQ(reader.positions[3].latitudeDeg, -31.4); // the same time with another position stays
    EXPECT_EQ(reader.report.accepted, 4);
    EXPECT_EQ(reader.report.repaired, 2);
    ASSERT_EQ(reader.report.repairs.size(), 2U);
    EXPECT_EQ(reader.report.repairs[0].firstLine, 4U);
    EXPECT_EQ(reader.report.repairs[1].firstLine, 5U);
    ASSERT_EQ(reader.report.notes.size(), 1U);
    EXPECT_EQ(reader.report.firstTime, parseIsoUtc("2031-03-08T19:00:01Z"));
}

TEST(ColumnReader, AStuckClockIsReadInReasonableTime)
{
    ColumnReader reader(profileOf("ctd-csv"));
    ASSERT_TRUE(reader.push(ctdHeader));
    for (int i = 0; i < 200'000; ++i)
        ASSERT_TRUE(reader.push("2031-03-08T19:00:00.000Z," + std::to_string(i) + ",1,1,1\n"));
    reader.finish();
    EXPECT_EQ(reader.ctd.size(), 200'000U);
}

TEST(ColumnReader, AWrongProfileIsAnsweredWithTheColumnsFoundAndExpected)
{
    ColumnReader position(profileOf("position-csv"));
    const Done wrong = position.push(ctdHeader);
    ASSERT_FALSE(wrong);
    EXPECT_THAT(wrong.error().sentence.toStdString(), HasSubstr("latitude (latitude_deg)"));
    EXPECT_THAT(wrong.error().sentence.toStdString(), HasSubstr("oxygen_umol_kg"));

    ColumnReader scans(profileOf("ctd-csv"));
    const Done alsoWrong = scans.push(positionHeader);
    ASSERT_FALSE(alsoWrong);
    EXPECT_THAT(alsoWrong.error().sentence.toStdString(), HasSubstr("none of conductivity_mS_cm"));
}

TEST(ColumnReader, ReadsHemisphereColumnsAndSplitTimes)
{
    const auto reader =
        readerOf("position-ddmm-tab", {"Date\tTime\tLatitude\tN/S\tLongitude\tE/W\tDepth\tHeading",
                                       "12/03/2026\t14:22:07.3\t2104.5521\tS\t17312.8840\tE\t1240.5\t-",
                                       "12/03/2026\t14:22:08.3\t2104.5521\tE\t17312.8840\tE\t1240.5\t-",
                                       "12/03/2026\t14:22:09.3\t-2104.5521\tS\t17312.8840\tE\t1240.5\t-",
                                       "12/03/2026\t14:22:10.3\t2160.0000\tS\t17312.8840\tE\t1240.5\t-"});
    ASSERT_EQ(reader.positions.size(), 1U);
    EXPECT_NEAR(reader.positions[0].latitudeDeg, -21.0758683333, 1e-9);
    EXPECT_NEAR(reader.positions[0].longitudeDeg, 173.2147333333, 1e-9);
    EXPECT_EQ(reader.positions[0].depthM, 1240.5);
    EXPECT_FALSE(reader.positions[0].headingDeg);
    EXPECT_EQ(toIso(reader.positions[0].time), QStringLiteral("2026-03-12T14:22:07.300Z"));
    EXPECT_EQ(reader.report.rejected, 3);
}

TEST(ColumnReader, ReadsNumberedColumnsWithADecimalCommaAndHeights)
{
    const auto reader =
        readerOf("position-semicolon", {"2026-03-12;142207,3;x;y;z", // decimal comma in a time
                                        "2026-03-12;142207.3;2104,5521S;-17312,8840;-1240,5"});
    ASSERT_EQ(reader.positions.size(), 1U);
    EXPECT_NEAR(reader.positions[0].latitudeDeg, -21.0758683333, 1e-9);
    EXPECT_NEAR(reader.positions[0].longitudeDeg, -173.2147333333, 1e-9);
    EXPECT_EQ(reader.positions[0].depthM, 1240.5);
}

TEST(ColumnReader, ConvertsUnitsWithoutLosingADigit)
{
    const auto reader =
        readerOf("ctd-si-csv", {"time_unix_s,conductivity_S_m,temperature_degC_IPTS68,pressure_MPa",
                                "1473428364.496,5.67787,27.5135,0.0023", "1473428365.496,-9999,10.0024,0.5",
                                "1473428366.496,-9999.000,10.0024,0.5"});
    ASSERT_EQ(reader.ctd.size(), 3U);
    EXPECT_EQ(reader.ctd.timeUs[0], 1473428364496000);
    EXPECT_EQ(reader.ctd.conductivityMsCm[0], 56.7787);
    EXPECT_EQ(reader.ctd.pressureDbar[0], 0.23);
    EXPECT_DOUBLE_EQ(reader.ctd.temperatureDegC[1], 10.0); // T68 = 1.00024 T90 (Preston-Thomas 1990)
    EXPECT_TRUE(std::isnan(reader.ctd.conductivityMsCm[1]));
    EXPECT_TRUE(std::isnan(reader.ctd.conductivityMsCm.at(2))) << "another spelling of the same number";
}

TEST(ColumnReader, ReportsSwappedLatitudeAndLongitude)
{
    const auto reader = readerOf("position-csv", {positionHeader, "2031-03-08T19:00:00Z,-128.1,-31.1,1,2",
                                                  "2031-03-08T19:00:01Z,-128.2,-31.2,1,2"});
    EXPECT_EQ(reader.report.accepted, 0);
    ASSERT_EQ(reader.report.warnings.size(), 1);
    EXPECT_THAT(reader.report.warnings[0].toStdString(), HasSubstr("swapped"));
}

TEST(ColumnReader, ReportsConductivityInTheWrongUnit)
{
    // Standard sea water at 15 degC has 42.914 mS/cm, which is 4.2914 S/m (UNESCO 1983, PSS-78).
    const auto reader = readerOf("ctd-csv", {ctdHeader, "2031-03-08T19:00:00Z,4.2914,15,0,250",
                                             "2031-03-08T19:00:01Z,4.2914,15,0,250"});
    ASSERT_EQ(reader.report.warnings.size(), 1);
    EXPECT_THAT(reader.report.warnings[0].toStdString(), HasSubstr("S/m"));
    EXPECT_TRUE(
        readerOf("ctd-csv", {ctdHeader, "2031-03-08T19:00:00Z,42.914,15,0,250"}).report.warnings.isEmpty());
}

TEST(ColumnReader, ReportsDepthsCountedUpward)
{
    const auto reader = readerOf("position-csv", {positionHeader, "2031-03-08T19:00:00Z,-31,-128,-1240,2"});
    ASSERT_EQ(reader.report.warnings.size(), 1);
    EXPECT_THAT(reader.report.warnings[0].toStdString(), HasSubstr("upward"));
}

TEST(ColumnReader, TakesLongitudesPast180AsWest)
{
    const auto reader = readerOf("position-csv", {positionHeader, "2031-03-08T19:00:00Z,-31,181.5,1,2"});
    ASSERT_EQ(reader.positions.size(), 1U);
    EXPECT_EQ(reader.positions[0].longitudeDeg, -178.5);
}

TEST(ColumnReader, TakesAnglesThatAreCountedTheOtherWayRound)
{
    const auto reader = readerOf("position-csv", {positionHeader, "2031-03-08T19:00:00Z,-31,-180.00001,1,-5",
                                                  "2031-03-08T19:00:01Z,-31,-181.5,1,-180",
                                                  "2031-03-08T19:00:02Z,-31,-361,1,2",
                                                  "2031-03-08T19:00:03Z,-31,-128,1,-181"});
    ASSERT_EQ(reader.positions.size(), 2U);
    EXPECT_NEAR(reader.positions[0].longitudeDeg, 179.99999, 1e-9);
    EXPECT_EQ(reader.positions[0].headingDeg, 355.0);
    EXPECT_EQ(reader.positions[1].longitudeDeg, 178.5);
    EXPECT_EQ(reader.positions[1].headingDeg, 180.0);
    EXPECT_EQ(reader.report.rejected, 2);
    EXPECT_EQ(reader.report.notes.size(), 2U);
}

TEST(ColumnReader, HalfANumberAtTheEndOfTheFileIsNoNumber)
{
    ColumnReader reader(profileOf("ctd-csv"));
    ASSERT_TRUE(reader.push(ctdHeader));
    ASSERT_TRUE(reader.push("2031-03-08T19:00:00.000Z,48.2590,19.7502,0.521,225.86\n"));
    ASSERT_TRUE(reader.pushLast("2031-03-08T19:00:00.042Z,48.2590,19.7502,0.521,22"));
    reader.finish();
    EXPECT_EQ(reader.ctd.size(), 1U);
    EXPECT_THAT(onlyReason(reader.report), HasSubstr("cut off"));
}

TEST(ColumnReader, AWholeLastLineWithoutLineEndIsUsed)
{
    ColumnReader reader(profileOf("ctd-csv"));
    ASSERT_TRUE(reader.push(ctdHeader));
    ASSERT_TRUE(reader.push("2031-03-08T19:00:00.000Z,48.2590,19.7502,0.521,225.86\n"));
    ASSERT_TRUE(reader.pushLast("2031-03-08T19:00:00.042Z,48.2590,19.7502,0.521,225.87"));
    reader.finish();
    EXPECT_EQ(reader.ctd.size(), 2U);
}

TEST(ColumnReader, AShorterLastNumberWithAllItsDecimalsIsWhole)
{
    ColumnReader reader(profileOf("ctd-csv"));
    ASSERT_TRUE(reader.push(ctdHeader));
    ASSERT_TRUE(reader.push("2031-03-08T19:00:00.000Z,48.2590,19.7502,0.521,10.50\n"));
    ASSERT_TRUE(reader.pushLast("2031-03-08T19:00:00.042Z,48.2590,19.7502,0.521,9.50"));
    reader.finish();
    EXPECT_EQ(reader.ctd.size(), 2U);
}

TEST(ColumnReader, HalfANumberIsFoundByItsDecimalsInLogsThatAreReadAsTables)
{
    const auto scansOf = [](std::string_view last) {
        const std::string text = ctdHeader +
                                 "\n2031-03-08T19:00:00.000Z,48.1,9.5,10.1,0.523\n"
                                 "2031-03-08T19:00:01.000Z,48.1,9.5,10.1,0.521\n"
                                 "2031-03-08T19:00:02.000Z,48.1,9.5,10.1," +
                                 std::string(last);
        const auto data = intakeBytes(text, QStringLiteral("c"), profileOf("ctd-csv"));
        EXPECT_TRUE(data);
        return data ? data->ctd.size() : 0;
    };
    EXPECT_EQ(scansOf("0.522"), 3U);
    EXPECT_EQ(scansOf("0.52"), 2U);
    EXPECT_EQ(scansOf("12.52"), 2U) << "longer than the number above, and yet cut";
    EXPECT_EQ(scansOf("12.522"), 3U);
    EXPECT_EQ(scansOf("0.522\n"), 3U);
}

TEST(ColumnReader, AWholeLastNumberWithADecimalCommaIsUsed)
{
    FeedProfile profile = profileOf("position-semicolon");
    ColumnReader reader(profile);
    const std::string before = "2026-03-12;14:22:07,5;-2104,5522;17312,8843;-1240,50";
    ASSERT_TRUE(reader.push(before + "\n"));
    ASSERT_TRUE(reader.pushLast("2026-03-12;14:22:08,5;-2104,5522;17312,8843;-9,50"));
    reader.finish();
    EXPECT_EQ(reader.positions.size(), 2U) << onlyReason(reader.report);
}

TEST(ColumnReader, TakesDateTimeAndZoneInOneColumn)
{
    FeedProfile profile = profileOf("position-csv");
    profile.timeFormat = TimeFormat::DateTime;
    profile.dateOrder = DateOrder::DayMonthYear;
    ColumnReader reader(profile);
    for (const char *line :
         {"time_utc,latitude_deg,longitude_deg,depth_m,heading_deg", "29/02/2028 23:59:59.5,-21.5,179.9,5,0",
          "01/03/2028 02:30:00 +02:30,-21.5,179.9,5,0", "01.03.2028 000001.5Z,-21.5,-179.9,5,0",
          "29/02/2027 00:00:01,-21.5,179.9,5,0", "01/03/2028,-21.5,179.9,5,0",
          "01/03/2028 25:00:00,-21.5,179.9,5,0"})
        ASSERT_TRUE(reader.push(line));
    reader.finish();
    ASSERT_EQ(reader.positions.size(), 3U);
    EXPECT_EQ(toIso(reader.positions[0].time), QStringLiteral("2028-02-29T23:59:59.500Z"));
    EXPECT_EQ(toIso(reader.positions[1].time), QStringLiteral("2028-03-01T00:00:00.000Z"));
    EXPECT_EQ(toIso(reader.positions[2].time), QStringLiteral("2028-03-01T00:00:01.500Z"));
    EXPECT_EQ(reader.report.rejected, 3);
}

TEST(ColumnReader, NoShipIsTiltedBeyondNinety)
{
    const auto reader =
        readerOf("ship-csv", {"time_utc,latitude_deg,longitude_deg,heading_deg,pitch_deg,roll_deg",
                              "2031-03-08T19:00:00.000Z,-21.5,173.2,10,148.7,2",
                              "2031-03-08T19:00:01.000Z,-21.5,173.2,10,2,-91",
                              "2031-03-08T19:00:02.000Z,-21.5,173.2,10,2,-3"});
    EXPECT_EQ(reader.positions.size(), 1U);
    EXPECT_EQ(onlyReason(reader.report), "pitch or roll beyond 90");
}

TEST(ColumnReader, ReadsVelocities)
{
    const auto reader =
        readerOf("dvl-csv", {"time_utc,forward_m_s,starboard_m_s,down_m_s,altitude_m,heading_deg",
                             "2031-03-08T19:00:00.000Z,0.25,-0.01,0.02,12.5,359.9",
                             "2031-03-08T19:00:00.500Z,,-0.01,0.02,12.5,359.9",
                             "2031-03-08T19:00:01.000Z,99,-0.01,0.02,12.5,359.9"});
    ASSERT_EQ(reader.velocities.size(), 1U);
    EXPECT_EQ(reader.velocities[0].forwardMs, 0.25);
    EXPECT_EQ(reader.velocities[0].altitudeM, 12.5);
    EXPECT_EQ(reader.report.rejected, 2);
}

TEST(LineParser, GivesALiveFeedsRecordsAsTheyCome)
{
    LineParser parser(profileOf("position-csv"));
    ASSERT_TRUE(parser.push(positionHeader));
    EXPECT_TRUE(parser.positions().empty());
    ASSERT_TRUE(parser.push("2031-03-08T19:00:00Z,-31,-128,1,2\r\n"));
    EXPECT_EQ(parser.positions().size(), 1U);
}

namespace
{

/// A CTD log of 4 scans a second over midnight, with the last minute's second 60, in the given day.
IntakeData logOverMidnight(const std::string &day, const std::string &next)
{
    std::string text = ctdHeader + "\n";
    int scan = 0;
    const auto second = [&](const std::string &time) {
        for (const char *fraction : {".000", ".250", ".500", ".750"})
            text += time + fraction + "Z,48.2590,19.7502," + std::to_string(100 + ++scan) + ".521,225.86\n";
    };
    for (const char *time : {"T23:59:58", "T23:59:59", "T23:59:60"})
        second(day + time);
    for (const char *time : {"T00:00:00", "T00:00:01"})
        second(next + time);
    auto data = intakeBytes(text, QStringLiteral("ctd.csv"), profileOf("ctd-csv"), {});
    EXPECT_TRUE(data) << (data ? "" : data.error().sentence.toStdString());
    return std::move(*data);
}

} // namespace

TEST(ColumnReader, KeepsTheScansOfALeapSecondInTheirPlaceAndCountsThem)
{
    const IntakeData data = logOverMidnight("2016-12-31", "2017-01-01");
    ASSERT_EQ(data.ctd.size(), 20U);
    for (std::size_t i = 0; i < data.ctd.size(); ++i)
        EXPECT_EQ(data.ctd.pressureDbar[i], 101.521 + static_cast<double>(i)) << "as the log has them";
    for (std::size_t i = 1; i < data.ctd.size(); ++i)
        EXPECT_LT(data.ctd.timeUs[i - 1], data.ctd.timeUs[i]) << i;
    EXPECT_EQ(toIsoMicro(utcFromMicroseconds(data.ctd.timeUs[9])),
              QStringLiteral("2016-12-31T23:59:59.999125Z"));
    EXPECT_EQ(data.report.repaired, 0);
    EXPECT_EQ(data.report.rejected, 0);
    ASSERT_EQ(data.report.notes.size(), 1U);
    EXPECT_EQ(data.report.notes[0].count, 4);
    EXPECT_EQ(data.report.notes[0].firstLine, 10U);
    EXPECT_THAT(data.report.notes[0].reason.toStdString(), HasSubstr("leap second 2016-12-31T23:59:60Z"));
    EXPECT_TRUE(data.report.warnings.isEmpty());
}

TEST(ColumnReader, KeepsSecondSixtyAsideOnADayWithoutLeapSecond)
{
    const IntakeData data = logOverMidnight("2016-12-30", "2016-12-31");
    EXPECT_EQ(data.ctd.size(), 16U);
    EXPECT_EQ(data.report.rejected, 4);
    EXPECT_THAT(onlyReason(data.report), HasSubstr("no leap second"));
}

TEST(ColumnReader, WarnsOfALeapSecondThatNobodyHereKnows)
{
    const IntakeData data = logOverMidnight("2040-12-31", "2041-01-01");
    EXPECT_EQ(data.ctd.size(), 20U);
    ASSERT_EQ(data.report.warnings.size(), 1);
    EXPECT_THAT(data.report.warnings[0].toStdString(), HasSubstr("2040-12-31T23:59:60Z"));
}

TEST(ColumnReader, WarnsOfALeapSecondOfWhichTheLogHasNoRecord)
{
    const auto reader = readerOf("position-csv", {positionHeader, "2016-12-31T23:59:59Z,-31,-128,1,2",
                                                  "2017-01-01T00:00:01Z,-31,-128,1,2"});
    ASSERT_EQ(reader.report.warnings.size(), 1);
    EXPECT_THAT(reader.report.warnings[0].toStdString(), HasSubstr("runs over the leap second 2016-12-31"));
}
