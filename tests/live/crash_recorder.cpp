// SPDX-License-Identifier: GPL-3.0-or-later
// Records the lines of a UDP port into dive 1 until it is killed, and prints how many are durable.
//   crash_recorder FILE PORT
#include "dive/projection.h"
#include "live/feed_worker.h"
#include "live/udp_source.h"

#include <QCoreApplication>
#include <cstdio>

using namespace holdfast;

int main(int argc, char **argv)
{
    const QCoreApplication app(argc, argv);
    auto file =
        CruiseFile::open(QString::fromLocal8Bit(argv[1]), Database::Access::ReadWrite, diveVerbRules());
    const auto profile = feedProfile(QStringLiteral("nmea"));
    const auto address = parseFeedAddress(QStringLiteral("udp://127.0.0.1:") + QString::fromLatin1(argv[2]));
    if (!file || !profile || !address)
        return 1;
    FeedWorker worker;
    qint64 said = -1;
    QObject::connect(&worker, &FeedWorker::stateChanged, &worker, [&said](const LiveStatePtr &state) {
        if (state->feeds.front().durable == said)
            return;
        said = state->feeds.front().durable;
        std::printf("%lld\n", static_cast<long long>(said));
        std::fflush(stdout);
    });
    (void)worker.restart({}, 1, [&file](const LineBatchPtr &batch) { (void)batch->store(*file); });
    worker.add(
        {1, QStringLiteral("nav"), *profile, 10,
         Recording{QStringLiteral("recording of ") + QString::number(QCoreApplication::applicationPid()), 1,
                   QStringLiteral("van"), QStringLiteral("nav"), address->text(), profile->name,
                   profile->json, HostClock().utc()}},
        new UdpSource(*address));
    return QCoreApplication::exec();
}
