// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "live/host_clock.h"

#include <QElapsedTimer>
#include <QEventLoop>
#include <QTimer>
#include <QUdpSocket>
#include <atomic>
#include <functional>
#include <memory>
#include <thread>
#include <vector>

namespace holdfast::bench
{

/// The feeds of a busy dive: 24 Hz CTD, 10 Hz navigation, 10 Hz velocities and four NMEA feeds of 1 to 5 Hz.
struct LoadFeed {
    const char *name;
    const char *profile;
    double hz;
    const char *header;
};
inline const LoadFeed loadFeeds[] = {
    {"CTD", "ctd-csv", 24, "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg"},
    {"position", "position-csv", 10, "time_utc,latitude_deg,longitude_deg,depth_m,heading_deg"},
    {"Doppler log", "dvl-csv", 10, "time_utc,forward_m_s,starboard_m_s,down_m_s,altitude_m,heading_deg"},
    {"ship gps", "nmea-satellite", 5, ""},
    {"second gps", "nmea-satellite", 2, ""},
    {"ship heading", "nmea", 5, ""},
    {"time", "nmea", 1, ""},
};

inline QByteArray lineOf(const LoadFeed &feed, int n)
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
inline void turnFor(int ms)
{
    QEventLoop loop;
    QTimer::singleShot(ms, Qt::PreciseTimer, &loop, &QEventLoop::quit);
    loop.exec();
}

inline bool turnUntil(const std::function<bool()> &done, int mostMs)
{
    QElapsedTimer timer;
    timer.start();
    while (!done() && timer.elapsed() < mostMs)
        turnFor(5);
    return done();
}

/// Ports that nobody listens at, one for each of loadFeeds; none when there are too few.
inline std::vector<quint16> freePorts()
{
    std::vector<quint16> ports;
    std::vector<std::unique_ptr<QUdpSocket>> held;
    for (std::size_t i = 0; i < std::size(loadFeeds); ++i) {
        held.push_back(std::make_unique<QUdpSocket>());
        if (!held.back()->bind(QHostAddress(QHostAddress::LocalHost), 0))
            return {};
        ports.push_back(held.back()->localPort());
    }
    return ports;
}

} // namespace holdfast::bench
