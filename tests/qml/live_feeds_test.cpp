// SPDX-License-Identifier: GPL-3.0-or-later
// The window's live feeds on a real cruise file: opened by the file, recorded, and never in the way of a
// stamp, whatever the disk and other programs do. Loopback only.
#include "a_van.h"
#include "custody/audit.h"
#include "dive/dive_values.h"
#include "dive/line_recording.h"

#include <QElapsedTimer>
#include <QProcess>
#include <QUdpSocket>
#include <algorithm>
#include <gtest/gtest.h>
#include <tuple>

namespace holdfast::test
{
namespace
{

class LiveFeeds : public testing::Test
{
protected:
    void SetUp() override
    {
        m_van = std::make_unique<Van>();
        m_ctd = m_van->setUdpFeed("CTD", "ctd-csv", 1500);
        m_nav = m_van->setUdpFeed("nav", "position-csv", 1500);
    }
    void open()
    {
        m_van->open();
        ASSERT_TRUE(QTest::qWaitFor([this] { return feeds().state().feeds.size() == 2; }, 4000));
    }
    FeedDesk &feeds() { return m_van->work.feeds; }
    void stopFeeds()
    {
        feeds().stopAll();
        EXPECT_FALSE(notices().filter(QStringLiteral("Press S again")).isEmpty());
        EXPECT_FALSE(feeds().state().feeds.empty()) << "once is a slip";
        feeds().stopAll();
    }
    DiveDesk &dive() { return m_van->work.dive; }

    /// A scan and a position of now.
    void speak()
    {
        const QByteArray now = toIso(HostClock().utc()).toLatin1();
        if (!m_begun) {
            send(m_ctd, "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg\n");
            send(m_nav, "time_utc,latitude_deg,longitude_deg,depth_m,heading_deg\n");
        }
        m_begun = true;
        ++m_said;
        send(m_ctd, now + ",32.10" + QByteArray::number(m_said % 7) + ",3.40" +
                        QByteArray::number(m_said % 5) + ",1000." + QByteArray::number(m_said % 3) + ",180." +
                        QByteArray::number(m_said % 4) + "\n");
        send(m_nav, now + ",-19.4300000,179.9990000,990.0,12.0\n");
    }
    void speakFor(int ms)
    {
        QElapsedTimer timer;
        timer.start();
        while (timer.elapsed() < ms) {
            speak();
            QTest::qWait(40);
        }
    }
    void send(quint16 port, const QByteArray &bytes)
    {
        m_socket.writeDatagram(bytes, QHostAddress(QHostAddress::LocalHost), port);
    }
    QStringList notices()
    {
        QStringList all;
        for (int row = 0; row < m_van->work.notices.rowCount(); ++row)
            all << m_van->work.notices
                       .data(m_van->work.notices.index(row), static_cast<int>(Notices::Role::Sentence))
                       .toString();
        return all;
    }
    bool waitForNotice(const char *words, int ms = 4000)
    {
        return QTest::qWaitFor([&] { return !notices().filter(QString::fromUtf8(words)).isEmpty(); }, ms);
    }
    bool waitUntilAllStampsAreSaved(int n, int ms)
    {
        return QTest::qWaitFor(
            [&] {
                const auto &rows = dive().stamps()->rows();
                return static_cast<int>(rows.size()) == n &&
                       std::none_of(rows.begin(), rows.end(),
                                    [](const auto &row) { return row.uuid.isEmpty(); });
            },
            ms);
    }
    void expectARecordThatHolds()
    {
        const auto file = CruiseFile::open(m_van->path(), Database::Access::ReadOnly, allVerbRules());
        ASSERT_TRUE(file);
        const auto report = auditCruise(*file);
        ASSERT_TRUE(report);
        EXPECT_TRUE(report->holds()) << report->text().toStdString();
    }

    std::unique_ptr<Van> m_van;
    QUdpSocket m_socket;
    quint16 m_ctd = 0, m_nav = 0;
    bool m_begun = false;
    int m_said = 0;
};

/// The longest time for which the event loop of the window did not turn.
class Pulse
{
public:
    Pulse()
    {
        m_since.start();
        m_timer.setInterval(10);
        QObject::connect(&m_timer, &QTimer::timeout,
                         [this] { m_longest = std::max(m_longest, m_since.restart()); });
        m_timer.start();
    }
    [[nodiscard]] qint64 longestMs() const { return m_longest; }

private:
    QTimer m_timer;
    QElapsedTimer m_since;
    qint64 m_longest = 0;
};

TEST_F(LiveFeeds, PicturesShowTheDiveAsItIsHeardAndAgainAfterTheWindowWasOpenedAnew)
{
    open();
    PictureDesk &pictures = m_van->work.pictures;
    QElapsedTimer clock;
    clock.start();
    while (clock.elapsed() < 5000 && pictures.track().track.size() < 2) {
        speak();
        QTest::qWait(100);
    }
    for (const auto which :
         {CourseBook::Depth, CourseBook::Temperature, CourseBook::Salinity, CourseBook::Oxygen}) {
        EXPECT_FALSE(pictures.course(which).points.empty()) << which;
        EXPECT_TRUE(pictures.course(which).provisionalFrom) << which;
    }
    ASSERT_GE(pictures.track().track.size(), 2U);
    EXPECT_TRUE(pictures.track().track.back().provisional);
    const UtcTime lastHeard = pictures.to();
    ASSERT_TRUE(QTest::qWaitFor(
        [&] {
            return std::all_of(feeds().state().feeds.begin(), feeds().state().feeds.end(),
                               [](const FeedState &f) { return f.lines > 0 && f.durable == f.lines; });
        },
        4000));

    Workplace again; // nothing is said any more: all of it must come from the recorded lines
    again.desk.openFile(m_van->path());
    ASSERT_TRUE(QTest::qWaitFor([&] { return again.pictures.track().track.size() >= 2; }, 4000));
    EXPECT_LE(std::abs(secondsBetween(again.pictures.to(), lastHeard)), 2.0) << "a value in two seconds";
    EXPECT_FALSE(again.pictures.course(CourseBook::Salinity).points.empty());
    EXPECT_TRUE(again.pictures.course(CourseBook::Depth).provisionalFrom);
}

TEST_F(LiveFeeds, LinesThatAreRecordedDoNotRenewTheScreensAndAnEntryDoes)
{
    open();
    speakFor(1500);
    QTest::qWait(1200);
    int renewed = 0;
    QObject::connect(&m_van->work.desk, &Desk::refreshed, &m_van->work.desk, [&renewed] { ++renewed; });
    const qint64 before = feeds().state().feeds.front().durable;
    speakFor(3500);
    EXPECT_GT(feeds().state().feeds.front().durable, before);
    EXPECT_EQ(renewed, 0);
    auto file = CruiseFile::open(m_van->path(), Database::Access::ReadWrite, allVerbRules());
    ASSERT_TRUE(file);
    const Act ana{QStringLiteral("Ana"), HostClock().utc()};
    ASSERT_TRUE(takeStamp(*file, ana, 1, ana.now));
    EXPECT_TRUE(QTest::qWaitFor([&] { return renewed > 0; }, 4000)) << "another program's stamp is followed";
}

TEST_F(LiveFeeds, OpenWithTheFileAndTheirLinesBecomeFixesAndWaterValues)
{
    open();
    speakFor(1500);
    EXPECT_EQ(feeds().feedsLine(), QStringLiteral("2 feeds alive"));
    EXPECT_TRUE(feeds().temperature().there);
    EXPECT_TRUE(feeds().position().there);
    dive().stamp();
    ASSERT_TRUE(waitUntilAllStampsAreSaved(1, 4000));
    const UtcTime stamped = utcFromMicroseconds(dive().stamps()->rows().front().timeUs);
    speakFor(1500);
    feeds().takeInLines();
    ASSERT_TRUE(waitForNotice("Taken in from the recorded lines")) << notices().join(u'\n').toStdString();
    {
        const auto db = Database::open(m_van->path(), Database::Access::ReadOnly);
        ASSERT_TRUE(db);
        const auto track = diveTrack(*db, 1, FixMethod::Linear);
        ASSERT_TRUE(track);
        const NavFix fix = track->at(stamped);
        ASSERT_TRUE(fix.latitudeDeg);
        EXPECT_NEAR(*fix.latitudeDeg, -19.43, 1e-6);
        const auto water = diveWater(*db, 1, std::span(&stamped, 1));
        ASSERT_TRUE(water);
        ASSERT_TRUE(water->front().temperatureDegC.has());
        EXPECT_NEAR(water->front().temperatureDegC.value, 3.402, 0.003);
    }
    stopFeeds();
    ASSERT_TRUE(QTest::qWaitFor(
        [this] { return m_van->verbs().count(QStringLiteral("recording closed")) == 2; }, 4000));
    expectARecordThatHolds();
}

TEST_F(LiveFeeds, ASilentFeedIsLoudAndDoesNotHoldUpAStamp)
{
    open();
    speakFor(500);
    ASSERT_TRUE(waitForNotice("CTD silent for", 5000)) << notices().join(u'\n').toStdString();
    EXPECT_EQ(feeds().feedsLine(), QStringLiteral("0 of 2 feeds alive"));
    dive().stamp();
    EXPECT_TRUE(waitUntilAllStampsAreSaved(1, 1000));
    speakFor(500);
    EXPECT_TRUE(
        QTest::qWaitFor([this] { return notices().filter(QStringLiteral("silent")).isEmpty(); }, 2000));
}

TEST_F(LiveFeeds, TheLastLinesWaitForAnotherProgramToo)
{
    open();
    speakFor(1500);
    QProcess holder;
    holder.start(qEnvironmentVariable("HOLDFAST_BINARY_DIR") + QStringLiteral("/tests/qml/lock_holder"),
                 {m_van->path(), QStringLiteral("2500")});
    ASSERT_TRUE(holder.waitForStarted());
    ASSERT_TRUE(holder.waitForReadyRead(5000)) << holder.readAllStandardError().toStdString();
    speakFor(500);
    ASSERT_TRUE(QTest::qWaitFor([this] { return feeds().state().feeds.front().lines == m_said + 1; },
                                4000)); // and a header
    ASSERT_LT(feeds().state().feeds.front().durable, m_said + 1) << "the lock must be in the way";
    stopFeeds();
    EXPECT_TRUE(holder.waitForFinished());
    ASSERT_TRUE(QTest::qWaitFor(
        [this] { return m_van->verbs().count(QStringLiteral("recording closed")) == 2; }, 8000))
        << m_van->verbs().join(u'\n').toStdString();
    const auto file = CruiseFile::open(m_van->path(), Database::Access::ReadOnly, allVerbRules());
    ASSERT_TRUE(file);
    const auto recordings = readRecordings(file->db(), 1);
    ASSERT_TRUE(recordings);
    for (const RecordedFeed &feed : *recordings)
        EXPECT_EQ(feed.sums.lines, m_said + 1) << feed.recording.feed.toStdString();
}

TEST_F(LiveFeeds, AnotherProgramHoldsTheFileLockedAndNoStampIsLost)
{
    open();
    speakFor(300);
    QProcess holder;
    holder.start(qEnvironmentVariable("HOLDFAST_BINARY_DIR") + QStringLiteral("/tests/qml/lock_holder"),
                 {m_van->path(), QStringLiteral("6500")});
    ASSERT_TRUE(holder.waitForStarted());
    ASSERT_TRUE(holder.waitForReadyRead(5000)) << holder.readAllStandardError().toStdString();
    Pulse pulse;
    dive().stamp();
    speakFor(300);
    dive().stamp();
    dive().stamp();
    EXPECT_EQ(dive().stamps()->count(), 3);
    EXPECT_FALSE(waitUntilAllStampsAreSaved(3, 500)) << "nothing is told as saved while it is not";
    speakFor(5000);
    EXPECT_TRUE(waitForNotice("Another program holds the cruise file locked"))
        << notices().join(u'\n').toStdString();
    EXPECT_TRUE(waitForNotice("leave the window open"));
    ASSERT_TRUE(waitUntilAllStampsAreSaved(3, 8000)) << notices().join(u'\n').toStdString();
    EXPECT_LT(pulse.longestMs(), 1000) << "the window answered all the time";
    EXPECT_EQ(m_van->verbs().count(QStringLiteral("stamp taken")), 3);
    EXPECT_TRUE(
        QTest::qWaitFor([this] { return notices().filter(QStringLiteral("locked")).isEmpty(); }, 4000))
        << notices().join(u'\n').toStdString();
    // The lines that came meanwhile are there too.
    EXPECT_TRUE(QTest::qWaitFor(
        [this] {
            const FeedState &ctd = feeds().state().feeds.front();
            return ctd.durable == ctd.lines;
        },
        4000));
    EXPECT_TRUE(holder.state() == QProcess::NotRunning || holder.waitForFinished());
}

TEST_F(LiveFeeds, AFullDiskIsToldAndWhatWasPressedIsSavedWhenThereIsRoomAgain)
{
    open();
    speakFor(300);
    const auto limitPages = [this](bool full) {
        bool done = false;
        m_van->work.desk.write(
            QStringLiteral("limit"),
            [full](CruiseFile &file) -> Done {
                // SQLite's own limit answers as a full disk does.
                auto pages = query(file.db().connection(), QStringLiteral("PRAGMA page_count"));
                if (!pages || !pages->next())
                    return fail(ErrorKind::Internal, QStringLiteral("no page count"));
                const qint64 most = full ? pages->integer(0) : 1'000'000;
                pages->reset();
                auto set =
                    query(file.db().connection(), QStringLiteral("PRAGMA max_page_count=%1").arg(most));
                return set ? Done() : Done(set.error());
            },
            [&done](const Done &result) { done = result.has_value(); });
        ASSERT_TRUE(QTest::qWaitFor([&done] { return done; }, 4000));
    };
    limitPages(true);
    Pulse pulse;
    int pressed = 0;
    while (pressed < 400 && notices().filter(QStringLiteral("The disk is full")).isEmpty()) {
        dive().stamp();
        ++pressed;
        QTest::qWait(10);
    }
    ASSERT_TRUE(waitForNotice("The disk is full")) << pressed;
    dive().stamp();
    ++pressed;
    EXPECT_FALSE(waitUntilAllStampsAreSaved(pressed, 500));
    EXPECT_LE(m_van->verbs().count(QStringLiteral("stamp taken")), pressed - 1);
    speakFor(1500);
    limitPages(false);
    ASSERT_TRUE(waitUntilAllStampsAreSaved(pressed, 8000));
    EXPECT_EQ(m_van->verbs().count(QStringLiteral("stamp taken")), pressed);
    EXPECT_LT(pulse.longestMs(), 1000);
    EXPECT_TRUE(
        QTest::qWaitFor([this] { return notices().filter(QStringLiteral("disk is full")).isEmpty(); }, 4000))
        << notices().join(u'\n').toStdString();
    stopFeeds();
    ASSERT_TRUE(QTest::qWaitFor(
        [this] { return m_van->verbs().count(QStringLiteral("recording closed")) == 2; }, 4000));
    expectARecordThatHolds();
}

TEST_F(LiveFeeds, ASecondWindowOnTheFileLeavesThemToTheFirst)
{
    open();
    Workplace second;
    second.desk.setPerson(QStringLiteral("Dov"));
    second.desk.openFile(m_van->path());
    const auto told = [&second] {
        for (int row = 0; row < second.notices.rowCount(); ++row) {
            const auto cell = second.notices.index(row);
            if (second.notices.data(cell, static_cast<int>(Notices::Role::Sentence))
                    .toString()
                    .contains(QStringLiteral("Another window")))
                return true;
        }
        return false;
    };
    EXPECT_TRUE(QTest::qWaitFor(told, 4000));
    EXPECT_TRUE(second.feeds.state().feeds.empty());
}

TEST_F(LiveFeeds, AreRecordedIntoTheDiveInTheWaterAndNoReplayEndsThat)
{
    m_van->planOneMore(2);
    m_van->reach(1, Phase::Launched);
    m_van->writeLogs();
    open();
    EXPECT_TRUE(feeds().recordLine().contains(QStringLiteral("dive 1")))
        << feeds().recordLine().toStdString();
    feeds().replayDive(100);
    EXPECT_FALSE(feeds().replaying());
    EXPECT_TRUE(waitForNotice("a replay would end that"));
    EXPECT_EQ(feeds().state().feeds.size(), 2U);
}

TEST_F(LiveFeeds, AreSetAndRemovedFromTheWindow)
{
    open();
    EXPECT_TRUE(feeds().setFeedLine(QStringLiteral("sonar")).contains(QStringLiteral("udp://")));
    EXPECT_TRUE(feeds().setFeedLine(QStringLiteral("sonar com1 nmea")).contains(QStringLiteral("serial:")));
    EXPECT_TRUE(feeds()
                    .setFeedLine(QStringLiteral("sonar udp://127.0.0.1:1 none"))
                    .contains(QStringLiteral("position-csv")));
    EXPECT_EQ(
        feeds().setFeedLine(QStringLiteral("\"ship gps\" udp://127.0.0.1:%1 nmea").arg(Van::freeUdpPort())),
        QString());
    ASSERT_TRUE(QTest::qWaitFor([this] { return feeds().state().feeds.size() == 3; }, 4000));
    EXPECT_TRUE(
        QTest::qWaitFor([this] { return feeds().feeds()->nameAt(2) == QStringLiteral("ship gps"); }, 2000));
    feeds().removeFeed(QStringLiteral("ship gps"));
    ASSERT_TRUE(QTest::qWaitFor([this] { return feeds().state().feeds.size() == 2; }, 4000));
    stopFeeds();
    EXPECT_TRUE(QTest::qWaitFor([this] { return feeds().state().feeds.empty(); }, 4000));
    feeds().openLive();
    EXPECT_TRUE(QTest::qWaitFor([this] { return feeds().state().feeds.size() == 2; }, 4000));
}

} // namespace
} // namespace holdfast::test
