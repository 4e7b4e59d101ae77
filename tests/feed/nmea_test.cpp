// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/nmea.h"
#include "feed/nmea_reader.h"
#include "nmea_rows.h"

#include <cmath>
#include <gtest/gtest.h>
#include <map>
#include <sstream>

using namespace holdfast;
using testdata::NmeaRow;
using testdata::nmeaRows;

namespace
{

class EachNmeaRow : public testing::TestWithParam<NmeaRow>
{
};

std::string timeText(const TimeOfDay &t)
{
    char text[32];
    std::snprintf(text, sizeof text, "%02d:%02d:%02d.%03d", t.hour, t.minute, t.second, t.microsecond / 1000);
    return text;
}

std::string dateText(const CalendarDate &d)
{
    char text[48];
    std::snprintf(text, sizeof text, "%04d-%02d-%02d", d.year, d.month, d.day);
    return text;
}

/// The decoded values under the names the rows use.
std::map<std::string, double> valuesOf(const NmeaSentence &s)
{
    std::map<std::string, double> values;
    const auto put = [&](const char *name, const auto &value) {
        if (value)
            values[name] = static_cast<double>(*value);
    };
    put("satellites", s.satellites);
    put("hdop", s.hdop);
    put("altitude_m", s.altitudeM);
    put("geoid_separation_m", s.geoidSeparationM);
    put("speed_knots", s.speedKnots);
    put("speed_km_h", s.speedKmH);
    put("course_true_deg", s.courseTrueDeg);
    put("heading_true_deg", s.headingTrueDeg);
    put("depth_m", s.depthM);
    put("depth_below_transducer_m", s.depthBelowTransducerM);
    put("offset_m", s.offsetM);
    put("status", s.status);
    put("mode", s.mode);
    return values;
}

std::string nmeaLine(const std::string &body)
{
    unsigned sum = 0;
    for (const char c : body)
        sum ^= static_cast<unsigned char>(c);
    char tail[8];
    std::snprintf(tail, sizeof tail, "*%02X", sum);
    return "$" + body + tail + "\r\n";
}

FeedProfile acousticProfile()
{
    FeedProfile profile;
    profile.name = QStringLiteral("nmea");
    profile.kind = FeedKind::Nmea;
    return profile;
}

} // namespace

TEST_P(EachNmeaRow, IsReadAsTheStandardSays)
{
    const NmeaRow &row = GetParam();
    const NmeaSentence s = readNmea(row.sentence);
    EXPECT_EQ(s.checksumState, row.state);
    EXPECT_EQ(s.outcome, row.outcome) << s.reason;
    EXPECT_EQ(s.type, row.type);
    EXPECT_EQ(s.checksum ? *s.checksum : -1, row.checksum);
    EXPECT_EQ(s.time ? timeText(*s.time) : "", row.time);
    EXPECT_EQ(s.date ? dateText(*s.date) : "", row.date);
    EXPECT_EQ(s.fixQuality.value_or(-1), row.quality);
    EXPECT_EQ(std::isnan(row.latitude), !s.latitudeDeg);
    if (s.latitudeDeg) {
        EXPECT_NEAR(*s.latitudeDeg, row.latitude, 1e-9);
        EXPECT_NEAR(*s.longitudeDeg, row.longitude, 1e-9);
    }
    EXPECT_EQ(row.outcome == NmeaOutcome::Accept, std::string(s.reason).empty()) << s.reason;

    const auto values = valuesOf(s);
    std::istringstream expected(row.values);
    for (std::string pair; std::getline(expected, pair, ';');) {
        const std::size_t equals = pair.find('=');
        const std::string name = pair.substr(0, equals);
        const std::string text = pair.substr(equals + 1);
        const bool letter = name == "status" || name == "mode";
        ASSERT_TRUE(values.contains(name)) << name;
        EXPECT_DOUBLE_EQ(values.at(name), letter ? text.front() : std::stod(text)) << name;
    }
    if (row.outcome == NmeaOutcome::Reject) {
        EXPECT_TRUE(values.empty());
    }
}

INSTANTIATE_TEST_SUITE_P(Nmea, EachNmeaRow, testing::ValuesIn(nmeaRows),
                         [](const auto &info) { return std::string(info.param.name); });

TEST(NmeaClock, GivesEveryInstantOfTheSessions)
{
    std::map<std::string, NmeaClock> clocks;
    int checked = 0;
    for (const NmeaRow &row : nmeaRows) {
        if (*row.session == '\0')
            continue;
        const auto instant = clocks[row.session].instantOf(readNmea(row.sentence));
        EXPECT_EQ(instant ? toIso(*instant).toStdString() : "", row.instant) << row.name;
        ++checked;
    }
    EXPECT_EQ(checked, 11);
}

TEST(NmeaClock, TakesTheDateItIsGivenWhereTheLogHasNone)
{
    NmeaClock clock(*parseIsoUtc("2026-03-12T11:00:00Z"));
    const auto instant = clock.instantOf(readNmea("$GPGLL,2104.5522,S,17312.8843,E,120000.00,A,A*71"));
    ASSERT_TRUE(instant);
    EXPECT_EQ(toIso(*instant), QStringLiteral("2026-03-12T12:00:00.000Z"));
}

TEST(NmeaClock, DoesNotBelieveTheDateOfAVoidSentence)
{
    NmeaClock clock;
    EXPECT_FALSE(clock.instantOf(readNmea("$GPRMC,142212.30,V,,,,,,,120326,,,N*7C")));
}

TEST(NmeaReader, KeepsTheLeapSecondAndTheMidnightAfterIt)
{
    NmeaReader reader(acousticProfile(), {});
    for (const NmeaRow &row : nmeaRows) {
        if (std::string(row.session) == "leap")
            reader.push(row.sentence);
    }
    reader.finish();
    ASSERT_EQ(reader.positions.size(), 2U);
    EXPECT_EQ(toIso(reader.positions[0].time), QStringLiteral("2016-12-31T23:59:59.999Z"));
    EXPECT_EQ(toIso(reader.positions[1].time), QStringLiteral("2017-01-01T00:00:00.000Z"));
    EXPECT_EQ(reader.report.repaired, 0);
    ASSERT_EQ(reader.report.notes.size(), 1U);
    EXPECT_TRUE(reader.report.notes[0].reason.contains(QStringLiteral("leap second 2016-12-31T23:59:60Z")));
    EXPECT_EQ(reader.report.notes[0].count, 1);
    EXPECT_TRUE(reader.report.warnings.isEmpty());
}

TEST(NmeaReader, RefusesALeapSecondThatNobodyAnnounced)
{
    const auto withSum = [](const std::string &body) {
        unsigned sum = 0;
        for (const char c : body)
            sum ^= static_cast<unsigned char>(c);
        char end[8];
        std::snprintf(end, sizeof end, "*%02X", sum);
        return "$" + body + end;
    };
    const std::string place = "2104.5521,S,17312.8840,E,2,11,0.8,14.2,M,57.1,M,,";
    const std::string undated = withSum("GPGGA,235960.00," + place);
    const std::string dated = withSum("GPZDA,235959.00,30,12,2016,00,00");
    for (const bool dateFirst : {true, false}) {
        NmeaReader reader(acousticProfile(), {});
        reader.push(dateFirst ? dated : undated);
        reader.push(dateFirst ? undated : dated);
        reader.push(withSum("GPGGA,000001.00," + place));
        reader.finish();
        EXPECT_EQ(reader.positions.size(), 1U);
        ASSERT_EQ(reader.report.rejects.size(), 1U) << dateFirst;
        EXPECT_TRUE(reader.report.rejects[0].reason.contains(QStringLiteral("no leap second")));
    }
}

TEST(NmeaReader, PutsALateSentenceInItsPlaceAcrossMidnight)
{
    NmeaReader reader(acousticProfile(), {});
    for (const NmeaRow &row : nmeaRows) {
        if (std::string(row.session) == "midnight")
            reader.push(row.sentence);
    }
    reader.finish();
    ASSERT_EQ(reader.positions.size(), 3U);
    EXPECT_EQ(toIso(reader.positions[1].time), QStringLiteral("2026-12-31T23:59:59.800Z"));
    EXPECT_EQ(toIso(reader.positions[2].time), QStringLiteral("2027-01-01T00:00:00.500Z"));
    EXPECT_EQ(reader.report.repaired, 1);
    EXPECT_EQ(reader.report.accepted, 3);
}

TEST(NmeaReader, JoinsTheSentencesOfOneEpoch)
{
    NmeaReader reader(acousticProfile(), {});
    reader.push(nmeaLine("GPRMC,080910.00,A,3612.500,N,12200.750,W,0.4,12.0,120326,,,A"));
    reader.push(nmeaLine("GPGGA,080910.00,3612.50021,N,12200.75043,W,1,08,1.1,12.0,M,,M,,"));
    reader.push(nmeaLine("GPGLL,3612.5002,N,12200.7504,W,080910.00,A,A"));
    reader.push(nmeaLine("HEHDT,214.0,T"));
    reader.push(nmeaLine("GPGGA,080911.00,3612.5010,N,12200.7504,W,1,08,1.1,12.0,M,,M,,"));
    reader.finish();
    ASSERT_EQ(reader.positions.size(), 2U);
    EXPECT_NEAR(reader.positions[0].latitudeDeg, 36 + 12.50021 / 60, 1e-9); // the finest of the three
    EXPECT_EQ(reader.positions[0].headingDeg, 214.0);
    EXPECT_EQ(reader.counts.positions, 4);
    EXPECT_EQ(reader.report.accepted, 2);
}

TEST(NmeaReader, TakesHeadingsOfBothSentencesButNotAnInvalidOne)
{
    NmeaReader reader(acousticProfile(), *parseIsoUtc("2026-03-12T00:00:00Z"));
    const char *headings[] = {"HETHS,359.50,A", "HETHS,12.00,V", "HETHS,13.00,S", "HEHDT,14.0,T"};
    for (int i = 0; i < 4; ++i) {
        reader.push(
            nmeaLine(("GPGLL,3612.5000,N,12200.7500,W,08091" + std::to_string(i) + ".00,A,A").c_str()));
        reader.push(nmeaLine(headings[i]));
    }
    reader.finish();
    ASSERT_EQ(reader.positions.size(), 4U);
    EXPECT_EQ(reader.positions[0].headingDeg, 359.5);
    EXPECT_EQ(reader.positions[1].headingDeg, 359.5) << "it came between the two";
    EXPECT_FALSE(reader.positions[2].headingDeg);
    EXPECT_EQ(reader.positions[3].headingDeg, 14.0);
}

TEST(NmeaReader, HdopGivesTheDeviationOfSatellitePositionsByTheirQuality)
{
    const auto sigma = [](PositionSource source, std::optional<double> perHdop, const char *quality) {
        FeedProfile profile = acousticProfile();
        profile.source = source;
        profile.sigmaPerHdopM = perHdop;
        NmeaReader reader(profile, *parseIsoUtc("2026-03-12T00:00:00Z"));
        reader.push(nmeaLine(
            ("GPGGA,080911.00,3612.5010,N,12200.7504,W," + std::string(quality) + ",08,1.5,12.0,M,,M,,")
                .c_str()));
        reader.finish();
        return reader.positions.front().sigmaM;
    };
    EXPECT_DOUBLE_EQ(*sigma(PositionSource::Satellite, {}, "1"), 6.0);
    EXPECT_DOUBLE_EQ(*sigma(PositionSource::Satellite, {}, "2"), 2.25);
    EXPECT_DOUBLE_EQ(*sigma(PositionSource::Satellite, 2.0, "1"), 3.0) << "what the profile says goes before";
    EXPECT_FALSE(sigma(PositionSource::Acoustic, {}, "1")) << "the HDOP is not that of an acoustic position";
}

TEST(NmeaReader, KeepsTwoPositionsOfOneTimeThatDiffer)
{
    NmeaReader reader(acousticProfile(), *parseIsoUtc("2026-03-12T00:00:00Z"));
    reader.push(nmeaLine("GPGLL,3612.5000,N,12200.7500,W,080910.00,A,A"));
    reader.push(nmeaLine("GPGLL,3612.5100,N,12200.7500,W,080910.00,A,A"));
    reader.finish();
    EXPECT_EQ(reader.positions.size(), 2U);
}

TEST(NmeaReader, DatesPositionsBeforeTheFirstDateBackwards)
{
    NmeaReader reader(acousticProfile(), {});
    reader.push(nmeaLine("GPGLL,3612.5000,N,12200.7500,W,235959.00,A,A"));
    reader.push(nmeaLine("GPGLL,3612.5100,N,12200.7500,W,000001.00,A,A"));
    reader.push(nmeaLine("GPZDA,000002.00,01,03,2028,00,00"));
    reader.finish();
    ASSERT_EQ(reader.positions.size(), 2U);
    EXPECT_EQ(toIso(reader.positions[0].time), QStringLiteral("2028-02-29T23:59:59.000Z"));
    EXPECT_EQ(toIso(reader.positions[1].time), QStringLiteral("2028-03-01T00:00:01.000Z"));
}

TEST(NmeaReader, KeepsUndatedPositionsAsideInsteadOfInventingADay)
{
    NmeaReader reader(acousticProfile(), {});
    reader.push(nmeaLine("GPGLL,3612.5000,N,12200.7500,W,235959.00,A,A"));
    reader.finish();
    EXPECT_TRUE(reader.positions.empty());
    ASSERT_EQ(reader.report.aside.size(), 1U);
    EXPECT_EQ(reader.report.aside[0].line, 1U);
    EXPECT_TRUE(reader.report.aside[0].reason.contains(QStringLiteral("no date")));
}

TEST(NmeaReader, FindsSentencesAmongOtherBytes)
{
    NmeaReader reader(acousticProfile(), *parseIsoUtc("2026-03-12T08:00:00Z"));
    const std::string good = "$GPGLL,3612.5000,N,12200.7500,W,080910.00,A*16";
    ASSERT_EQ(readNmea(good).outcome, NmeaOutcome::Accept);
    reader.push(std::string("\x01\xb5\x62\0\x99", 5) + "$GP" + good + "\x02\x03$");
    reader.push("\x80\x81\x82");
    reader.finish();
    EXPECT_EQ(reader.positions.size(), 1U);
    EXPECT_EQ(reader.counts.valid, 1);
    EXPECT_EQ(reader.report.repaired, 1);
    EXPECT_EQ(reader.report.rejected, 1);
}

TEST(NmeaReader, UsesSentencesWithoutChecksumOnlyWhereTheProfileSaysSo)
{
    FeedProfile profile = acousticProfile();
    for (const bool allowed : {false, true}) {
        profile.withoutChecksum = allowed;
        NmeaReader reader(profile, *parseIsoUtc("2026-03-12T08:00:00Z"));
        reader.push("$GPGLL,3612.5000,N,12200.7500,W,080910.00,A\r\n");
        reader.finish();
        EXPECT_EQ(reader.positions.size(), allowed ? 1U : 0U);
        EXPECT_EQ(reader.report.rejected, allowed ? 0 : 1);
        EXPECT_EQ(reader.counts.withoutChecksum, 1);
    }
}
