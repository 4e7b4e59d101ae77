// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/sensor_log.h"

#include "store/database.h"

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
    return *loadFeedProfile(QString::fromLatin1(name), {folder});
}

/// 24 scans a second from `start` on, with one bad line.
std::string ctdText(const char *start, int scans)
{
    std::string text = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg\n";
    const UtcTime first = *parseIsoUtc(start);
    for (int i = 0; i < scans; ++i) {
        const UtcTime t = first + Microseconds{i * 125'000LL / 3 / 1000 * 1000};
        text += toIso(t).toStdString() + "," + std::to_string(33 + i % 10) + ".1250,2.5,1240.125,180.25\n";
    }
    return text + "not a scan\n";
}

class SensorLog : public testing::Test
{
protected:
    void SetUp() override { ASSERT_TRUE(db) << db.error().sentence.toStdString(); }

    IntakeData read(const std::string &text, const char *profile = "ctd-csv", const char *name = "a.csv")
    {
        auto data = intakeBytes(text, QString::fromLatin1(name), profileOf(profile));
        EXPECT_TRUE(data) << data.error().sentence.toStdString();
        return std::move(*data);
    }

    Result<qint64> store(const IntakeData &data, const SensorTable &table, const char *uuid, int dive)
    {
        const auto packed = packLog(table);
        EXPECT_TRUE(packed);
        auto transaction = Transaction::begin(db->connection());
        EXPECT_TRUE(transaction);
        auto written =
            SensorLogWriter(db->connection()).write(QString::fromLatin1(uuid), dive, data, *packed);
        if (written) {
            EXPECT_TRUE(transaction->commit());
        }
        return written;
    }
    void storeCtd(const std::string &text, const char *uuid, int dive)
    {
        const IntakeData data = read(text);
        const auto written = store(data, tableOf(data.ctd), uuid, dive);
        ASSERT_TRUE(written) << written.error().sentence.toStdString();
    }
    LogFile file(const char *uuid)
    {
        auto found = reader().fileOf(QString::fromLatin1(uuid));
        EXPECT_TRUE(found);
        return *found;
    }
    SensorLogReader reader() { return SensorLogReader(db->connection()); }
    void change(const QString &sql) { ASSERT_TRUE(execSql(db->connection(), sql)); }
    std::string verdict(const char *uuid)
    {
        const Done verified = reader().verify(file(uuid));
        if (!verified) {
            EXPECT_EQ(verified.error().kind, ErrorKind::Tampered);
        }
        return verified ? "" : verified.error().sentence.toStdString();
    }

    Result<Database> db = Database::inMemory();
};

const std::string log1 = ctdText("2031-03-08T19:00:00Z", 5000);

} // namespace

TEST_F(SensorLog, GivesBackScansFlagsReportAndTheFileItself)
{
    const IntakeData data = read(log1);
    std::vector<std::uint8_t> flags(data.ctd.size(), 1);
    flags[777] = 4;
    SensorTable table = tableOf(data.ctd);
    table.marks.emplace_back("flag", std::span<const std::uint8_t>(flags));
    ASSERT_TRUE(store(data, table, "u1", 3));

    const auto scans = reader().ctd(3);
    ASSERT_TRUE(scans);
    EXPECT_EQ(scans->timeUs, data.ctd.timeUs);
    EXPECT_EQ(scans->conductivityMsCm, data.ctd.conductivityMsCm);
    EXPECT_EQ(scans->oxygenUmolKg, data.ctd.oxygenUmolKg);
    EXPECT_EQ(scans->line, data.ctd.line);
    const auto rows = reader().rowsOfDive(3, LogKind::Ctd);
    ASSERT_TRUE(rows);
    EXPECT_EQ((*rows->findMarks("flag"))[777], 4U);

    const LogFile stored = file("u1");
    EXPECT_EQ(stored.profile, QStringLiteral("ctd-csv"));
    EXPECT_TRUE(parseFeedProfile(stored.profileJson, QStringLiteral("stored")));
    const auto report = reader().report(stored);
    ASSERT_TRUE(report);
    EXPECT_EQ(report->accepted, 5000);
    EXPECT_EQ(report->rejected, 1);
    ASSERT_EQ(report->aside.size(), 1U);
    EXPECT_EQ(report->aside[0].text, QByteArray("not a scan"));
    EXPECT_EQ(report->aside[0].line, 5002U);

    std::string text;
    ASSERT_TRUE(reader().text(stored, [&](std::string_view piece) -> Done {
        text += piece;
        return {};
    }));
    EXPECT_EQ(text, log1);
    EXPECT_EQ(verdict("u1"), "");
}

TEST_F(SensorLog, ReadsAWindowAndNothingBesides)
{
    storeCtd(log1, "u1", 1);
    const auto whole = reader().ctd(1);
    ASSERT_TRUE(whole);
    for (const double seconds : {-5.0, 0.0, 14.9, 59.9, 60.0, 60.1, 120.0, 200.0, 208.0, 300.0}) {
        const UtcTime middle =
            *parseIsoUtc("2031-03-08T19:00:00Z") + Microseconds{static_cast<std::int64_t>(seconds * 1e6)};
        const UtcTime from = middle - std::chrono::seconds{15};
        const UtcTime to = middle + std::chrono::seconds{15};
        std::vector<std::uint32_t> expected;
        for (std::size_t i = 0; i < whole->size(); ++i) {
            if (whole->timeUs[i] >= microsecondsOf(from) && whole->timeUs[i] <= microsecondsOf(to))
                expected.push_back(whole->line[i]);
        }
        const auto window = reader().ctd(1, from, to);
        ASSERT_TRUE(window);
        EXPECT_EQ(window->line, expected) << seconds;
    }
}

TEST_F(SensorLog, AWindowThatBeginsOnScansOfEqualTimeAcrossABlockHasThemAll)
{
    CtdColumns scans;
    for (std::uint32_t i = 0; i < 2 * rowsPerBlock; ++i) {
        const bool stuck = i >= rowsPerBlock - 3 && i < rowsPerBlock + 3;
        scans.timeUs.push_back(stuck ? static_cast<std::int64_t>(rowsPerBlock - 3) * 1000 : i * 1000LL);
        scans.line.push_back(i);
    }
    scans.conductivityMsCm = scans.temperatureDegC = scans.pressureDbar = scans.oxygenUmolKg =
        std::vector<double>(scans.size(), 1.5);
    IntakeData data = read(log1);
    ASSERT_TRUE(store(data, tableOf(scans), "u1", 1));
    const UtcTime stuckAt = utcFromMicroseconds(static_cast<std::int64_t>(rowsPerBlock - 3) * 1000);
    const auto window = reader().ctd(1, stuckAt, stuckAt);
    ASSERT_TRUE(window);
    EXPECT_EQ(window->size(), 6U);
}

TEST_F(SensorLog, JoinsTheLogsOfADiveInOrderOfTimeAndLeavesOutReplacedOnes)
{
    storeCtd(ctdText("2031-03-08T20:00:00Z", 100), "late", 1);
    storeCtd(ctdText("2031-03-08T19:00:00Z", 200), "early", 1);
    storeCtd(ctdText("2031-03-08T19:00:00Z", 300), "other dive", 2);
    const auto scans = reader().ctd(1);
    ASSERT_TRUE(scans);
    EXPECT_EQ(scans->size(), 300U);
    EXPECT_TRUE(std::is_sorted(scans->timeUs.begin(), scans->timeUs.end()));
    {
        auto transaction = Transaction::begin(db->connection());
        ASSERT_TRUE(transaction);
        ASSERT_TRUE(SensorLogWriter(db->connection()).setInUse(QStringLiteral("early"), false));
        EXPECT_FALSE(SensorLogWriter(db->connection()).setInUse(QStringLiteral("nosuch"), false));
        ASSERT_TRUE(transaction->commit());
    }
    EXPECT_EQ(reader().ctd(1)->size(), 100U);
    EXPECT_EQ(reader().files(1)->size(), 2U);
    EXPECT_EQ(reader().ctd(9)->size(), 0U);
}

TEST_F(SensorLog, KeepsPositionsAndVelocitiesApart)
{
    const IntakeData data = read("time_utc,latitude_deg,longitude_deg,depth_m\n"
                                 "2031-03-08T19:00:00.981Z,-31.2700033,-128.4499980,0.36\n"
                                 "2031-03-08T19:00:02.011Z,-31.2700000,-128.4499956,\n",
                                 "position-csv");
    const RecordColumns columns(data.positions);
    ASSERT_TRUE(store(data, columns.table(), "p", 1));
    const auto positions = reader().positions(1);
    ASSERT_TRUE(positions);
    ASSERT_EQ(positions->size(), 2U);
    EXPECT_EQ((*positions)[0].latitudeDeg, -31.2700033);
    EXPECT_EQ((*positions)[0].depthM, 0.36);
    EXPECT_FALSE((*positions)[1].depthM);
    EXPECT_EQ((*positions)[1].line, 3U);
    EXPECT_TRUE(reader().velocities(1)->empty());
}

TEST_F(SensorLog, TheSameFileTwiceIsNoticed)
{
    storeCtd(log1, "u1", 1);
    const IntakeData again = read(log1, "ctd-csv", "renamed.csv");
    const auto refused = store(again, tableOf(again.ctd), "u2", 1);
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().kind, ErrorKind::Duplicate);
    EXPECT_THAT(refused.error().sentence.toStdString(), HasSubstr("a.csv"));
    EXPECT_TRUE(store(again, tableOf(again.ctd), "u3", 2)); // another dive may have it
    EXPECT_TRUE(reader().fileWithSum(1, again.sha256)->has_value());
    EXPECT_FALSE(reader().fileWithSum(5, again.sha256)->has_value());
}

TEST_F(SensorLog, IsNotWrittenOutsideATransactionAndLeavesNothingOfARolledBackOne)
{
    const IntakeData data = read(log1);
    const auto packed = packLog(tableOf(data.ctd));
    ASSERT_TRUE(packed);
    EXPECT_FALSE(SensorLogWriter(db->connection()).write(QStringLiteral("u1"), 1, data, *packed));
    {
        auto transaction = Transaction::begin(db->connection());
        ASSERT_TRUE(transaction);
        ASSERT_TRUE(SensorLogWriter(db->connection()).write(QStringLiteral("u1"), 1, data, *packed));
    }
    EXPECT_TRUE(reader().files(1)->empty());
    auto left = query(db->connection(), QStringLiteral("SELECT count(*) FROM log_block"));
    ASSERT_TRUE(left && left->next());
    EXPECT_EQ(left->integer(0), 0);
}

TEST_F(SensorLog, EveryKindOfChangeIsFoundAndLocated)
{
    const struct {
        const char *sql;
        const char *found;
    } changes[] = {
        {"UPDATE log_block SET data = CAST(substr(data, 1, 200) || x'7f' || substr(data, 202) AS BLOB) WHERE "
         "seq = 2",
         "block 2"},
        {"UPDATE log_block SET sha256 = x'00' WHERE seq = 3", "block 3"},
        {"DELETE FROM log_block WHERE seq = 2", "block 2 of its values is missing"},
        {"DELETE FROM log_block WHERE seq = 4", "not those that were stored"},
        {"UPDATE log_block SET first_us = first_us + 1 WHERE seq = 1", "block 1"},
        {"UPDATE log_file SET digest = upper(digest)", "not those that were stored"},
        {"UPDATE log_text SET data = x'0000' WHERE seq = 1", "damaged"},
        {"UPDATE log_text SET bytes = 5 WHERE seq = 1", "piece 1"},
        {"DELETE FROM log_text", "SHA-256 differs"},
        {"UPDATE log_file SET sha256 = replace(sha256, substr(sha256, 1, 1), 'x')", "SHA-256 differs"}};
    for (const auto &[sql, found] : changes) {
        SCOPED_TRACE(sql);
        db = Database::inMemory();
        ASSERT_TRUE(db);
        storeCtd(log1, "u1", 1);
        ASSERT_EQ(verdict("u1"), "");
        change(QString::fromLatin1(sql));
        EXPECT_THAT(verdict("u1"), HasSubstr(found));
    }
}

TEST_F(SensorLog, TwoBlocksSwappedAreFound)
{
    storeCtd(log1, "u1", 1);
    change(QStringLiteral("UPDATE log_block SET seq = seq + 100"));
    change(QStringLiteral(
        "UPDATE log_block SET seq = CASE seq WHEN 101 THEN 2 WHEN 102 THEN 1 ELSE seq - 100 END"));
    EXPECT_THAT(verdict("u1"), HasSubstr("not those that were stored"));
}
