// SPDX-License-Identifier: GPL-3.0-or-later
// From the key press to the window saying that the stamp is saved, with the window's own view models, feeds'
// thread and writer's thread: first with no feed, then with seven over UDP (24 Hz CTD, 10 Hz navigation, 10
// Hz velocities and four NMEA feeds of 1 to 5 Hz), all recorded. Both in the same run.
//   live_bench FOLDER
#include "dive/actions.h"
#include "dive/feed_setup.h"
#include "workplace.h"

#include "base/template_folder.h"

#include <QDir>
#include <QElapsedTimer>
#include <QEventLoop>
#include <QGuiApplication>
#include <QSettings>
#include <QTimer>
#include <QUdpSocket>
#include <algorithm>
#include <atomic>
#include <cstdio>
#include <functional>
#include <random>
#include <thread>

using namespace holdfast;

namespace
{

constexpr int dives = 15;
constexpr int stampsPerDive = 40; // a busy one

struct LoadFeed {
    const char *name;
    const char *profile;
    double hz;
    const char *header;
};
const LoadFeed loadFeeds[] = {
    {"CTD", "ctd-csv", 24, "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg"},
    {"position", "position-csv", 10, "time_utc,latitude_deg,longitude_deg,depth_m,heading_deg"},
    {"Doppler log", "dvl-csv", 10, "time_utc,forward_m_s,starboard_m_s,down_m_s,altitude_m,heading_deg"},
    {"ship gps", "nmea-satellite", 5, ""},
    {"second gps", "nmea-satellite", 2, ""},
    {"ship heading", "nmea", 5, ""},
    {"time", "nmea", 1, ""},
};

QByteArray lineOf(const LoadFeed &feed, int n)
{
    const QByteArray now = toIso(HostClock().utc()).toLatin1();
    const QByteArray wiggle = QByteArray::number(n % 1000).rightJustified(3, '0');
    if (feed.profile == QByteArray("ctd-csv"))
        return now + ",32.1" + wiggle + ",3.4" + wiggle + ",1000." + wiggle + ",180.1\r\n";
    if (feed.profile == QByteArray("position-csv"))
        return now + ",-19.4300" + wiggle + ",179.9990" + wiggle + ",990.1,12.0\r\n";
    if (feed.profile == QByteArray("dvl-csv"))
        return now + ",0.1" + wiggle + ",0.0" + wiggle + ",0.00,12.3,12.0\r\n";
    const QByteArray time = now.mid(11, 2) + now.mid(14, 2) + now.mid(17, 6);
    QByteArray body =
        feed.hz == 1
            ? "GPZDA," + time + "," + now.mid(8, 2) + "," + now.mid(5, 2) + "," + now.left(4) + ",00,00"
            : "GPGGA," + time + ",1925.8" + wiggle + ",S,17959.9" + wiggle + ",E,1,8,1.03,61.7,M,55.2,M,,";
    unsigned sum = 0;
    for (const char c : body)
        sum ^= static_cast<unsigned char>(c);
    return '$' + body + '*' + QByteArray::number(sum, 16).rightJustified(2, '0').toUpper() + "\r\n";
}

/// Speaks as seven instruments do, on a thread of its own.
class Load
{
public:
    explicit Load(std::vector<quint16> ports) : m_ports(std::move(ports)), m_thread([this] { run(); }) {}
    ~Load()
    {
        m_stop = true;
        m_thread.join();
    }
    [[nodiscard]] qint64 sent() const { return m_sent; }

private:
    void run()
    {
        QUdpSocket socket;
        QElapsedTimer clock;
        clock.start();
        std::vector<int> said(m_ports.size(), 0);
        while (!m_stop) {
            const double seconds = static_cast<double>(clock.nsecsElapsed()) * 1e-9;
            for (std::size_t i = 0; i < m_ports.size(); ++i) {
                const LoadFeed &feed = loadFeeds[i];
                if (seconds * feed.hz < said[i])
                    continue;
                // The header again now and then, for the window that opens next.
                if (*feed.header && said[i] % static_cast<int>(feed.hz) == 0)
                    socket.writeDatagram(QByteArray(feed.header) + "\r\n",
                                         QHostAddress(QHostAddress::LocalHost), m_ports[i]);
                socket.writeDatagram(lineOf(feed, said[i]++), QHostAddress(QHostAddress::LocalHost),
                                     m_ports[i]);
                ++m_sent;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(2));
        }
    }
    std::vector<quint16> m_ports;
    std::atomic<bool> m_stop = false;
    std::atomic<qint64> m_sent = 0;
    std::thread m_thread;
};

/// Lets the event loop turn as in the program: QTest's own waiting sleeps ten milliseconds at a time.
void turnFor(int ms)
{
    QEventLoop loop;
    QTimer::singleShot(ms, Qt::PreciseTimer, &loop, &QEventLoop::quit);
    loop.exec();
}

bool turnUntil(const std::function<bool()> &done, int mostMs)
{
    QElapsedTimer timer;
    timer.start();
    while (!done() && timer.elapsed() < mostMs)
        turnFor(5);
    return done();
}

bool makeFile(const QString &path, const std::vector<quint16> &ports)
{
    const Act mara{QStringLiteral("Mara"), HostClock().utc()};
    auto made = CruiseFile::create(path, QStringLiteral("TK26"), QStringLiteral("van"), mara, allVerbRules());
    const auto loadout = readTemplate(QStringLiteral("loadouts"), QStringLiteral("demo"));
    if (!made || !loadout || !planDive(*made, mara, 1, QStringLiteral("Deep vehicle"), *loadout))
        return false;
    for (std::size_t i = 0; i < ports.size(); ++i) {
        const FeedSetup feed{QString::fromLatin1(loadFeeds[i].name),
                             parseFeedAddress(QStringLiteral("udp://127.0.0.1:%1").arg(ports[i])).value(),
                             QString::fromLatin1(loadFeeds[i].profile), 10000};
        if (!setFeed(*made, mara, feed))
            return false;
    }
    return true;
}

/// One dive's stamps; adds their times in milliseconds. False when something did not work.
bool stampADive(const QString &path, std::size_t feeds, std::mt19937 &random, std::vector<double> &ms,
                qint64 &durable)
{
    Workplace work;
    work.desk.setPerson(QStringLiteral("Mara"));
    QObject::connect(&work.dive, &DiveDesk::stampSaved, &work.dive,
                     [&ms](qint64 us) { ms.push_back(static_cast<double>(us) / 1000); });
    work.desk.openFile(path);
    const auto alive = [&] {
        const auto &all = work.feeds.state().feeds;
        return work.desk.dive() == 1 && all.size() == feeds &&
               std::all_of(all.begin(), all.end(), [](const FeedState &f) { return f.isAlive(); });
    };
    if (!turnUntil(alive, 10000)) {
        std::fprintf(stderr, "the feeds did not come alive: %s\n", qPrintable(work.feeds.feedsLine()));
        return false;
    }
    const std::size_t wanted = ms.size() + stampsPerDive;
    for (int i = 0; i < stampsPerDive; ++i) {
        turnFor(60 + static_cast<int>(random() % 80));
        work.dive.stamp();
    }
    if (!turnUntil([&] { return ms.size() == wanted; }, 10000))
        return false;
    for (const FeedState &feed : work.feeds.state().feeds)
        durable += feed.durable;
    return true;
}

bool measure(const QString &folder, const char *name, const std::vector<quint16> &ports)
{
    std::mt19937 random(1);
    std::vector<double> ms;
    qint64 durable = 0;
    std::optional<Load> load;
    if (!ports.empty())
        load.emplace(ports);
    for (int i = 0; i < dives; ++i) {
        const QString path = folder + QStringLiteral("/%1-%2.hfc").arg(ports.size()).arg(i);
        if (!makeFile(path, ports) || !stampADive(path, ports.size(), random, ms, durable))
            return false;
    }
    std::sort(ms.begin(), ms.end());
    const auto at = [&ms](double q) {
        return ms[static_cast<std::size_t>(q * static_cast<double>(ms.size() - 1))];
    };
    std::printf("| %s | %zu | %.2f | %.2f | %.2f | %lld |\n", name, ms.size(), at(0.5), at(0.99), ms.back(),
                static_cast<long long>(durable));
    std::fflush(stdout);
    return true;
}

} // namespace

int main(int argc, char **argv)
{
    qputenv("QT_QPA_PLATFORM", "offscreen");
    const QGuiApplication app(argc, argv);
    if (argc != 2 || !QDir().mkpath(QString::fromLocal8Bit(argv[1]))) {
        std::fputs("live_bench FOLDER: a folder on the disk that is to be measured\n", stderr);
        return 2;
    }
    const QString folder = QString::fromLocal8Bit(argv[1]);
    QCoreApplication::setOrganizationName(QStringLiteral("holdfast-bench"));
    QSettings::setPath(QSettings::NativeFormat, QSettings::UserScope, folder);
    std::vector<quint16> ports;
    std::vector<std::unique_ptr<QUdpSocket>> held;
    for (std::size_t i = 0; i < std::size(loadFeeds); ++i) {
        held.push_back(std::make_unique<QUdpSocket>());
        if (!held.back()->bind(QHostAddress(QHostAddress::LocalHost), 0))
            return 1;
        ports.push_back(held.back()->localPort());
    }
    held.clear();
    std::puts("| feeds | stamps | p50 ms | p99 ms | max ms | lines recorded |\n| --- | --- | --- | --- | --- "
              "| --- |");
    const bool good = measure(folder, "none", {}) && measure(folder, "seven, 57 lines a second", ports);
    return good ? 0 : 1;
}
