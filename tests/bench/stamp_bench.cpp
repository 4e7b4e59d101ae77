// SPDX-License-Identifier: GPL-3.0-or-later
// One stamp from the call to its durable commit, and one stamp with its sample, beside a bare SQLite insert
// with the same durability (WAL, synchronous=FULL) in the same run. Prints a table of quantiles in
// milliseconds.
#include "dive/actions.h"

#include "base/template_folder.h"
#include "dive/projection.h"

#include <QCoreApplication>
#include <QDir>
#include <QFile>
#include <QTemporaryDir>
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <functional>

using namespace holdfast;

namespace
{

using Clock = std::chrono::steady_clock;

constexpr int rounds = 2000;
constexpr int samplesPerDive = 40; // a busy dive

/// Runs `step` many times; false as soon as one of them fails.
bool measure(const char *name, const std::function<bool(int)> &step)
{
    std::vector<double> ms;
    for (int i = 0; i < rounds; ++i) {
        const auto start = Clock::now();
        if (!step(i))
            return false;
        ms.push_back(std::chrono::duration<double, std::milli>(Clock::now() - start).count());
    }
    std::sort(ms.begin(), ms.end());
    const auto at = [&ms](double q) {
        return ms[static_cast<std::size_t>(q * static_cast<double>(ms.size() - 1))];
    };
    std::printf("| %s | %.3f | %.3f | %.3f | %.3f |\n", name, at(0.5), at(0.99), at(0.999), ms.back());
    return true;
}

int failed(const Error &error)
{
    std::fprintf(stderr, "%s\n", qPrintable(error.sentence));
    return 1;
}

int run(const QString &folder)
{
    auto bare = Database::create(folder + QStringLiteral("/bare.hfc"));
    if (!bare)
        return failed(bare.error());
    if (auto made =
            execSql(bare->connection(), QStringLiteral("CREATE TABLE bare (t INTEGER, what TEXT) STRICT"));
        !made)
        return failed(made.error());
    const UtcTime begin = utcFromMicroseconds(1'773'325'327'000'000);
    auto file = CruiseFile::create(folder + QStringLiteral("/cruise.hfc"), QStringLiteral("TK26"),
                                   QStringLiteral("van"), {QStringLiteral("Mara"), begin}, diveVerbRules());
    if (!file)
        return failed(file.error());
    const auto loadout = readTemplate(QStringLiteral("loadouts"), QStringLiteral("demo"));
    if (!loadout)
        return failed(loadout.error());
    for (int dive = 1; dive <= 1 + rounds / samplesPerDive; ++dive) {
        const Act mara{QStringLiteral("Mara"), begin};
        if (auto planned = planDive(*file, mara, dive, QStringLiteral("V"), *loadout); !planned)
            return failed(planned.error());
    }
    const auto kinds = KindTable::load();
    if (!kinds)
        return failed(kinds.error());
    SampleDetails details;
    details.slot = QStringLiteral("R1");
    details.kind = QStringLiteral("rock");
    const auto act = [begin](int i) { return Act{QStringLiteral("Mara"), begin + std::chrono::seconds(i)}; };
    std::printf(
        "%d of each, milliseconds\n\n| what | p50 | p99 | p99.9 | max |\n| --- | --- | --- | --- | --- |\n",
        rounds);
    const bool all =
        measure("bare insert, same durability",
                [&](int i) {
                    return execSql(bare->connection(), QStringLiteral("INSERT INTO bare VALUES (?, 'stamp')"),
                                   {i})
                        .has_value();
                }) &&
        measure("stamp, from call to durable commit",
                [&](int i) { return takeStamp(*file, act(i), 1, act(i).now).has_value(); }) &&
        measure("stamp with its sample in one commit", [&](int i) {
            details.slot = i % 2 ? QStringLiteral("R1") : QStringLiteral("R2");
            const int dive = 1 + i / samplesPerDive;
            return stampSample(*file, act(rounds + i), dive, act(rounds + i).now, details, *kinds)
                .has_value();
        });
    return all ? 0 : 1;
}

} // namespace

int main(int argc, char **argv)
{
    const QCoreApplication app(argc, argv);
    // Durability costs what the disk asks: a folder may be given, since the temporary one may lie in memory.
    if (argc > 1)
        return QDir().mkpath(QString::fromLocal8Bit(argv[1])) ? run(QString::fromLocal8Bit(argv[1])) : 1;
    const QTemporaryDir folder;
    return run(folder.path());
}
