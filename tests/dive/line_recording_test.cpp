// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/line_recording.h"

#include "dive/dive_values.h"
#include "dive/feed_setup.h"
#include "dive/readers.h"
#include "support/a_cruise.h"

using namespace holdfast;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class Lines : public test::WithCruise
{
protected:
    Recording recording(const char *feed, const char *profileName, const char *uuid)
    {
        const auto profile = feedProfile(s(profileName));
        EXPECT_TRUE(profile);
        return {s(uuid),       1,    s("van"), s(feed), s("udp://127.0.0.1:47001"), s(profileName),
                profile->json, m_now};
    }
    RecordedBlock block(const Recording &recording, const QList<QByteArray> &texts)
    {
        ReceivedLines lines;
        for (const QByteArray &text : texts)
            lines.add(microsecondsOf(m_now += std::chrono::seconds(1)), text);
        const auto packed = packLines(lines, ',');
        EXPECT_TRUE(packed);
        return {recording, packed.value_or(PackedLines{})};
    }
    QByteArray textOf(const char *feed)
    {
        QByteArray all;
        EXPECT_TRUE(recordedLines(file().db(), 1, s(feed), [&](const ReceivedLines &lines) -> Done {
            all += lines.text;
            return {};
        }));
        return all;
    }
    static QByteArray scan(int second, double temperature)
    {
        return "2026-03-12T09:00:" + QByteArray::number(second).rightJustified(2, '0') + "Z,32.1," +
               QByteArray::number(temperature) + ",1000.0,180";
    }
};

const QByteArray ctdHeader = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg";

} // namespace

TEST_F(Lines, AreStoredBlockByBlockAndClosedIntoTheLedger)
{
    const Recording r = recording("CTD", "ctd-csv", "r1");
    ASSERT_OK(storeLines(file(), {block(r, {ctdHeader, scan(1, 3.4)})}));
    ASSERT_OK(storeLines(file(), {block(r, {scan(2, 3.5), "\x01garbage\xff"})}));
    EXPECT_EQ(textOf("CTD"), ctdHeader + "\n" + scan(1, 3.4) + "\n" + scan(2, 3.5) + "\n\x01garbage\xff\n");
    auto all = readRecordings(file().db(), 1);
    ASSERT_OK(all);
    ASSERT_EQ(all->size(), 1u);
    EXPECT_FALSE(all->front().closed);
    EXPECT_EQ(all->front().sums.lines, 4);
    EXPECT_EQ(all->front().sums.blocks, 2);
    const qint64 before = entries();
    ASSERT_OK(closeRecording(file(), act(), s("r1"), s("closed")));
    ASSERT_OK(closeRecording(file(), act(), s("r1"), s("closed")));
    ASSERT_OK(closeRecording(file(), act(), s("never begun"), s("closed")));
    EXPECT_EQ(entries(), before + 1);
    EXPECT_FALSE(storeLines(file(), {block(r, {scan(3, 3.6)})})) << "nothing is added after the proof";
    expectTablesFitTheLedger();
}

TEST_F(Lines, LeftOpenByACrashAreClosedOnce)
{
    ASSERT_OK(storeLines(file(), {block(recording("CTD", "ctd-csv", "r1"), {scan(1, 3.4)})}));
    ASSERT_OK(storeLines(file(), {block(recording("position", "nmea", "r2"), {"$GPHDT,12.0,T*37"})}));
    EXPECT_EQ(closeLeftOpen(file(), act()).value_or(-1), 2);
    EXPECT_EQ(closeLeftOpen(file(), act()).value_or(-1), 0);
    expectTablesFitTheLedger();
}

TEST_F(Lines, BecomeALogThatFixesAndWaterValuesComeFrom)
{
    QList<QByteArray> scans{ctdHeader};
    for (int i = 0; i < 40; ++i)
        scans << scan(i, 3.4);
    ASSERT_OK(storeLines(file(), {block(recording("CTD", "ctd-csv", "r1"), scans)}));
    const auto log = takeInLines(file(), act(), 1, s("CTD"));
    ASSERT_OK(log);
    EXPECT_EQ(log->report.accepted, 40);
    EXPECT_EQ(log->report.rejected, 0);
    const UtcTime times[] = {test::at("2026-03-12T09:00:20Z")};
    const auto water = diveWater(file().db(), 1, times);
    ASSERT_OK(water);
    ASSERT_EQ(water->size(), 1u);
    expectTablesFitTheLedger();
}

TEST_F(Lines, OfAFeedThatWasOpenedInTheMiddleAreReadByTheHeaderThatCameLater)
{
    ASSERT_OK(storeLines(
        file(), {block(recording("CTD", "ctd-csv", "r1"),
                       {scan(1, 3.4), scan(2, 3.4), ctdHeader, scan(3, 3.4), ctdHeader, scan(4, 3.4)})}));
    const auto log = takeInLines(file(), act(), 1, s("CTD"));
    ASSERT_OK(log);
    EXPECT_EQ(log->report.accepted, 4);
    EXPECT_EQ(log->report.rejected, 0);
}

TEST_F(Lines, WithAWrongProfileLoseNothingAndAreReadAgain)
{
    // The feed was set up as positions; what it sends are scans.
    ASSERT_OK(storeLines(
        file(), {block(recording("CTD", "position-csv", "r1"), {ctdHeader, scan(1, 3.4), scan(2, 3.4)})}));
    EXPECT_FALSE(takeInLines(file(), act(), 1, s("CTD")));
    const auto log = takeInLines(file(), act(), 1, s("CTD"), s("ctd-csv"));
    ASSERT_OK(log);
    EXPECT_EQ(log->report.accepted, 2);
    // Later lines: the longer log takes the place of the shorter.
    ASSERT_OK(storeLines(file(), {block(recording("CTD", "ctd-csv", "r2"), {scan(3, 3.4)})}));
    ASSERT_OK(takeInLines(file(), act(), 1, s("CTD")));
    const auto intakes = readIntakes(file().db(), 1);
    ASSERT_OK(intakes);
    ASSERT_EQ(intakes->size(), 2u);
    EXPECT_EQ(
        std::count_if(intakes->begin(), intakes->end(), [](const IntakeInfo &i) { return !i.replaced; }), 1);
    const auto none = takeInLines(file(), act(), 1, s("sonar"));
    ASSERT_FALSE(none);
    EXPECT_TRUE(none.error().sentence.contains(s("CTD"))) << none.error().sentence.toStdString();
    expectTablesFitTheLedger();
}

TEST_F(Lines, OfOneFeedReadByTwoProfilesAreTwoLogs)
{
    const QByteArray header = "time_utc,latitude_deg,longitude_deg";
    ASSERT_OK(storeLines(
        file(), {block(recording("ship", "position-csv", "r1"), {header, "2026-03-12T09:00:00Z,-19.43,179.99",
                                                                 "2026-03-12T09:00:01Z,-19.43,179.99"})}));
    ASSERT_OK(takeInLines(file(), act(), 1, s("ship")));
    ASSERT_OK(takeInLines(file(), act(), 1, s("ship"), s("position-satellite-csv")));
    const auto again = takeInLines(file(), act(), 1, s("ship"), s("position-satellite-csv"));
    ASSERT_FALSE(again);
    EXPECT_EQ(again.error().kind, ErrorKind::Duplicate);
    // NMEA has no remarks: there the origin is a proprietary sentence, which readers pass over.
    ASSERT_OK(storeLines(file(),
                         {block(recording("gps", "nmea", "r3"),
                                {"$GPZDA,142207.30,12,03,2026,00,00*61",
                                 "$GPGGA,142208.00,5321.6802,N,00630.3372,W,1,8,1.03,61.7,M,55.2,M,,*75"})}));
    const auto nmea = takeInLines(file(), act(), 1, s("gps"));
    ASSERT_FALSE(nmea && nmea->report.rejected > 1);
    expectTablesFitTheLedger();
}

namespace
{

/// A day's worth of scans in small: enough for several turns.
QList<QByteArray> manyScans()
{
    QList<QByteArray> scans{ctdHeader};
    for (int i = 0; i < 20000; ++i) {
        const QByteArray time =
            toIso(test::at("2026-03-12T09:00:00Z") + std::chrono::milliseconds(40 * i)).toLatin1();
        scans << time + "," + QByteArray::number(32.1 + (i * 7919 % 1000) * 1e-4, 'f', 4) + "," +
                     QByteArray::number(3.4 + (i * 104729 % 997) * 1e-4, 'f', 4) + ",1000.0,180." +
                     QByteArray::number(i % 10);
    }
    return scans;
}

qint64 countOf(const Database &db, const char *table)
{
    auto row = query(db.connection(), s("SELECT count(*) FROM ") + QLatin1String(table));
    return row && row->next() ? row->integer(0) : -1;
}

} // namespace

TEST_F(Lines, TakenInPieceByPieceAreTheSameLogAndOthersWriteBetween)
{
    ASSERT_OK(storeLines(file(), {block(recording("CTD", "ctd-csv", "r1"), manyScans())}));
    const auto reading = Database::open(m_path, Database::Access::ReadWrite);
    ASSERT_OK(reading);
    int turns = 0, whileHalf = 0;
    const auto turn = [&](const std::function<Done(CruiseFile &)> &work) -> Done {
        auto done = work(file());
        if (!done || ++turns % 3 != 0)
            return done;
        const auto stamp = takeStamp(file(), act(), 1, m_now);
        if (countOf(file().db(), "log_in_making") > 0) {
            ++whileHalf;
            EXPECT_EQ(readIntakes(file().db(), 1)->size(), 0U) << "it counts for nothing before its end";
            EXPECT_EQ(SensorLogReader(file().db().connection()).files(1)->size(), 0U);
        }
        return stamp ? Done() : Done(stamp.error());
    };
    double last = 0;
    IntakeOptions options;
    options.progress = [&last](std::int64_t done, std::int64_t total) {
        const double share = static_cast<double>(done) / static_cast<double>(total);
        EXPECT_GE(share, last);
        EXPECT_LE(share, 1);
        last = share;
    };
    const auto log = takeInLinesInTurns(*reading, turn, act(), 1, s("CTD"), options);
    ASSERT_OK(log);
    EXPECT_GT(turns, 6);
    EXPECT_GT(whileHalf, 0);
    EXPECT_EQ(last, 1);
    EXPECT_EQ(log->report.accepted, 20000);
    const SensorLogReader logs(file().db().connection());
    const auto files = logs.files(1);
    ASSERT_OK(files);
    ASSERT_EQ(files->size(), 1U);
    EXPECT_TRUE(files->front().inUse);
    EXPECT_TRUE(logs.verify(files->front()));
    EXPECT_EQ(logs.ctd(1)->size(), 20000U);
    EXPECT_EQ(countOf(file().db(), "log_in_making"), 0);
    auto pages = query(file().db().connection(), s("PRAGMA wal_autocheckpoint"));
    ASSERT_OK(pages);
    ASSERT_TRUE(pages->next());
    EXPECT_EQ(pages->integer(0), 1000) << "the writer looks after its log again";
    // The same lines in one piece, in another file: the same digest.
    const auto copy = path(s("whole.hfc"));
    auto whole = CruiseFile::create(copy, s("TK26"), s("van"), act(), rules());
    ASSERT_OK(whole);
    ASSERT_OK(planDive(*whole, act(), 1, s("Deep vehicle"), *readTemplate(s("loadouts"), s("demo"))));
    ASSERT_OK(storeLines(*whole, {block(recording("CTD", "ctd-csv", "r1"), manyScans())}));
    ASSERT_OK(takeInLines(*whole, act(), 1, s("CTD")));
    EXPECT_EQ(SensorLogReader(whole->db().connection()).files(1)->front().digest, files->front().digest);
    EXPECT_EQ(takeInLinesInTurns(*reading, turn, act(), 1, s("CTD")).error().kind, ErrorKind::Duplicate);
    expectTablesFitTheLedger();
}

TEST_F(Lines, WhatACrashLeftHalfCountsForNothingAndIsTakenInAgain)
{
    ASSERT_OK(storeLines(file(), {block(recording("CTD", "ctd-csv", "r1"), manyScans())}));
    const auto reading = Database::open(m_path, Database::Access::ReadOnly);
    ASSERT_OK(reading);
    for (int most = 1; most < 9; ++most) { // the program is gone after so many turns
        int turns = 0;
        const auto turn = [&](const std::function<Done(CruiseFile &)> &work) -> Done {
            return turns++ < most ? work(file()) : Done(fail(ErrorKind::Internal, s("gone")));
        };
        EXPECT_FALSE(takeInLinesInTurns(*reading, turn, act(), 1, s("CTD")));
        EXPECT_EQ(SensorLogReader(file().db().connection()).files(1)->size(), 0U);
    }
    EXPECT_EQ(countOf(file().db(), "log_in_making"), 1);
    EXPECT_GT(countOf(file().db(), "log_block"), 0);
    const auto turn = [&](const std::function<Done(CruiseFile &)> &work) { return work(file()); };
    ASSERT_OK(takeInLinesInTurns(*reading, turn, act(), 1, s("CTD")));
    EXPECT_EQ(countOf(file().db(), "log_in_making"), 0);
    EXPECT_EQ(countOf(file().db(), "log_file"), 1) << "nothing of the earlier tries is left";
    expectTablesFitTheLedger();
}

TEST_F(Lines, WhatACrashLeftHalfIsNotInTheWayOfTakingThemInAtOnce)
{
    ASSERT_OK(storeLines(file(), {block(recording("CTD", "ctd-csv", "r1"), manyScans())}));
    int turns = 0;
    const auto turn = [&](const std::function<Done(CruiseFile &)> &work) -> Done {
        return turns++ < 4 ? work(file()) : Done(fail(ErrorKind::Internal, s("gone")));
    };
    EXPECT_FALSE(takeInLinesInTurns(file().db(), turn, act(), 1, s("CTD")));
    ASSERT_EQ(countOf(file().db(), "log_in_making"), 1);
    ASSERT_OK(takeInLines(file(), act(), 1, s("CTD")));
    EXPECT_EQ(countOf(file().db(), "log_in_making"), 0);
    EXPECT_EQ(countOf(file().db(), "log_file"), 1);
    expectTablesFitTheLedger();
}

TEST_F(Lines, StoppedInTheMiddleLeavesNothing)
{
    ASSERT_OK(storeLines(file(), {block(recording("CTD", "ctd-csv", "r1"), manyScans())}));
    std::stop_source stop;
    IntakeOptions options;
    options.stop = stop.get_token();
    options.progress = [&stop](std::int64_t done, std::int64_t total) {
        if (2 * done > total) // not while it is still being read
            stop.request_stop();
    };
    const auto turn = [&](const std::function<Done(CruiseFile &)> &work) { return work(file()); };
    const auto log = takeInLinesInTurns(file().db(), turn, act(), 1, s("CTD"), options);
    ASSERT_FALSE(log);
    EXPECT_EQ(log.error().kind, ErrorKind::Cancelled);
    for (const char *table :
         {"log_in_making", "log_file", "log_block", "log_text", "log_remark", "log_aside"})
        EXPECT_EQ(countOf(file().db(), table), 0) << table;
}

TEST_F(Lines, FeedsAreSetChangedAndRemoved)
{
    const auto feed = [](const char *name, const char *address, const char *profile) {
        return FeedSetup{s(name), parseFeedAddress(s(address)).value(), s(profile), 10000};
    };
    ASSERT_OK(setFeed(file(), act(), feed("CTD", "udp://0.0.0.0:47002", "ctd-csv")));
    ASSERT_OK(setFeed(file(), act(), feed("position", "udp://0.0.0.0:47001", "nmea")));
    ASSERT_OK(setFeed(file(), act(), feed("CTD", "tcp://127.0.0.1:4001", "ctd-csv")));
    EXPECT_FALSE(setFeed(file(), act(), feed("two", "udp://0.0.0.0:47001", "nmea")));
    EXPECT_FALSE(setFeed(file(), act(), feed("two", "udp://0.0.0.0:47005", "no-such-profile")));
    EXPECT_FALSE(setFeed(file(), act(), feed(" ", "udp://0.0.0.0:47005", "nmea")));
    auto feeds = readFeeds(file().db(), s("van"));
    ASSERT_OK(feeds);
    ASSERT_EQ(feeds->size(), 2u);
    EXPECT_EQ(feeds->front().address.text(), s("tcp://127.0.0.1:4001"));
    EXPECT_TRUE(readFeeds(file().db(), s("deck"))->empty());
    ASSERT_OK(removeFeed(file(), act(), s("CTD")));
    EXPECT_FALSE(removeFeed(file(), act(), s("CTD")));
    ASSERT_OK(removeFeed(file(), act(), s("position")));
    ASSERT_OK(useFeedSet(file(), act(), s("loopback")));
    EXPECT_EQ(readFeeds(file().db(), s("van"))->size(), 3u);
    ASSERT_OK(rebuildTables(file()));
    EXPECT_EQ(readFeeds(file().db(), s("van"))->size(), 3u);
    expectTablesFitTheLedger();
}
