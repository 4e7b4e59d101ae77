// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli_support.h"
#include "custody/audit.h"
#include "dive/line_recording.h"

using namespace holdfast;
using test::s;

namespace
{

class FeedVerbs : public test::CommandLine
{
protected:
    /// Records scans of a feed into dive 1, as an open window does.
    void record(const QString &cruise)
    {
        auto file = cli::openForWriting(cruise);
        ASSERT_OK(file);
        const auto profile = feedProfile(s("ctd-csv"));
        ASSERT_OK(profile);
        ReceivedLines lines;
        lines.add(microsecondsOf(now), "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar");
        lines.add(microsecondsOf(now) + 1'250'000, "2026-03-12T09:00:00Z,32.1,3.4,1000");
        const auto packed = packLines(lines, ',');
        ASSERT_OK(packed);
        const Recording r{s("r1"),       1,  s("van"), s("CTD"), s("udp://127.0.0.1:47002"), s("ctd-csv"),
                          profile->json, now};
        ASSERT_OK(storeLines(*file, {{r, *packed}}));
    }
    AuditReport auditOf(const QString &cruise)
    {
        const auto file = cli::openForReading(cruise);
        EXPECT_TRUE(file);
        const auto report = auditCruise(*file);
        EXPECT_TRUE(report);
        return report.value_or(AuditReport{});
    }
    void spoil(const QString &cruise, const char *sql)
    {
        auto db = Database::open(cruise, Database::Access::ReadWrite);
        ASSERT_OK(db);
        ASSERT_OK(execSql(db->connection(), s(sql)));
    }
};

TEST_F(FeedVerbs, SetListAndRemoveFeeds)
{
    const QString file = made();
    EXPECT_EQ(run({s("feeds"), file}), 0);
    EXPECT_TRUE(out.contains(s("no live feeds"))) << out.toStdString();
    EXPECT_EQ(run({s("feeds"), file, s("--use"), s("loopback"), s("--by"), s("Mara")}), 0)
        << err.toStdString();
    EXPECT_EQ(out.count(QLatin1Char('\n')), 3);
    EXPECT_EQ(run({s("feeds"), file, s("--set"), s("CTD"), s("--silent-after"), s("2.5"), s("--json")}), 0);
    EXPECT_TRUE(out.contains(s("\"silent_after_s\":2.5"))) << out.toStdString();
    EXPECT_EQ(run({s("feeds"), file, s("--remove"), s("CTD")}), 0);
    EXPECT_FALSE(out.contains(s("CTD")));
    expectFails({s("feeds"), file, s("--remove"), s("CTD")}, 1, "position");
    expectFails({s("feeds"), file, s("--set"), s("new")}, 2, "--from");
    expectFails({s("feeds"), file, s("--from"), s("udp://0.0.0.0:1")}, 2, "--set");
    expectFails({s("feeds"), file, s("--set"), s("x"), s("--from"), s("com1"), s("--profile"), s("nmea")}, 2,
                "serial:");
    expectFails({s("feeds"), file, s("--use"), s("nothing")}, 1, "loopback");
}

TEST_F(FeedVerbs, WriteRecordedLinesOutAndTakeThemIn)
{
    const QString file = made();
    record(file);
    EXPECT_EQ(run({s("lines"), file, s("--dive"), s("1")}), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s("still open"))) << out.toStdString();
    const QString raw = path(s("raw.log"));
    EXPECT_EQ(run({s("lines"), file, s("--dive"), s("1"), s("--feed"), s("CTD"), s("--out"), raw}), 0);
    EXPECT_EQ(bytesOf(raw), QByteArray("time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar\n"
                                       "2026-03-12T09:00:00Z,32.1,3.4,1000\n"));
    EXPECT_EQ(
        run({s("lines"), file, s("--dive"), s("1"), s("--feed"), s("CTD"), s("--out"), raw, s("--times")}),
        0);
    EXPECT_TRUE(bytesOf(raw).contains(".250000Z\t2026-03-12T09:00:00Z,32.1")) << bytesOf(raw).toStdString();
    EXPECT_EQ(run({s("lines"), file, s("--dive"), s("1"), s("--feed"), s("CTD"), s("--take-in")}), 0)
        << err.toStdString();
    EXPECT_TRUE(out.contains(s("1 accepted"))) << out.toStdString();
    expectFails({s("lines"), file, s("--dive"), s("1"), s("--feed"), s("sonar"), s("--out"), raw}, 1, "CTD");
    expectFails({s("lines"), file, s("--dive"), s("1"), s("--out"), raw}, 2, "--feed");
}

TEST_F(FeedVerbs, TheAuditFindsChangedAndLostLines)
{
    const QString file = made();
    record(file);
    EXPECT_TRUE(auditOf(file).holds());
    EXPECT_EQ(auditOf(file).openRecordings, 1);
    {
        auto open = cli::openForWriting(file);
        ASSERT_OK(open);
        ASSERT_OK(closeRecording(*open, {s("Mara"), now}, s("r1"), s("closed")));
    }
    EXPECT_TRUE(auditOf(file).holds());
    EXPECT_EQ(auditOf(file).openRecordings, 0);
    QFile::copy(file, path(s("a.hfc")));
    spoil(path(s("a.hfc")), "UPDATE log_received SET data = zeroblob(20)");
    EXPECT_FALSE(auditOf(path(s("a.hfc"))).holds());
    QFile::copy(file, path(s("b.hfc")));
    spoil(path(s("b.hfc")), "DELETE FROM log_received");
    EXPECT_FALSE(auditOf(path(s("b.hfc"))).holds());
    QFile::copy(file, path(s("c.hfc")));
    spoil(path(s("c.hfc")), "UPDATE log_recording SET feed = 'other'");
    EXPECT_FALSE(auditOf(path(s("c.hfc"))).holds());
}

} // namespace
