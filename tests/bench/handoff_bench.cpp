// SPDX-License-Identifier: GPL-3.0-or-later
// What the hand-off is measured on (handoff_bench.sh): an invented cruise of many dives, and an index of many
// samples.
//   handoff_bench make CRUISE.hfc DIVES CTD.csv    a cruise whose dives each have that CTD log, a position
//   log, samples handoff_bench index INDEX.hfi ITEMS            an index of that many samples; times of first
//   pages, milliseconds
#include "base/template_folder.h"
#include "custody/tally.h"
#include "dive/actions.h"
#include "dive/log_intake.h"
#include "handoff/cruise_index.h"

#include <QCoreApplication>
#include <QFile>
#include <QTemporaryDir>
#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <random>

using namespace holdfast;

namespace
{

int failed(const Error &error)
{
    std::fprintf(stderr, "%s\n", qPrintable(error.sentence));
    return 1;
}

/// The first time in the CTD log: positions and samples lie in its span.
Result<UtcTime> beginOf(const QString &log)
{
    QFile file(log);
    if (!file.open(QIODevice::ReadOnly))
        return fail(ErrorKind::Unreadable, log);
    for (int i = 0; i < 20; ++i) {
        const auto t = parseIsoUtc(file.readLine().split(',').front().trimmed().toStdString());
        if (t)
            return *t;
    }
    return fail(ErrorKind::Malformed, log);
}

/// 12 h of acoustic fixes every 4 s about a slow walk, 6 m of scatter on each axis.
QByteArray positions(UtcTime begin, unsigned seed)
{
    std::mt19937 random(seed);
    std::normal_distribution<double> scatter(0, 6 / 111'000.0);
    QByteArray out = "time_utc,latitude_deg,longitude_deg,depth_m\n";
    double lat = -19.43;
    double lon = 179.99;
    for (int i = 0; i < 10'800; ++i) {
        lat += 1e-6 * std::sin(i / 700.0);
        lon += 8e-7;
        out += toIso(begin + std::chrono::seconds(4 * i)).toLatin1() + ',' +
               QByteArray::number(lat + scatter(random), 'f', 7) + ',' +
               QByteArray::number(lon + scatter(random), 'f', 7) + ",1200.0\n";
    }
    return out;
}

Done makeDive(CruiseFile &file, int dive, const QString &ctd, UtcTime begin, const QString &folder,
              const KindTable &kinds)
{
    const Act act{QStringLiteral("Mara"), begin};
    const auto loadout = readTemplate(QStringLiteral("loadouts"), QStringLiteral("demo"));
    if (!loadout)
        return loadout.error();
    if (auto planned = planDive(file, act, dive, QStringLiteral("Invented"), *loadout); !planned)
        return planned;
    const QString log = QStringLiteral("%1/position-%2.csv").arg(folder).arg(dive);
    QFile out(log);
    if (!out.open(QIODevice::WriteOnly) || out.write(positions(begin, static_cast<unsigned>(dive))) < 0)
        return fail(ErrorKind::Unwritable, log);
    out.close();
    for (const auto &[path, name] : {std::pair(log, "position-csv"), std::pair(ctd, "ctd-csv")}) {
        const auto profile = feedProfile(QString::fromLatin1(name));
        if (!profile)
            return profile.error();
        if (auto taken = takeInLog(file, act, dive, path, *profile); !taken)
            return taken.error();
    }
    for (int i = 0; i < 30; ++i) {
        SampleDetails details;
        details.slot = QStringLiteral("R1");
        details.kind = QStringLiteral("basalt");
        details.description = QStringLiteral("piece %1").arg(i);
        if (auto sample =
                stampSample(file, act, dive, begin + std::chrono::minutes(60 + 20 * i), details, kinds);
            !sample)
            return sample.error();
    }
    return {};
}

int makeCruise(const QString &path, int dives, const QString &ctd)
{
    const auto begin = beginOf(ctd);
    if (!begin)
        return failed(begin.error());
    const auto kinds = KindTable::load();
    if (!kinds)
        return failed(kinds.error());
    auto file = CruiseFile::create(path, QStringLiteral("TK26"), QStringLiteral("van"),
                                   {QStringLiteral("Mara"), *begin}, allVerbRules());
    if (!file)
        return failed(file.error());
    const QTemporaryDir folder;
    for (int dive = 1; dive <= dives; ++dive) {
        if (auto made = makeDive(*file, dive, ctd, *begin, folder.path(), *kinds); !made)
            return failed(made.error());
    }
    return 0;
}

std::vector<IndexedItem> items(const QString &cruise, int count)
{
    static const char *kinds[] = {"octocoral", "basalt", "sponge", "push core", "brittle star", "nodule"};
    static const char *words[] = {"white",     "fan",     "broken", "encrusted",
                                  "manganese", "stalked", "pale",   "large"};
    std::mt19937 random(static_cast<unsigned>(qHash(cruise)));
    std::vector<IndexedItem> out;
    for (int i = 0; i < count; ++i) {
        IndexedItem item;
        item.id = QStringLiteral("%1-%2-%3")
                      .arg(cruise)
                      .arg(i / 60 + 1, 2, 10, QLatin1Char('0'))
                      .arg(i % 60 + 1, 3, 10, QLatin1Char('0'));
        item.cruise = cruise;
        item.dive = i / 60 + 1;
        item.kind = QString::fromLatin1(kinds[random() % 6]);
        item.family = random() % 2 ? QStringLiteral("rock") : QStringLiteral("biology");
        item.description = QString::fromLatin1(words[random() % 8]) + QLatin1Char(' ') +
                           QString::fromLatin1(words[random() % 8]);
        item.place = QStringLiteral("home/store %1/shelf %2").arg(random() % 5).arg(random() % 40);
        item.state = QStringLiteral("held");
        item.time = utcFromMicroseconds(1'500'000'000'000'000 +
                                        static_cast<std::int64_t>(random() % 250'000'000) * 1'000'000);
        item.latitudeDeg = static_cast<double>(random() % 120'000) / 1000 - 60;
        item.longitudeDeg = static_cast<double>(random() % 360'000) / 1000 - 180;
        item.depthM = static_cast<double>(random() % 60'000) / 10;
        out.push_back(std::move(item));
    }
    return out;
}

int measureIndex(const QString &path, int count)
{
    auto index = CruiseIndex::open(path, true);
    if (!index)
        return failed(index.error());
    constexpr int perCruise = 1'500;
    for (int c = 0; c * perCruise < count; ++c) {
        const QString cruise = QStringLiteral("C%1").arg(c, 3, 10, QLatin1Char('0'));
        if (auto put = index->put(cruise, 1, cruise + QStringLiteral("-v1"), items(cruise, perCruise)); !put)
            return failed(put.error());
    }
    IndexQuestion everything, common, rare, box, depth, both;
    common.words = QStringLiteral("octoc");
    rare.words = QStringLiteral("stalked manganese \"shelf 17\"");
    box.box = {170, -40, -170, -10};
    depth.shallowestM = 5'900;
    both.words = QStringLiteral("sponge");
    both.family = QStringLiteral("biology");
    both.from = utcFromMicroseconds(1'700'000'000'000'000);
    const auto total = index->count();
    std::printf(
        "%lld items\n| first page of 50 | median ms | worst ms | found |\n| --- | --- | --- | --- |\n",
        static_cast<long long>(total.value_or(0)));
    for (const auto &[name, question] :
         {std::pair("everything", everything), std::pair("the beginning of a word", common),
          std::pair("three words", rare), std::pair("a box about the antimeridian", box),
          std::pair("below a depth", depth), std::pair("word, family and time", both)}) {
        std::vector<double> ms;
        std::size_t found = 0;
        for (int i = 0; i < 21; ++i) {
            const auto start = std::chrono::steady_clock::now();
            const auto page = index->find(question);
            if (!page)
                return failed(page.error());
            found = page->items.size();
            ms.push_back(
                std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count());
        }
        const double worst = *std::max_element(ms.begin(), ms.end());
        std::nth_element(ms.begin(), ms.begin() + 10, ms.end());
        std::printf("| %s | %.1f | %.1f | %zu |\n", name, ms[10], worst, found);
    }
    return 0;
}

} // namespace

int main(int argc, char **argv)
{
    QCoreApplication app(argc, argv);
    const QStringList words = app.arguments();
    if (words.size() == 5 && words[1] == QLatin1String("make"))
        return makeCruise(words[2], words[3].toInt(), words[4]);
    if (words.size() == 4 && words[1] == QLatin1String("index"))
        return measureIndex(words[2], words[3].toInt());
    std::fprintf(stderr, "handoff_bench make CRUISE.hfc DIVES CTD.csv | index INDEX.hfi ITEMS\n");
    return 2;
}
