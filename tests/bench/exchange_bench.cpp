// SPDX-License-Identifier: GPL-3.0-or-later
// An exchange file of many entries (50,000 without an argument) gathered, written, read and checked, taken
// in by a station that has none of them, with all tables made again; beside sha256sum over the file and the
// bare insertion of as many rows, in the same run. Prints a table of seconds.
#include "base/template_folder.h"
#include "custody/tally.h"
#include "dive/actions.h"
#include "dive/verbs.h"
#include "exchange/take_in.h"

#include <QCoreApplication>
#include <QFileInfo>
#include <QJsonArray>
#include <QProcess>
#include <QTemporaryDir>
#include <chrono>
#include <cstdio>
#include <cstdlib>

using namespace holdfast;

namespace
{

using Clock = std::chrono::steady_clock;

double secondsSince(Clock::time_point start)
{
    return std::chrono::duration<double>(Clock::now() - start).count();
}

void tell(const char *what, double seconds)
{
    std::printf("| %s | %.2f |\n", what, seconds);
    std::fflush(stdout);
}

/// Amendments of a hundred samples, as a year of corrections would be.
Done write(CruiseFile &file, const Act &act, int entries)
{
    return file.write([&]() -> Done {
        for (int i = 0; i < entries; ++i) {
            const QJsonObject change{
                {QStringLiteral("field"), QStringLiteral("description")},
                {QStringLiteral("old"), QString()},
                {QStringLiteral("new"), QStringLiteral("pink, branching, about %1 cm high").arg(i % 97)}};
            const auto entry =
                file.record(act, verb::sampleAmended,
                            {{QStringLiteral("id"),
                              QStringLiteral("TK26-01-%1").arg(i % 100 + 1, 3, 10, QLatin1Char('0'))},
                             {QStringLiteral("changes"), QJsonArray{change}},
                             {QStringLiteral("reason"), QStringLiteral("seen on deck")}});
            if (!entry)
                return entry.error();
        }
        return {};
    });
}

Done bareInsert(const QString &path, const ExchangeFile &x)
{
    auto db = Database::create(path);
    if (!db)
        return db.error();
    auto transaction = Transaction::begin(db->connection());
    if (!transaction)
        return transaction.error();
    auto insert = Statement::prepare(
        db->connection(), QStringLiteral("INSERT INTO ledger (station, seq, lamport, uuid, time_us, actor, "
                                         "verb, body, prev, hash) VALUES (?,?,?,?,?,?,?,?,?,?)"));
    if (!insert)
        return insert.error();
    for (const ChainPart &part : x.chains) {
        for (const Entry &e : part.entries) {
            if (auto done = insert->run(
                    {e.station, e.seq, e.lamport, e.uuid, e.timeUs, e.actor, e.verb, e.body, e.prev, e.hash});
                !done)
                return done;
        }
    }
    return transaction->commit();
}

Done run(const QString &folder, int entries)
{
    const Act act{QStringLiteral("Mara"), utcFromCivil(2026, 3, 12, 8, 0, 0).value_or(UtcTime{})};
    const auto kinds = KindTable::load();
    const auto loadout = readTemplate(QStringLiteral("loadouts"), QStringLiteral("demo"));
    if (!kinds || !loadout)
        return kinds ? loadout.error() : kinds.error();
    auto van = CruiseFile::create(folder + QStringLiteral("/van.hfc"), QStringLiteral("TK26"),
                                  QStringLiteral("van"), act, allVerbRules());
    if (!van)
        return van.error();
    if (auto planned = planDive(*van, act, 1, QStringLiteral("Deep vehicle"), *loadout); !planned)
        return planned;
    for (int i = 0; i < 100; ++i) {
        SampleDetails d;
        d.kind = QStringLiteral("coral");
        if (const auto made = stampSample(*van, act, 1, act.now, d, *kinds); !made)
            return made.error();
    }
    const QString copy = folder + QStringLiteral("/deck.hfc");
    if (auto copied = execSql(van->db().connection(), QStringLiteral("VACUUM INTO ?"), {copy}); !copied)
        return copied;
    auto deck = CruiseFile::becomeStation(copy, QStringLiteral("deck"), act, 0, allVerbRules());
    if (!deck)
        return deck.error();
    auto start = Clock::now();
    if (auto written = write(*deck, act, entries); !written)
        return written;
    tell("recorded at the deck, in one transaction", secondsSince(start));
    start = Clock::now();
    const auto gathered = gatherExchange(deck->db(), deck->station(), act.now);
    if (!gathered)
        return gathered.error();
    const QString path = folder + QStringLiteral("/deck.hfx");
    if (auto written = writeExchangeFile(path, *gathered); !written)
        return written;
    tell("gathered and written to an exchange file", secondsSince(start));
    std::printf("(%d entries, %.0f MB)\n", entries, static_cast<double>(QFileInfo(path).size()) / 1e6);
    start = Clock::now();
    if (QProcess::execute(QStringLiteral("sh"),
                          {QStringLiteral("-c"), QStringLiteral("sha256sum \"$0\" > /dev/null"), path}) != 0)
        return fail(ErrorKind::Internal, QStringLiteral("sha256sum did not run."));
    tell("reference: sha256sum of the file", secondsSince(start));
    start = Clock::now();
    const auto read = readExchangeFile(path);
    if (!read)
        return read.error();
    tell("read and checked", secondsSince(start));
    start = Clock::now();
    if (auto inserted = bareInsert(folder + QStringLiteral("/bare.hfc"), *read); !inserted)
        return inserted;
    tell("reference: the same rows inserted, unchecked", secondsSince(start));
    auto key =
        query(deck->db().connection(), QStringLiteral("SELECT public_key FROM station WHERE name='deck'"));
    if (!key || !key->next())
        return fail(ErrorKind::Internal, QStringLiteral("The deck has no key."));
    start = Clock::now();
    const auto taken = takeIn(*van, *read, {key->text(0)});
    if (!taken)
        return taken.error();
    tell("taken in at the van, tables made again", secondsSince(start));
    start = Clock::now();
    if (auto rebuilt = rebuildTables(*van); !rebuilt)
        return rebuilt;
    tell("of it: the tables made again", secondsSince(start));
    start = Clock::now();
    const auto again = takeIn(*van, *read, {});
    if (!again)
        return again.error();
    tell("the same file again, nothing new", secondsSince(start));
    return {};
}

} // namespace

int main(int argc, char **argv)
{
    const QCoreApplication app(argc, argv);
    const QTemporaryDir folder;
    qputenv("HOLDFAST_KEYS", folder.filePath(QStringLiteral("keys")).toUtf8());
    const auto done = run(folder.path(), argc > 1 ? std::atoi(argv[1]) : 50'000);
    if (!done)
        std::fprintf(stderr, "%s\n", qPrintable(done.error().sentence));
    return done ? 0 : 1;
}
