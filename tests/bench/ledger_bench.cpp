// SPDX-License-Identifier: GPL-3.0-or-later
// A ledger of a million entries (of one station, or of three) verified, chain and signatures, beside
// sha256sum over the bytes that were hashed, in the same run. Prints a table of seconds.
#include "ledger/canonical.h"
#include "ledger/ledger_store.h"
#include "ledger/signature.h"
#include "ledger/stored_entry.h"
#include "ledger/verify.h"

#include "base/ids.h"

#include <QCoreApplication>
#include <QFile>
#include <QProcess>
#include <QTemporaryDir>
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>

using namespace holdfast;

namespace
{

using Clock = std::chrono::steady_clock;

constexpr int rounds = 5;

double secondsSince(Clock::time_point start)
{
    return std::chrono::duration<double>(Clock::now() - start).count();
}

/// Writes `entries` entries of `stations` stations, and the bytes that were hashed into `plain`.
Done fill(const Database &db, int entries, int stations, QFile &plain)
{
    auto insert = Statement::prepare(
        db.connection(),
        QStringLiteral("INSERT INTO ledger (station, seq, lamport, uuid, time_us, actor, verb, "
                       "body, prev, hash) VALUES (?,?,?,?,?,?,?,?,?,?)"));
    if (!insert)
        return insert.error();
    std::vector<ChainHead> heads;
    std::vector<StationKey> keys;
    for (int s = 0; s < stations; ++s) {
        auto key = StationKey::make();
        if (!key)
            return key.error();
        heads.push_back({QStringLiteral("station %1").arg(s + 1), 0, zeroHash()});
        keys.push_back(std::move(*key));
    }
    for (int i = 0; i < entries; ++i) {
        const auto s = static_cast<std::size_t>(i % stations);
        ChainHead &head = heads[s];
        Entry e{
            head.station,
            head.seq + 1,
            i + 1,
            newUuid(),
            1'773'325'327'000'000 + i * 1'234'567LL,
            QStringLiteral("Mara"),
            head.seq == 0 ? stationJoinedVerb : QStringLiteral("sample amended"),
            QStringLiteral("{\"changes\":[{\"field\":\"description\",\"new\":\"pink, branching, about %1 cm "
                           "high\",\"old\":\"\"}],\"id\":\"TK26-04-%2\",\"reason\":\"seen on deck\"}")
                .arg(i % 97)
                .arg(i % 1000, 3, 10, QLatin1Char('0')),
            head.hash,
            {}};
        if (head.seq == 0)
            e.body =
                QStringLiteral("{\"name\":\"%1\",\"publicKey\":\"%2\"}").arg(e.station, keys[s].publicKey());
        const QByteArray canonical = canonicalEntry(e);
        plain.write(canonical);
        e.hash = sha256Hex(canonical);
        if (auto done = insert->run(
                {e.station, e.seq, e.lamport, e.uuid, e.timeUs, e.actor, e.verb, e.body, e.prev, e.hash});
            !done)
            return done;
        head = {e.station, e.seq, e.hash};
    }
    for (std::size_t s = 0; s < heads.size(); ++s) {
        if (auto done = execSql(db.connection(), QStringLiteral("INSERT INTO ledger_head VALUES (?,?,?)"),
                                {heads[s].station, heads[s].seq, heads[s].hash});
            !done)
            return done;
        if (auto done = signHead(db, heads[s].station, keys[s]); !done)
            return done;
    }
    return {};
}

double median(std::vector<double> all)
{
    std::sort(all.begin(), all.end());
    return all[all.size() / 2];
}

int failed(const Error &error)
{
    std::fprintf(stderr, "%s\n", qPrintable(error.sentence));
    return 1;
}

int run(const QString &folder, int entries, int stations)
{
    const QString path = QStringLiteral("%1/ledger-%2.hfc").arg(folder).arg(stations);
    QFile plain(QStringLiteral("%1/hashed-%2").arg(folder).arg(stations));
    auto db = Database::create(path);
    if (!db)
        return failed(db.error());
    if (!plain.open(QIODevice::WriteOnly))
        return 1;
    {
        auto transaction = Transaction::begin(db->connection());
        if (!transaction)
            return failed(transaction.error());
        if (auto done = fill(*db, entries, stations, plain); !done)
            return failed(done.error());
        if (auto done = transaction->commit(); !done)
            return failed(done.error());
    }
    plain.close();
    std::vector<double> ours;
    std::vector<double> theirs;
    for (int round = 0; round < rounds; ++round) {
        auto start = Clock::now();
        const auto proof = verifyLedger(*db);
        ours.push_back(secondsSince(start));
        if (!proof)
            return failed(proof.error());
        if (!proof->holds())
            return failed(fail(ErrorKind::Internal, proof->faults.front().why));
        start = Clock::now();
        if (QProcess::execute(QStringLiteral("sh"),
                              {QStringLiteral("-c"), QStringLiteral("sha256sum \"$0\" > /dev/null"),
                               plain.fileName()}) != 0)
            return 1;
        theirs.push_back(secondsSince(start));
    }
    std::printf("| %d | %d | %.0f | %.2f | %.2f |\n", entries, stations,
                static_cast<double>(plain.size()) / 1e6, median(ours), median(theirs));
    std::fflush(stdout);
    return 0;
}

} // namespace

int main(int argc, char **argv)
{
    const QCoreApplication app(argc, argv);
    const QTemporaryDir folder;
    qputenv("HOLDFAST_KEYS", folder.filePath(QStringLiteral("keys")).toUtf8());
    const int entries = argc > 1 ? std::atoi(argv[1]) : 1'000'000;
    std::printf(
        "median of %d, seconds\n\n| entries | stations | MB hashed | verified | sha256sum over them |\n"
        "| --- | --- | --- | --- | --- |\n",
        rounds);
    for (const int stations : {1, 3}) {
        if (const int code = run(folder.path(), entries, stations); code != 0)
            return code;
    }
    return 0;
}
