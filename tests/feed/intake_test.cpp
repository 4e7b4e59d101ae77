// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/intake.h"
#include "feed/line_parser.h"
#include "feed/text_pack.h"

#include <QCryptographicHash>
#include <QTemporaryDir>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <random>

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

std::string errorOf(std::string_view bytes, const char *profile)
{
    const auto data = intakeBytes(bytes, QStringLiteral("some.log"), profileOf(profile));
    EXPECT_FALSE(data);
    return data ? "" : data.error().sentence.toStdString();
}

std::string ctdLog(int scans)
{
    std::string text = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg\n";
    for (int i = 0; i < scans; ++i) {
        char line[96];
        std::snprintf(line, sizeof line, "2031-03-08T%02d:%02d:%02d.%03dZ,48.%04d,19.7502,0.521,225.86\n",
                      i / 3600'000 % 24, i / 60'000 % 60, i / 1000 % 60, i % 1000, i % 10'000);
        text += line;
    }
    return text;
}

} // namespace

TEST(Intake, ReadsALogOfManyChunks)
{
    const std::string text = ctdLog(60'000); // three chunks
    const auto data = intakeBytes(text, QStringLiteral("ctd.csv"), profileOf("ctd-csv"));
    ASSERT_TRUE(data) << data.error().sentence.toStdString();
    EXPECT_EQ(data->ctd.size(), 60'000U);
    EXPECT_EQ(data->report.rejected, 0);
    EXPECT_EQ(data->report.lines, 60'001);
    EXPECT_EQ(data->bytes, static_cast<std::int64_t>(text.size()));
    EXPECT_EQ(data->ctd.timeUs.back() - data->ctd.timeUs.front(), 59'999'000);
    EXPECT_EQ(data->ctd.line.back(), 60'001U);
    const QByteArray bytes(text.data(), static_cast<qsizetype>(text.size()));
    EXPECT_EQ(data->sha256.toLatin1(), QCryptographicHash::hash(bytes, QCryptographicHash::Sha256).toHex());
}

TEST(Intake, ALargeLogGivesTheSameAsItsLinesOneByOne)
{
    std::string text = ctdLog(50'000);
    std::mt19937 random(8);
    for (int i = 0; i < 400; ++i) // odd lines everywhere
        text[200 + random() % (text.size() - 200)] = "0-.,x\n9 "[random() % 8];
    text += "2031-03-08T23:59:59.000Z,48.0001,19.7502,0.521,22"; // cut off
    for (const char *name : {"ctd-csv", "ctd-milli"}) {
        FeedProfile profile = profileOf("ctd-csv");
        if (std::string(name) == "ctd-milli") {
            profile.columns[1].shift10 = 1;
            profile.columns[2].factor = 1 / 1.00024;
            profile.columns[3].shift10 = 5;
            profile.columns[3].offset = -10.1325;
        }
        LineParser parser(profile);
        std::string_view rest = text;
        while (rest.find('\n') != std::string_view::npos) {
            ASSERT_TRUE(parser.push(rest.substr(0, rest.find('\n') + 1)));
            rest.remove_prefix(rest.find('\n') + 1);
        }
        ASSERT_TRUE(parser.pushLast(rest));
        parser.finish();
        const auto data = intakeBytes(text, QStringLiteral("ctd.csv"), profile);
        ASSERT_TRUE(data);
        EXPECT_GT(data->report.rejected, 100);
        EXPECT_EQ(data->report.rejected, parser.report().rejected);
        EXPECT_EQ(data->report.repaired, parser.report().repaired);
        EXPECT_EQ(data->report.lines, parser.report().lines);
        const CtdColumns &expected = parser.ctd();
        const auto bytesOf = [](const std::vector<double> &values) {
            return std::string(reinterpret_cast<const char *>(values.data()), values.size() * sizeof(double));
        };
        EXPECT_EQ(data->ctd.timeUs, expected.timeUs);
        EXPECT_EQ(data->ctd.line, expected.line);
        EXPECT_TRUE(bytesOf(data->ctd.conductivityMsCm) == bytesOf(expected.conductivityMsCm));
        EXPECT_TRUE(bytesOf(data->ctd.temperatureDegC) == bytesOf(expected.temperatureDegC));
        EXPECT_TRUE(bytesOf(data->ctd.pressureDbar) == bytesOf(expected.pressureDbar));
        EXPECT_TRUE(bytesOf(data->ctd.oxygenUmolKg) == bytesOf(expected.oxygenUmolKg));
    }
}

TEST(Intake, AFileGivesTheSameAsItsBytes)
{
    QTemporaryDir folder;
    const QString path = folder.filePath(QStringLiteral("ctd.csv"));
    const std::string text = ctdLog(100);
    QFile file(path);
    ASSERT_TRUE(file.open(QIODevice::WriteOnly));
    file.write(text.data(), static_cast<qint64>(text.size()));
    file.close();
    const auto fromFile = intakeFile(path, profileOf("ctd-csv"));
    const auto fromBytes = intakeBytes(text, QStringLiteral("ctd.csv"), profileOf("ctd-csv"));
    ASSERT_TRUE(fromFile);
    ASSERT_TRUE(fromBytes);
    EXPECT_EQ(fromFile->fileName, QStringLiteral("ctd.csv"));
    EXPECT_EQ(fromFile->sha256, fromBytes->sha256);
    EXPECT_EQ(fromFile->ctd.timeUs, fromBytes->ctd.timeUs);
}

TEST(Intake, SaysWhatIsWrongWithAFileAsAWhole)
{
    QTemporaryDir folder;
    const auto missing = intakeFile(folder.filePath(QStringLiteral("none.csv")), profileOf("ctd-csv"));
    ASSERT_FALSE(missing);
    EXPECT_EQ(missing.error().kind, ErrorKind::NotFound);
    const auto isFolder = intakeFile(folder.path(), profileOf("ctd-csv"));
    ASSERT_FALSE(isFolder);
    EXPECT_EQ(isFolder.error().kind, ErrorKind::Unreadable);
    EXPECT_THAT(isFolder.error().sentence.toStdString(), HasSubstr("is a folder"));
    const auto device = intakeFile(QStringLiteral("/dev/zero"), profileOf("ctd-csv"));
    ASSERT_FALSE(device);

    EXPECT_THAT(errorOf("", "ctd-csv"), HasSubstr("some.log is empty"));
    EXPECT_THAT(errorOf("", "nmea"), HasSubstr("is empty"));
    EXPECT_THAT(errorOf(std::string_view("\x7f"
                                         "ELF\0\0\0\1",
                                         8),
                        "ctd-csv"),
                HasSubstr("binary file"));
    EXPECT_THAT(errorOf(std::string_view("\xff\xfet\0i\0", 6), "ctd-csv"), HasSubstr("UTF-16"));
    EXPECT_THAT(errorOf("time_utc,temperature_degC\n", "ctd-csv"), HasSubstr("header and nothing else"));
    EXPECT_THAT(errorOf("a,b\n1,2\n", "ctd-csv"), HasSubstr("Columns found: a, b"));
    EXPECT_THAT(errorOf("time_utc,temperature_degC\nx,1\ny,2\n", "ctd-csv"), HasSubstr("first in line 2"));
    EXPECT_THAT(errorOf("time_utc,latitude_deg\n1,2\n", "nmea"), HasSubstr("no whole sentence"));
    EXPECT_THAT(errorOf("$GPGLL,3612.5000,N,12200.7500,W,080910.00,A*16\n", "nmea"), HasSubstr("no date"));
}

TEST(Intake, ALineLongerThanAMegabyteIsOneBadLine)
{
    for (const std::size_t length : {std::size_t{1'200'000}, std::size_t{5'000'000}}) {
        const std::string before = ctdLog(10), after = ctdLog(20).substr(ctdLog(10).size());
        const std::string whole = before + std::string(length, 'x') + '\n' + after;
        const auto data = intakeBytes(whole, QStringLiteral("ctd.csv"), profileOf("ctd-csv"));
        ASSERT_TRUE(data) << data.error().sentence.toStdString();
        EXPECT_EQ(data->ctd.size(), 20U);
        EXPECT_EQ(data->report.lines, 22);
        EXPECT_EQ(data->report.rejected, 1);
        ASSERT_EQ(data->report.rejects.size(), 1U);
        EXPECT_EQ(data->report.rejects.front().reason, QStringLiteral("longer than a megabyte"));
        EXPECT_EQ(data->report.rejects.front().firstLine, 12U);
        EXPECT_EQ(data->ctd.line.back(), 22U);
        std::string kept;
        for (const PackedText &piece : data->text)
            kept += *unpackText(piece.packed);
        EXPECT_TRUE(kept == whole) << "every byte of it is kept";

        const auto cut =
            intakeBytes(before + std::string(length, 'x'), QStringLiteral("c"), profileOf("ctd-csv"));
        ASSERT_TRUE(cut);
        EXPECT_EQ(cut->report.lines, 12);
        EXPECT_EQ(cut->report.rejected, 1);
    }
    EXPECT_THAT(errorOf(std::string(5'000'000, 'x'), "ctd-csv"),
                HasSubstr("no line of 1 could be used with profile ctd-csv: 1 × longer than a megabyte"));
}

TEST(Intake, SentencesAreFoundInALineOfAnyLength)
{
    const std::string sentence = "$GPRMC,120000.00,A,2104.5522,S,17312.8843,E,,,120326,,,A*42";
    std::string line;
    std::int64_t sentences = 0;
    while (line.size() < 4'500'000) { // pieces end at each place within a sentence
        line += std::string(997, '\x01') + sentence;
        ++sentences;
    }
    for (const char *end : {"\n", ""}) {
        const auto data = intakeBytes(line + end, QStringLiteral("some.log"), profileOf("nmea"));
        ASSERT_TRUE(data) << data.error().sentence.toStdString();
        EXPECT_EQ(data->report.lines, 1);
        EXPECT_EQ(data->report.rejected, 0);
        ASSERT_FALSE(data->report.repairs.empty());
        EXPECT_EQ(data->report.repairs.front().reason, QStringLiteral("sentences found among other bytes"));
        EXPECT_EQ(data->report.repairs.front().count, sentences);
    }
}

TEST(Intake, ReadingCanBeStopped)
{
    std::stop_source stop;
    stop.request_stop();
    IntakeOptions options;
    options.stop = stop.get_token();
    const auto data = intakeBytes(ctdLog(10), QStringLiteral("ctd.csv"), profileOf("ctd-csv"), options);
    ASSERT_FALSE(data);
    EXPECT_EQ(data.error().kind, ErrorKind::Cancelled);
}

TEST(Intake, TellsHowFarItIs)
{
    std::vector<std::int64_t> seen;
    IntakeOptions options;
    options.progress = [&](std::int64_t done, std::int64_t total) {
        EXPECT_LE(done, total);
        seen.push_back(done);
    };
    const std::string text = ctdLog(40'000);
    ASSERT_TRUE(intakeBytes(text, QStringLiteral("ctd.csv"), profileOf("ctd-csv"), options));
    EXPECT_GE(seen.size(), 3U);
    EXPECT_TRUE(std::is_sorted(seen.begin(), seen.end()));
    EXPECT_EQ(seen.back(), static_cast<std::int64_t>(text.size()));
}

TEST(Intake, ReportsRecordsOutsideTheDive)
{
    IntakeOptions options;
    options.windowStart = parseIsoUtc("2031-03-08T00:00:00.050Z");
    options.windowEnd = parseIsoUtc("2031-03-09T00:00:00Z");
    const auto data = intakeBytes(ctdLog(100), QStringLiteral("ctd.csv"), profileOf("ctd-csv"), options);
    ASSERT_TRUE(data);
    EXPECT_EQ(data->ctd.size(), 100U);
    ASSERT_EQ(data->report.warnings.size(), 1);
    EXPECT_THAT(data->report.warnings[0].toStdString(), HasSubstr("50 of 100 records are outside"));
}

TEST(Intake, TellsAWeekRolloverAndChangesNothing)
{
    IntakeOptions options; // 1024 weeks after 2011-07-24 is 2031-03-09
    options.windowStart = parseIsoUtc("2031-03-09T00:00:00Z");
    options.windowEnd = parseIsoUtc("2031-03-10T00:00:00Z");
    const std::string text = "time_utc,latitude_deg,longitude_deg\n2011-07-24T12:00:00Z,1,2\n";
    const auto data = intakeBytes(text, QStringLiteral("old.csv"), profileOf("position-csv"), options);
    ASSERT_TRUE(data);
    ASSERT_EQ(data->report.warnings.size(), 1);
    EXPECT_THAT(data->report.warnings[0].toStdString(), HasSubstr("1024 weeks"));
    EXPECT_EQ(toIso(data->positions[0].time), QStringLiteral("2011-07-24T12:00:00.000Z"));
}

TEST(Intake, TakesTheDaysDateForALogWithoutDateAndSaysSo)
{
    IntakeOptions options;
    options.windowStart = parseIsoUtc("2026-03-12T07:00:00Z");
    options.windowEnd = parseIsoUtc("2026-03-12T17:00:00Z");
    const auto data = intakeBytes("$GPGLL,3612.5000,N,12200.7500,W,080910.00,A*16\n",
                                  QStringLiteral("sounder.log"), profileOf("nmea"), options);
    ASSERT_TRUE(data) << data.error().sentence.toStdString();
    EXPECT_EQ(toIso(data->positions[0].time), QStringLiteral("2026-03-12T08:09:10.000Z"));
    ASSERT_EQ(data->report.warnings.size(), 1);
    EXPECT_THAT(data->report.warnings[0].toStdString(), HasSubstr("no date"));
}
