// SPDX-License-Identifier: GPL-3.0-or-later
// One stamp from the call to its durable commit, and one stamp with its sample, beside a bare SQLite insert
// with the same durability (WAL, synchronous=FULL) in the same run; and stamps from the key press to the
// commit on a writer's thread that has other work: none, and a million recorded lines that are taken in
// meanwhile. Prints a table of quantiles in milliseconds.
#include "dive/actions.h"

#include "base/template_folder.h"
#include "dive/line_recording.h"
#include "dive/projection.h"
#include "recorded_lines.h"

#include <QCoreApplication>
#include <QDir>
#include <QFile>
#include <QTemporaryDir>
#include <algorithm>
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <cstdio>
#include <deque>
#include <functional>
#include <mutex>
#include <random>
#include <semaphore>
#include <thread>

#include <sched.h>

using namespace holdfast;
using namespace holdfast::bench;

namespace
{

using Clock = std::chrono::steady_clock;

constexpr int rounds = 2000;
constexpr int samplesPerDive = 40; // a busy dive

void print(const char *name, std::vector<double> ms)
{
    std::sort(ms.begin(), ms.end());
    const auto at = [&ms](double q) {
        return ms[static_cast<std::size_t>(q * static_cast<double>(ms.size() - 1))];
    };
    std::printf("| %s | %.3f | %.3f | %.3f | %.3f |\n", name, at(0.5), at(0.99), at(0.999), ms.back());
    std::fflush(stdout);
}

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
    print(name, std::move(ms));
    return true;
}

/// Does work in the order in which it is handed in, on the thread that calls run(): as the window's writer.
class Queue
{
public:
    using Work = std::function<Done(CruiseFile &)>;
    void hand(Work work, std::function<void(const Done &)> reply)
    {
        {
            const std::lock_guard guard(m_mutex);
            m_work.emplace_back(std::move(work), std::move(reply));
        }
        m_some.notify_one();
    }
    Done wait(const Work &work)
    {
        std::binary_semaphore over(0);
        Done result;
        hand(work, [&](const Done &done) {
            result = done;
            over.release();
        });
        over.acquire();
        return result;
    }
    void run(CruiseFile &file, const std::function<bool()> &goOn)
    {
        while (goOn()) {
            std::unique_lock lock(m_mutex);
            if (!m_some.wait_for(lock, std::chrono::milliseconds(5), [this] { return !m_work.empty(); }))
                continue;
            auto [work, reply] = std::move(m_work.front());
            m_work.pop_front();
            lock.unlock();
            reply(work(file));
        }
    }

private:
    std::mutex m_mutex;
    std::condition_variable m_some;
    std::deque<std::pair<Work, std::function<void(const Done &)>>> m_work;
};

/// Stamps at odd moments, from the press to the commit on the writer's thread, while `other` runs beside it.
/// At least `least` of them.
bool measurePresses(const char *name, CruiseFile &file, Queue &queue, UtcTime begin, int least,
                    const std::function<bool()> &other)
{
    std::atomic<bool> otherRuns = true, pressing = true, good = true;
    std::vector<double> ms;
    std::thread beside([&] {
        good = other() && good;
        otherRuns = false;
    });
    std::thread presser([&] {
        std::mt19937 random(7);
        for (int i = 0; otherRuns || i < least; ++i) {
            std::this_thread::sleep_for(std::chrono::microseconds(5000 + random() % 30000));
            const auto pressed = Clock::now();
            const UtcTime time = begin + std::chrono::seconds(i);
            const Done done = queue.wait([time](CruiseFile &f) -> Done {
                const auto stamp = takeStamp(f, {QStringLiteral("Mara"), time}, 1, time);
                return stamp ? Done() : Done(stamp.error());
            });
            good = done.has_value() && good;
            ms.push_back(std::chrono::duration<double, std::milli>(Clock::now() - pressed).count());
        }
        pressing = false;
    });
    queue.run(file, [&] { return otherRuns || pressing; });
    beside.join();
    presser.join();
    if (good)
        print(name, std::move(ms));
    return good;
}

bool measureWhileTakingIn(const QString &folder, CruiseFile &file, UtcTime begin)
{
    if (!recordScans(file, begin))
        return false;
    Queue queue;
    double seconds = 0;
    const Act mara{QStringLiteral("Mara"), begin};
    const auto takeIn = [&] {
        sched_param none{};
        ::sched_setscheduler(0, SCHED_IDLE, &none); // as the window's thread that takes in
        const auto db = Database::open(folder + QStringLiteral("/cruise.hfc"), Database::Access::ReadWrite);
        const auto start = Clock::now();
        const auto log =
            db ? takeInLinesInTurns(
                     *db, [&](const auto &work) { return queue.wait(work); }, mara, 1, QStringLiteral("CTD"))
               : Result<TakenLog>(db.error());
        seconds = std::chrono::duration<double>(Clock::now() - start).count();
        if (!log)
            std::fprintf(stderr, "%s\n", qPrintable(log.error().sentence));
        return log && log->report.accepted >= linesTakenIn;
    };
    const bool good =
        measurePresses("stamp, from press to commit on the writer's thread", file, queue, begin, 400,
                       [] { return true; }) &&
        measurePresses("the same while 1,000,000 lines are taken in", file, queue, begin, 100, takeIn);
    std::printf("\nThe lines were taken in within %.1f s.\n", seconds);
    return good;
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
        measure("stamp with its sample in one commit",
                [&](int i) {
                    details.slot = i % 2 ? QStringLiteral("R1") : QStringLiteral("R2");
                    const int dive = 1 + i / samplesPerDive;
                    return stampSample(*file, act(rounds + i), dive, act(rounds + i).now, details, *kinds)
                        .has_value();
                }) &&
        measureWhileTakingIn(folder, *file, begin);
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
