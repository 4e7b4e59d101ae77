// SPDX-License-Identifier: GPL-3.0-or-later
// A cruise read on two threads, and the courses of a dive read by columns.
#include "a_package.h"
#include "dive/scan_log.h"
#include "handoff/cruise_content.h"
#include "handoff/two_threads.h"

#include <QThread>
#include <cmath>
#include <mutex>
#include <set>
#include <thread>

namespace holdfast::test
{

class TwoThreads : public WithPackage
{
protected:
    Result<Database> reader(const QString &path)
    {
        auto db = Database::open(path, Database::Access::ReadOnly);
        if (db) {
            if (auto begun = execSql(db->connection(), s("BEGIN")); !begun)
                return begun.error();
            const auto head = ledgerHead(*db); // the first read begins the snapshot
            if (!head)
                return head.error();
        }
        return db;
    }
};

TEST_F(TwoThreads, EachPieceIsDoneOnceOnConnectionsThatSeeTheSame)
{
    const auto db = reader(m_path);
    ASSERT_OK(db);
    const auto head = ledgerHead(*db);
    ASSERT_OK(head);
    std::mutex mutex;
    std::multiset<std::size_t> done;
    std::set<std::thread::id> threads;
    const auto work = [&](const Database &here, std::size_t i) -> Done {
        const auto now = ledgerHead(here);
        if (!now || *now != *head)
            return fail(ErrorKind::Internal, s("another view"));
        QThread::msleep(2); // so that one thread alone does not take all
        const std::scoped_lock lock(mutex);
        done.insert(i);
        threads.insert(std::this_thread::get_id());
        return {};
    };
    ASSERT_OK(onTwoThreads(*db, 50, work, {}));
    EXPECT_EQ(done.size(), 50U);
    EXPECT_EQ(std::set<std::size_t>(done.begin(), done.end()).size(), 50U);
    EXPECT_EQ(threads.size(), 2U);
}

TEST_F(TwoThreads, OneAloneWhenTheOtherWouldSeeWhatCameLater)
{
    const auto db = reader(m_path);
    ASSERT_OK(db);
    ASSERT_OK(sample(s("B2"), s("sponge")));
    std::mutex mutex;
    std::set<std::thread::id> threads;
    const auto work = [&](const Database &here, std::size_t) -> Done {
        const auto samples = readSamples(here, 1);
        if (!samples || samples->size() != 2)
            return fail(ErrorKind::Internal, s("it sees what came later"));
        QThread::msleep(2);
        const std::scoped_lock lock(mutex);
        threads.insert(std::this_thread::get_id());
        return {};
    };
    ASSERT_OK(onTwoThreads(*db, 30, work, {}));
    EXPECT_EQ(threads, std::set<std::thread::id>{std::this_thread::get_id()});
}

TEST_F(TwoThreads, TheFirstErrorEndsBothAndIsGiven)
{
    const auto db = reader(m_path);
    ASSERT_OK(db);
    std::atomic<int> begun = 0;
    const auto work = [&](const Database &, std::size_t i) -> Done {
        ++begun;
        QThread::msleep(1);
        return i == 7 ? fail(ErrorKind::Malformed, s("piece 7")) : Done();
    };
    const auto result = onTwoThreads(*db, 10'000, work, {});
    ASSERT_FALSE(result);
    EXPECT_EQ(result.error().sentence, s("piece 7"));
    EXPECT_LT(begun, 20);
    std::stop_source stop;
    stop.request_stop();
    const auto stopped = onTwoThreads(*db, 10, work, {stop.get_token(), {}});
    ASSERT_FALSE(stopped);
    EXPECT_EQ(stopped.error().kind, ErrorKind::Cancelled);
}

TEST_F(TwoThreads, TheTrackThatIsSharedGivesTheValuesOfTheRecord)
{
    const auto db = reader(m_path);
    ASSERT_OK(db);
    int dives = 0;
    const auto content =
        readContent(*db, {}, [&](const Database &, const DiveRecord &dive, const Track &track) -> Done {
            ++dives;
            for (const SampleRecord &sample : dive.samples) {
                EXPECT_EQ(track.at(sample.info.time).latitudeDeg, sample.fix.latitudeDeg);
                EXPECT_TRUE(sample.fix.latitudeDeg.has_value());
            }
            return {};
        });
    ASSERT_OK(content);
    EXPECT_EQ(dives, 1);
}

TEST_F(TwoThreads, CoursesReadByColumnsAreTheScansOfTheWholeReading)
{
    const auto whole = readScans(file().db(), 1, SensorLogReader::earliest, SensorLogReader::latest, -19.43);
    ASSERT_OK(whole);
    const auto series = readScanSeries(file().db(), 1, -19.43);
    ASSERT_OK(series);
    ASSERT_EQ(series->timeUs.size(), 3600U);
    EXPECT_EQ(series->timeUs, whole->scans.timeUs);
    const auto expectSame = [&](const ScanSeries &part, const std::vector<double> &values,
                                QcParameter parameter) {
        EXPECT_EQ(part.values, values);
        const auto &flags = whole->flags.flags(parameter);
        for (std::size_t i = 0; i < flags.size(); ++i)
            ASSERT_EQ(part.flags[i], static_cast<std::uint32_t>(flags[i]));
    };
    expectSame(series->temperatureDegC, whole->scans.temperatureDegC, QcParameter::Temperature);
    expectSame(series->practicalSalinity, whole->derived.practicalSalinity, QcParameter::Salinity);
    expectSame(series->oxygenUmolKg, whole->scans.oxygenUmolKg, QcParameter::Oxygen);
    expectSame(series->depthM, whole->derived.depthM, QcParameter::Depth);
}

} // namespace holdfast::test
