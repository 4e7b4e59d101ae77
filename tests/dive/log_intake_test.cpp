// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/log_intake.h"

#include "dive/readers.h"
#include "support/a_cruise.h"

using namespace holdfast;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

const QByteArray positions = "time_utc,latitude_deg,longitude_deg,depth_m,heading_deg\n"
                             "2026-03-12T09:00:00.000Z,-19.4300000,179.9990000,1000.0,12.0\n"
                             "2026-03-12T09:00:02.000Z,-19.4300100,179.9990100,1000.5,12.1\n"
                             "2026-03-12T09:00:04.000Z,-19.4300200,179.9990200,1001.0,12.2\n"
                             "2026-03-12T09:00:06.000Z,91.0,179.9990300,1001.5,12.3\n"
                             "2026-03-12T09:00:08.000Z,-19.4300400,179.999";

class LogIntake : public test::WithCruise
{
protected:
    Result<TakenLog> take(const QString &name, const QByteArray &bytes, const char *profileName)
    {
        const QString p = path(name);
        write(p, bytes);
        const auto profile = feedProfile(s(profileName));
        if (!profile)
            return profile.error();
        return takeInLog(file(), act(), 1, p, *profile);
    }
    void expectNothingTaken()
    {
        const auto intakes = readIntakes(file().db(), 1);
        ASSERT_OK(intakes);
        EXPECT_TRUE(intakes->empty());
        auto row = query(file().db().connection(), s("SELECT count(*) FROM log_file"));
        ASSERT_OK(row);
        ASSERT_TRUE(row->next());
        EXPECT_EQ(row->integer(0), 0);
    }
};

} // namespace

TEST_F(LogIntake, CountsGoodAndBadLinesAndKeepsTheLog)
{
    const auto log = take(s("p.csv"), positions, "position-csv");
    ASSERT_OK(log);
    EXPECT_EQ(log->report.accepted, 3);
    EXPECT_EQ(log->report.rejected, 2);
    const auto intakes = readIntakes(file().db(), 1);
    ASSERT_OK(intakes);
    ASSERT_EQ(intakes->size(), 1u);
    EXPECT_EQ(intakes->front().accepted, 3);
    EXPECT_EQ(intakes->front().by, s("Mara"));
    const SensorLogReader logs(file().db().connection());
    const auto stored = logs.fileOf(log->uuid);
    ASSERT_OK(stored);
    QByteArray bytes;
    ASSERT_OK(logs.text(*stored, [&bytes](std::string_view piece) -> Done {
        bytes.append(piece.data(), static_cast<qsizetype>(piece.size()));
        return {};
    }));
    EXPECT_EQ(bytes, positions) << "the log comes back byte for byte";
    expectTablesFitTheLedger();
}

TEST_F(LogIntake, TheSameFileIsNoticedAndRefused)
{
    ASSERT_OK(take(s("p.csv"), positions, "position-csv"));
    const qint64 before = entries();
    const auto again = take(s("renamed.csv"), positions, "position-csv");
    ASSERT_FALSE(again);
    EXPECT_EQ(again.error().kind, ErrorKind::Duplicate);
    EXPECT_TRUE(again.error().sentence.contains(s("p.csv"))) << again.error().sentence.toStdString();
    EXPECT_EQ(entries(), before);
}

TEST_F(LogIntake, WhatCannotBeReadLeavesNothingBehind)
{
    const qint64 before = entries();
    EXPECT_FALSE(take(s("empty.csv"), "", "position-csv"));
    EXPECT_FALSE(take(s("binary.csv"), QByteArray(4000, '\x90'), "position-csv"));
    EXPECT_FALSE(take(s("wrong.csv"), "a,b,c\n1,2,3\n", "position-csv"));
    EXPECT_FALSE(take(s("ctd.csv"), positions, "ctd-csv"));
    EXPECT_FALSE(take(s("nothing.csv"), "time_utc,latitude_deg,longitude_deg\nnever,1,2\n", "position-csv"));
    const auto profile = feedProfile(s("position-csv"));
    ASSERT_OK(profile);
    EXPECT_EQ(takeInLog(file(), act(), 1, path(s("none.csv")), *profile).error().kind, ErrorKind::NotFound);
    EXPECT_FALSE(takeInLog(file(), act(), 1, path(QString()), *profile));
    EXPECT_EQ(takeInLog(file(), act(), 7, path(s("none.csv")), *profile).error().kind, ErrorKind::NotFound);
    EXPECT_FALSE(feedProfile(s("no-such-profile")));
    EXPECT_EQ(entries(), before);
    expectNothingTaken();
}

TEST_F(LogIntake, AnIntakeThatIsStoppedLeavesNothingBehind)
{
    const QString p = path(s("p.csv"));
    write(p, positions);
    const auto profile = feedProfile(s("position-csv"));
    ASSERT_OK(profile);
    std::stop_source source;
    source.request_stop();
    IntakeOptions options;
    options.stop = source.get_token();
    const auto stopped = takeInLog(file(), act(), 1, p, *profile, options);
    ASSERT_FALSE(stopped);
    EXPECT_EQ(stopped.error().kind, ErrorKind::Cancelled);
    expectNothingTaken();
}

TEST_F(LogIntake, TheFirstAndLastTimeAreProvedByTheValues)
{
    const auto log = take(s("p.csv"), positions, "position-csv");
    ASSERT_OK(log);
    const QSqlDatabase db = file().db().connection();
    const SensorLogReader logs(db);
    const auto stored = logs.fileOf(log->uuid);
    ASSERT_OK(stored);
    ASSERT_OK(logs.verify(*stored));
    for (const char *change :
         {"UPDATE log_file SET last_us=first_us", "UPDATE log_file SET first_us=first_us+1"}) {
        auto transaction = Transaction::begin(db);
        ASSERT_OK(transaction);
        ASSERT_OK(execSql(db, s(change)));
        const auto changed = logs.fileOf(log->uuid);
        ASSERT_OK(changed);
        EXPECT_FALSE(logs.verify(*changed)) << change;
    }
}
