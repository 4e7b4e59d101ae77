// SPDX-License-Identifier: GPL-3.0-or-later
// Works on dive 1 as a window does until it is killed: stamps, a live feed that it says itself, and the
// recorded lines taken in again and again. Prints "stamp" for each that the screen calls saved, and "lines N"
// for those of the feed that it calls durable.
//   soak_worker FILE PORT SEED
#include "workplace.h"

#include <QGuiApplication>
#include <QUdpSocket>
#include <cstdio>
#include <random>

using namespace holdfast;

int main(int argc, char **argv)
{
    const QGuiApplication app(argc, argv);
    if (argc != 4)
        return 2;
    const auto port = static_cast<quint16>(QByteArray(argv[2]).toUInt());
    std::mt19937 random(QByteArray(argv[3]).toUInt());
    Workplace work;
    QObject::connect(&work.dive, &DiveDesk::stampSaved, &work.dive, [](qint64) {
        std::puts("stamp");
        std::fflush(stdout);
    });
    work.desk.setPerson(QStringLiteral("Mara"));
    work.desk.openFile(QString::fromLocal8Bit(argv[1]));
    QUdpSocket socket;
    int said = 0;
    QTimer speaking;
    speaking.callOnTimeout([&] {
        QByteArray line = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg\n";
        if (said++ % 50 != 0)
            line = toIso(HostClock().utc()).toLatin1() + ",32.1" + QByteArray::number(said % 10) +
                   ",3.4,1000.0,180.1\n";
        socket.writeDatagram(line, QHostAddress(QHostAddress::LocalHost), port);
    });
    speaking.start(20);
    qint64 durable = 0;
    QObject::connect(&work.feeds, &FeedDesk::ticked, &work.feeds, [&] {
        const auto &feeds = work.feeds.state().feeds;
        if (feeds.empty() || feeds.front().durable == durable)
            return;
        durable = feeds.front().durable;
        std::printf("lines %lld\n", static_cast<long long>(durable));
        std::fflush(stdout);
    });
    QTimer stamping;
    stamping.callOnTimeout([&] {
        if (work.desk.dive() == 1)
            work.dive.stamp();
        stamping.setInterval(20 + static_cast<int>(random() % 80));
    });
    stamping.start(20);
    QTimer taking;
    taking.callOnTimeout([&] {
        if (work.feeds.takingIn().isEmpty())
            work.feeds.takeInLines();
    });
    taking.start(50);
    return QCoreApplication::exec();
}
