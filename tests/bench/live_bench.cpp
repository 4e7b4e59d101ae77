// SPDX-License-Identifier: GPL-3.0-or-later
// From the key press to the window saying that the stamp is saved, with the window's own view models, feeds'
// thread and writer's thread: first with no feed, then with seven over UDP (24 Hz CTD, 10 Hz navigation, 10
// Hz velocities and four NMEA feeds of 1 to 5 Hz), all recorded. Both in the same run.
//   live_bench FOLDER
#include "dive/actions.h"
#include "dive/feed_setup.h"
#include "workplace.h"

#include "base/template_folder.h"
#include "feed_load.h"

#include <QDir>
#include <QGuiApplication>
#include <QSettings>
#include <algorithm>
#include <cstdio>
#include <random>

using namespace holdfast;
using namespace holdfast::bench;

namespace
{

constexpr int dives = 15;
constexpr int stampsPerDive = 40; // a busy one

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
    const std::vector<quint16> ports = freePorts();
    if (ports.empty())
        return 1;
    std::puts("| feeds | stamps | p50 ms | p99 ms | max ms | lines recorded |\n| --- | --- | --- | --- | --- "
              "| --- |");
    const bool good = measure(folder, "none", {}) && measure(folder, "seven, 57 lines a second", ports);
    return good ? 0 : 1;
}
