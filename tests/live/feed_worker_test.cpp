// SPDX-License-Identifier: GPL-3.0-or-later
// Feeds that misbehave: garbage, floods, silence, a clock that jumps. Nothing is lost and all of it is told.
#include "live/udp_source.h"
#include "live_support.h"

#include <QElapsedTimer>
#include <random>

namespace holdfast::test
{
namespace
{

/// A source that the test speaks through.
class Spoken : public LineSource
{
public:
    explicit Spoken(HostClock clock) : m_clock(std::move(clock)) {}
    [[nodiscard]] Done start() override { return {}; }
    [[nodiscard]] QString describe() const override { return QStringLiteral("a test"); }
    void say(const QByteArray &line) { emit lineReceived(line, microsecondsOf(m_clock.utc())); }

private:
    HostClock m_clock;
};

class Worker : public WithCruise
{
protected:
    /// Stores each batch at once, as a writer with nothing else to do.
    LineRecorder::Sink sink()
    {
        return [this](const LineBatchPtr &batch) { ASSERT_OK(batch->store(file())); };
    }
    /// As the window does when recording ends.
    void store(const EndedRecordings &ended)
    {
        if (ended.last) {
            ASSERT_OK(ended.last->store(file()));
        }
    }
    Recording recording(const char *feed, const char *profile)
    {
        return {QString::fromLatin1(feed) + QStringLiteral(" recording"),
                1,
                QStringLiteral("van"),
                QString::fromLatin1(feed),
                QStringLiteral("udp://127.0.0.1:1"),
                QString::fromLatin1(profile),
                profileNamed(profile).json,
                m_now};
    }
    void follow(FeedWorker &worker)
    {
        QObject::connect(&worker, &FeedWorker::stateChanged, &worker, [this](const LiveStatePtr &s) {
            m_state = s;
            ++m_states;
        });
    }
    QByteArray recorded(const char *feed)
    {
        QByteArray all;
        EXPECT_TRUE(
            recordedLines(file().db(), 1, QString::fromLatin1(feed), [&](const ReceivedLines &lines) -> Done {
                all += lines.text;
                m_times.insert(m_times.end(), lines.receivedUs.begin(), lines.receivedUs.end());
                return {};
            }));
        return all;
    }
    LiveStatePtr m_state;
    int m_states = 0;
    std::vector<std::int64_t> m_times;
};

const char gga[] = "$GPGGA,092750.000,5321.6802,N,00630.3372,W,1,8,1.03,61.7,M,55.2,M,,*76";

TEST_F(Worker, GarbageIsCountedToldAndRecordedAndGoodLinesAreStillRead)
{
    const quint16 port = freeUdpPort();
    FeedWorker worker;
    follow(worker);
    ASSERT_TRUE(worker.restart({}, 1, sink()).begun.empty());
    worker.add({1, QStringLiteral("nav"), profileNamed("nmea"), 10, recording("nav", "nmea")},
               new UdpSource(udpAddress(port)));
    QUdpSocket sender;
    std::mt19937 random(1);
    qint64 sent = 0;
    for (int i = 0; i < 40; ++i) {
        QByteArray noise(1000, ' ');
        for (char &c : noise)
            c = static_cast<char>(random());
        sent += sender.writeDatagram(noise, loopback, port) > 0 ? 1 : 0;
    }
    sender.writeDatagram(QByteArray(60'000, 'x'), loopback, port); // one line without end
    sender.writeDatagram(gga, loopback, port);
    ASSERT_EQ(sent, 40);
    ASSERT_TRUE(QTest::qWaitFor([&] { return m_state && m_state->fix; }, 4000));
    const FeedState &feed = m_state->feeds.front();
    EXPECT_GT(feed.badLines, 20);
    EXPECT_TRUE(feed.trouble.contains(QStringLiteral("recorded all the same"))) << feed.trouble.toStdString();
    store(worker.restart({}, 2));
    const QByteArray all = recorded("nav");
    EXPECT_EQ(all.count('x') >= 60'000, true);
    EXPECT_TRUE(all.endsWith(QByteArray(gga) + '\n'));
    EXPECT_GE(all.size(), 40 * 1000 + 60'000);
}

TEST_F(Worker, AThousandLinesASecondAreAllRecordedWhileTheStateKeepsComing)
{
    const quint16 port = freeUdpPort();
    FeedWorker worker;
    follow(worker);
    ASSERT_TRUE(worker.restart({}, 1, sink()).begun.empty());
    worker.add({1, QStringLiteral("nav"), profileNamed("nmea"), 10, recording("nav", "nmea")},
               new UdpSource(udpAddress(port)));
    QUdpSocket sender;
    constexpr int seconds = 3;
    int sent = 0;
    QElapsedTimer clock;
    clock.start();
    while (sent < 1000 * seconds) {
        for (; sent < clock.elapsed() && sent < 1000 * seconds; ++sent)
            sender.writeDatagram(gga + QByteArray("\r\n"), loopback, port);
        QTest::qWait(5);
    }
    ASSERT_TRUE(QTest::qWaitFor([&] { return m_state->feeds.front().durable == sent; }, 4000))
        << m_state->feeds.front().lines << " of " << sent;
    EXPECT_GE(m_states, seconds * 5);
    EXPECT_EQ(recorded("nav").count('\n'), sent);
}

TEST_F(Worker, TheHostsClockMayStepTenSecondsBackAndForth)
{
    Microseconds utcOff{0};
    HostClock clock;
    clock.utc = [&utcOff, real = HostClock()] { return real.utc() + utcOff; };
    FeedWorker worker(clock);
    follow(worker);
    ASSERT_TRUE(worker.restart({}, 1, sink()).begun.empty());
    auto *source = new Spoken(clock);
    worker.add({1, QStringLiteral("nav"), profileNamed("nmea"), 0.6, recording("nav", "nmea")}, source);
    const auto speak = [&](int ms) {
        QElapsedTimer timer;
        timer.start();
        while (timer.elapsed() < ms) {
            source->say(gga);
            QTest::qWait(20);
        }
    };
    speak(400);
    EXPECT_EQ(m_state->steps, 0);
    utcOff = std::chrono::seconds(10);
    speak(400);
    ASSERT_EQ(m_state->steps, 1);
    EXPECT_NEAR(m_state->step->seconds, 10, 0.2);
    EXPECT_TRUE(m_state->feeds.front().isAlive()) << "a step is no silence";
    EXPECT_LT(m_state->feeds.front().linesPerSecond, 100);
    utcOff = Microseconds{0};
    speak(400);
    EXPECT_EQ(m_state->steps, 2);
    EXPECT_NEAR(m_state->step->seconds, -10, 0.2);
    EXPECT_TRUE(m_state->feeds.front().isAlive());
    QTest::qWait(900);
    EXPECT_TRUE(m_state->feeds.front().isSilent()) << "and silence is told by the clock that never steps";
    store(worker.restart({}, 2));
    const qint64 lines = recorded("nav").count('\n');
    ASSERT_EQ(static_cast<qint64>(m_times.size()), lines);
    EXPECT_FALSE(std::is_sorted(m_times.begin(), m_times.end()))
        << "each line keeps the time the clock gave then";
}

TEST_F(Worker, TheOffsetsOfAFeedAndOfTheHostAgainstGpsTimeAreTold)
{
    HostClock clock;
    const UtcTime fixed = at("2026-03-12T14:22:10.300Z");
    clock.utc = [fixed] { return fixed; };
    FeedWorker worker(clock);
    follow(worker);
    ASSERT_TRUE(worker.restart({}, 1, sink()).begun.empty());
    auto *ctd = new Spoken(clock);
    auto *gps = new Spoken(clock);
    worker.add({1, QStringLiteral("CTD"), profileNamed("ctd-csv"), 10, recording("CTD", "ctd-csv")}, ctd);
    worker.add(
        {2, QStringLiteral("gps"), profileNamed("nmea-satellite"), 10, recording("gps", "nmea-satellite")},
        gps);
    ctd->say("time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg");
    ctd->say("2026-03-12T14:22:12.300Z,32.1,3.4,1000,180");
    gps->say("$GPZDA,142207.30,12,03,2026,00,00*61"); // of the check table, N14
    ASSERT_TRUE(QTest::qWaitFor([&] { return m_state && m_state->hostMinusGpsS; }, 4000));
    EXPECT_NEAR(*m_state->hostMinusGpsS, 3.0, 1e-6);
    EXPECT_EQ(m_state->gpsFrom, QStringLiteral("ZDA of gps"));
    ASSERT_TRUE(m_state->feeds.front().offsetS);
    EXPECT_NEAR(*m_state->feeds.front().offsetS, 2.0, 1e-6);
    EXPECT_TRUE(m_state->feeds[1].isAlive()) << "time sentences are usable lines";
}

TEST_F(Worker, AHeaderThatIsSaidAgainIsNoBadLineAndAReaderThatCameLateFindsIt)
{
    FeedWorker worker;
    follow(worker);
    auto *ctd = new Spoken(HostClock());
    worker.add({1, QStringLiteral("CTD"), profileNamed("ctd-csv"), 10, {}}, ctd);
    const char header[] = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg\r";
    ctd->say("2026-03-12T14:22:12.300Z,32.1,3.4,1000,180\r"); // we came in the middle
    ctd->say(header);
    ctd->say("2026-03-12T14:22:13.300Z,32.1,3.4,1000,180\r");
    ctd->say(header);
    ctd->say("2026-03-12T14:22:14.300Z,32.1,3.5,1000,180\r");
    ASSERT_TRUE(QTest::qWaitFor([&] { return m_state && m_state->water; }, 4000));
    EXPECT_EQ(m_state->feeds.front().badLines, 1);
    EXPECT_EQ(m_state->feeds.front().records, 2);
    EXPECT_TRUE(m_state->feeds.front().isAlive());
}

TEST_F(Worker, AHeaderMayBeLateButIsMissedInTheEnd)
{
    HostClock clock;
    std::chrono::seconds later{0};
    clock.steady = [&later, real = HostClock()] { return real.steady() + later; };
    FeedWorker worker(clock);
    follow(worker);
    auto *ctd = new Spoken(clock);
    worker.add({1, QStringLiteral("CTD"), profileNamed("ctd-csv"), 10, {}}, ctd);
    const auto speak = [&] {
        for (int i = 0; i < 20; ++i)
            ctd->say("2026-03-12T14:22:12.300Z,32.1,3.4,1000,180\r");
        m_state.reset();
        return QTest::qWaitFor([&] { return m_state != nullptr; }, 4000);
    };
    ASSERT_TRUE(speak());
    EXPECT_EQ(m_state->feeds.front().badLines, 20);
    EXPECT_EQ(m_state->feeds.front().trouble, QString()) << "it may still come";
    later = std::chrono::seconds(9);
    ASSERT_TRUE(speak());
    EXPECT_TRUE(m_state->feeds.front().trouble.contains(QStringLiteral("header")));
    ctd->say("time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg\r");
    ASSERT_TRUE(speak());
    EXPECT_EQ(m_state->feeds.front().trouble, QString());
    EXPECT_EQ(m_state->feeds.front().records, 20);
}

TEST_F(Worker, TheDepthPictureGoesOnByThePositionLogWhenTheCtdFallsSilent)
{
    FeedWorker worker;
    follow(worker);
    std::vector<LiveCourse::Value> depths;
    QObject::connect(&worker, &FeedWorker::stateChanged, &worker, [&depths](const LiveStatePtr &s) {
        depths.insert(depths.end(), s->news.depthM.begin(), s->news.depthM.end());
    });
    ASSERT_TRUE(worker.restart({}, 1).begun.empty());
    auto *ctd = new Spoken(HostClock());
    auto *nav = new Spoken(HostClock());
    worker.add({1, QStringLiteral("CTD"), profileNamed("ctd-csv"), 10, {}}, ctd);
    worker.add({2, QStringLiteral("position"), profileNamed("position-csv"), 10, {}}, nav);
    ctd->say("time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg");
    nav->say("time_utc,latitude_deg,longitude_deg,depth_m,heading_deg");
    ctd->say("2026-03-12T14:22:10.000Z,32.1,3.4,1000,180");
    nav->say("2026-03-12T14:22:14.000Z,-21.1,-173.2,555.00,0");
    nav->say("2026-03-12T14:22:30.000Z,-21.1,-173.2,555.00,0");
    ASSERT_TRUE(QTest::qWaitFor([&] { return depths.size() > 1; }, 4000));
    ASSERT_EQ(depths.size(), 2U);
    EXPECT_GT(depths[0].value, 900)
        << "from pressure; the position log's depth stands back while the CTD speaks";
    EXPECT_EQ(depths[1].value, 555.0F);
}

} // namespace
} // namespace holdfast::test
