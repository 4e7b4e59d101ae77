// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/feed_worker.h"
#include "live/replay_source.h"

#include "a_van.h"

#include <gtest/gtest.h>

namespace holdfast::test
{
namespace
{

FeedProfile profile(const char *name)
{
    auto read = loadFeedProfile(QString::fromLatin1(name), {*templateFolder() + QStringLiteral("/feeds")});
    if (!read)
        qFatal("%s", qUtf8Printable(read.error().sentence));
    return *read;
}

class ReplayTest : public testing::Test
{
protected:
    QString write(const char *name, const QByteArray &text)
    {
        const QString path = m_folder.filePath(QString::fromLatin1(name));
        QFile file(path);
        EXPECT_TRUE(file.open(QIODevice::WriteOnly));
        file.write(text);
        return path;
    }
    /// The lines that came, each with its receive time.
    std::vector<std::pair<QByteArray, qint64>> play(const QString &path, const char *profileName,
                                                    UtcTime start, double speed)
    {
        std::vector<std::pair<QByteArray, qint64>> lines;
        ReplaySource source(path, profile(profileName), ShipClock::replaying(start, speed));
        bool ended = false;
        QObject::connect(&source, &LineSource::ended, &source, [&] { ended = true; });
        QObject::connect(&source, &LineSource::lineReceived, &source,
                         [&](const QByteArray &line, qint64 us) { lines.emplace_back(line, us); });
        EXPECT_TRUE(source.start());
        EXPECT_TRUE(QTest::qWaitFor([&] { return ended; }));
        return lines;
    }
    QTemporaryDir m_folder;
};

const char ctd[] = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg\n"
                   "2026-03-12T10:00:00Z,32.1,3.40,1000.0,180\n"
                   "garbage\n"
                   "2026-03-12T10:00:05Z,32.1,3.41,1001.0,181\n"
                   "2026-03-12T10:00:10Z,32.1,3.42,1002.0,182\n";

TEST_F(ReplayTest, KeepsHeaderBadLinesAndTimes)
{
    const auto lines = play(write("ctd.csv", ctd), "ctd-csv", *parseIsoUtc("2026-03-12T10:00:00Z"), 100);
    ASSERT_EQ(lines.size(), 5U);
    EXPECT_TRUE(lines[0].first.startsWith("time_utc"));
    EXPECT_EQ(lines[2].first, QByteArray("garbage"));
    EXPECT_EQ(lines[3].second, microsecondsOf(*parseIsoUtc("2026-03-12T10:00:05Z")));
}

TEST_F(ReplayTest, BeginsInTheMiddleWithTheHeader)
{
    const auto lines = play(write("ctd.csv", ctd), "ctd-csv", *parseIsoUtc("2026-03-12T10:00:04Z"), 100);
    ASSERT_EQ(lines.size(), 3U);
    EXPECT_TRUE(lines[0].first.startsWith("time_utc"));
    EXPECT_TRUE(lines[1].first.startsWith("2026-03-12T10:00:05Z"));
}

TEST_F(ReplayTest, KnowsWhereALogBegins)
{
    const auto first = ReplaySource::firstTime(write("ctd.csv", ctd), profile("ctd-csv"));
    ASSERT_TRUE(first);
    EXPECT_EQ(*first, *parseIsoUtc("2026-03-12T10:00:00Z"));
    EXPECT_FALSE(ReplaySource::firstTime(write("empty.csv", "nothing\n"), profile("ctd-csv")));
    EXPECT_FALSE(ReplaySource::firstTime(m_folder.filePath(QStringLiteral("none.csv")), profile("ctd-csv")));
}

TEST_F(ReplayTest, FeedsGiveValuesCountsAndDepths)
{
    FeedWorker worker;
    const ShipClock clock = ShipClock::replaying(*parseIsoUtc("2026-03-12T10:00:00Z"), 100);
    ASSERT_TRUE(worker.restart(clock, 7).begun.empty());
    LiveStatePtr last;
    std::vector<LiveCourse::Value> depths;
    QObject::connect(&worker, &FeedWorker::stateChanged, &worker, [&](const LiveStatePtr &state) {
        last = state;
        depths.insert(depths.end(), state->news.depthM.begin(), state->news.depthM.end());
    });
    worker.add({1, QStringLiteral("CTD"), profile("ctd-csv"), {}, {}},
               new ReplaySource(write("ctd.csv", ctd), profile("ctd-csv"), clock));
    ASSERT_TRUE(QTest::qWaitFor([&] { return last && last->feeds.size() == 1 && last->feeds[0].ended; }));
    const FeedState &feed = last->feeds[0];
    EXPECT_EQ(last->run, 7);
    EXPECT_EQ(feed.records, 3);
    EXPECT_EQ(feed.lines, 5);
    EXPECT_EQ(feed.badLines, 1);
    ASSERT_TRUE(last->water && last->water->temperatureDegC);
    EXPECT_DOUBLE_EQ(*last->water->temperatureDegC, 3.42);
    // Common practice: in the upper ocean a decibar is about 0.99 m. The formula itself is checked in
    // tests/water.
    ASSERT_TRUE(last->water->depthM);
    EXPECT_NEAR(*last->water->depthM, 0.99 * 1002, 2);
    EXPECT_EQ(depths.size(), 3U);
}

TEST(ShipClock, RunsAsFastAsItIsTold)
{
    const auto from = ShipClock::Host::now();
    const ShipClock clock = ShipClock::replaying(utcFromMicroseconds(1'000'000), 10, from);
    EXPECT_EQ(clock.now(from + std::chrono::seconds(2)), utcFromMicroseconds(21'000'000));
    EXPECT_FALSE(ShipClock().isReplay());
}

} // namespace
} // namespace holdfast::test
