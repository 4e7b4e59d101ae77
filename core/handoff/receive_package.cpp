// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/receive_package.h"

#include "custody/audit.h"
#include "custody/tally.h"
#include "handoff/bag_check.h"
#include "handoff/ledger_text.h"
#include "handoff/output_place.h"
#include "handoff/own_layout.h"
#include "handoff/package_lines.h"
#include "handoff/package_paths.h"
#include "handoff/reading_limits.h"
#include "handoff/received_logs.h"
#include "handoff/safe_cell.h"
#include "handoff/stored_values.h"
#include "ledger/ledger_store.h"
#include "ledger/signature.h"

#include <QFile>
#include <QFileInfo>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

Error refused(const QString &why)
{
    return fail(ErrorKind::Refused, QStringLiteral("The package was refused: %1").arg(visibleText(why)));
}

/// Everything that makes a package one that must not be taken in.
Done checkAcceptable(const BagSource &source, const JobControl &job)
{
    QSet<QString> names;
    for (const BagEntry &e : source.entries()) {
        if (names.contains(foldedPath(e.path)))
            return refused(
                QStringLiteral("the name \"%1\" is there twice (letter case and Unicode form do not count).")
                    .arg(e.path));
        names.insert(foldedPath(e.path));
    }
    if (source.find(q("fetch.txt")))
        return refused(
            q("it holds a fetch.txt, so it is not whole; nothing is ever fetched (RFC 8493 2.2.3)."));
    const auto bag = checkBag(source, job);
    if (!bag)
        return bag.error();
    PackageFindings own;
    checkOwnLayout(source, own);
    const qsizetype shown = 5;
    QStringList reasons;
    for (const PackageFindings *findings : {&bag->findings, &std::as_const(own)}) {
        for (const PackageFinding &f : findings->kept()) {
            if (f.weight == FindingWeight::Error && reasons.size() < shown)
                reasons << QStringLiteral("%1%2%3 [%4]")
                               .arg(f.file, f.file.isEmpty() ? QString() : q(": "), f.sentence, f.rule);
        }
    }
    if (const int all = bag->findings.errors() + own.errors(); all > shown)
        reasons << QStringLiteral("and %1 more; holdfast check says which").arg(all - shown);
    if (!reasons.isEmpty())
        return refused(reasons.join(q("; ")));
    for (const QString &needed : {ledgerPath, ledgerHeadsPath, ledgerSignaturesPath}) {
        if (!source.find(needed))
            return refused(QStringLiteral("it holds no %1; it is no package of this program.").arg(needed));
    }
    return {};
}

/// One cruise file in the making.
class Receiver
{
public:
    Receiver(const BagSource &source, CruiseFile &&file, const JobControl &job)
        : m_source(source), m_file(std::move(file)), m_job(job)
    {
    }
    Result<ReceivedPackage> run();

private:
    Done takeLedger();
    Done takeEntry(const QByteArray &line);
    Done takeHeads();
    Done takeSignatures();
    Done takeLogs();
    Done prove();
    Done intoOneFile();

    const BagSource &m_source;
    CruiseFile m_file;
    const JobControl &m_job;
    ReceivedPackage m_received;
    QHash<QString, qint64> m_lastSeq; ///< of each station, while the ledger is read
};

Done Receiver::takeEntry(const QByteArray &line)
{
    const auto e = readLedgerLine(line);
    if (!e)
        return e.error();
    qint64 &last = m_lastSeq[e->station];
    if (e->seq <= last)
        return fail(ErrorKind::Tampered,
                    QStringLiteral("%1: entry %2 of station %3 is there twice or out of order.")
                        .arg(ledgerPath)
                        .arg(e->seq)
                        .arg(e->station));
    last = e->seq;
    const QSqlDatabase &connection = m_file.db().connection();
    if (auto done = execSql(
            connection,
            q("INSERT INTO ledger (station, seq, lamport, uuid, time_us, actor, verb, body, prev, hash) "
              "VALUES (?,?,?,?,?,?,?,?,?,?)"),
            {e->station, e->seq, e->lamport, e->uuid, e->timeUs, e->actor, e->verb, e->body, e->prev,
             e->hash});
        !done)
        return done;
    ++m_received.entries;
    return {};
}

Done Receiver::takeLedger()
{
    const BagEntry *const ledger = m_source.find(ledgerPath);
    return m_file.write([&]() -> Done {
        QByteArray waiting;
        auto read = m_source.read(*ledger, [&](std::string_view piece) -> Done {
            if (auto on = m_job.goOn(); !on)
                return on;
            waiting.append(piece.data(), static_cast<qsizetype>(piece.size()));
            qsizetype at = 0;
            for (qsizetype end = waiting.indexOf('\n'); end >= 0; end = waiting.indexOf('\n', at)) {
                if (auto taken = takeEntry(waiting.mid(at, end - at)); !taken)
                    return taken;
                at = end + 1;
            }
            waiting.remove(0, at);
            if (waiting.size() > mostLedgerLineBytes)
                return fail(ErrorKind::Malformed,
                            QStringLiteral("%1 has a line of more than %2 bytes, which is no entry.")
                                .arg(ledgerPath)
                                .arg(mostLedgerLineBytes));
            return {};
        });
        if (!read)
            return read;
        if (!waiting.isEmpty())
            return fail(ErrorKind::Malformed,
                        QStringLiteral("%1 ends in the middle of a line.").arg(ledgerPath));
        if (auto heads = takeHeads(); !heads)
            return heads;
        return takeSignatures();
    });
}

Done Receiver::takeSignatures()
{
    const auto text = m_source.readAll(ledgerSignaturesPath, mostListBytes);
    if (!text)
        return text.error();
    const auto signatures = readSignaturesText(*text);
    if (!signatures)
        return signatures.error();
    for (const HeadSignature &signature : *signatures) {
        if (auto kept = keepSignature(m_file.db(), signature); !kept)
            return kept;
    }
    return {};
}

Done Receiver::takeHeads()
{
    const auto text = m_source.readAll(ledgerHeadsPath, mostTagBytes);
    if (!text)
        return text.error();
    const auto heads = readHeadsText(*text);
    if (!heads)
        return heads.error();
    for (const ChainHead &head : *heads) {
        if (auto done = execSql(m_file.db().connection(),
                                q("INSERT INTO ledger_head (station, seq, hash) VALUES (?,?,?)"),
                                {head.station, head.seq, head.hash});
            !done)
            return done;
    }
    for (const ChainHead &head : *heads) {
        if (head.station.compare(m_file.station(), Qt::CaseInsensitive) == 0)
            return fail(
                ErrorKind::Refused,
                QStringLiteral(
                    "The ledger has a station \"%1\"; the new copy needs another name (--station), or two "
                    "copies could write one chain.")
                    .arg(head.station));
    }
    return {};
}

Done Receiver::takeLogs()
{
    if (auto whole = checkLogsAreWhole(m_source, m_file.db()); !whole)
        return whole;
    std::vector<const BagEntry *> logs;
    for (const BagEntry &e : m_source.entries()) {
        m_received.photographs += !e.folder && e.path.startsWith(q("data/photographs/")) ? 1 : 0;
        if (!e.folder && e.path.startsWith(q("data/logs/values/")))
            logs.push_back(&e);
    }
    for (const BagEntry *log : logs) {
        m_job.tell(log->path, 0.4 + 0.4 * m_received.logs / static_cast<double>(logs.size()));
        const auto restore = log->path.endsWith(q(".received")) ? restoreReceivedLines : restoreLog;
        if (auto done = restore(m_file.db(), m_source, *log, m_job); !done)
            return done;
        ++m_received.logs;
    }
    return {};
}

Done Receiver::prove()
{
    m_job.tell(q("audit"), 0.85);
    const auto report = auditCruise(m_file);
    if (!report)
        return report.error();
    if (!report->holds())
        return fail(ErrorKind::Tampered, report->text());
    m_received.head = report->head;
    const auto cruise = readCruise(m_file.db());
    if (!cruise)
        return cruise.error();
    m_received.cruise = cruise->code;
    return {};
}

Result<ReceivedPackage> Receiver::run()
{
    if (auto done = takeLedger(); !done)
        return done.error();
    if (auto done = rebuildTables(m_file); !done)
        return done.error();
    if (auto done = takeLogs(); !done)
        return done.error();
    if (auto done = prove(); !done)
        return done.error();
    if (auto done = intoOneFile(); !done)
        return done.error();
    return m_received;
}

Error leftBeside(const QString &path)
{
    return fail(ErrorKind::Busy,
                QStringLiteral("%1 is being read by another program, so what was received can't "
                               "be put into one file; close that and receive it again.")
                    .arg(path));
}

/// Only the main file gets its name: nothing may be left in the write-ahead log beside it.
Done Receiver::intoOneFile()
{
    Database &db = m_file.db();
    if (auto set = db.setBusyTimeout(500); !set)
        return set;
    auto row = query(db.connection(), q("PRAGMA wal_checkpoint(TRUNCATE)"));
    if (!row)
        return row.error();
    if (!row->next() || row->integer(0) != 0)
        return leftBeside(db.path());
    return {};
}

void removeDatabase(const QString &path)
{
    for (const char *tail : {"", "-wal", "-shm", "-journal"})
        QFile::remove(path + q(tail));
}

/// An empty cruise file that writes as `station`.
Result<CruiseFile> emptyCruiseFile(const QString &path, const QString &station)
{
    if (auto named = checkStationName(station); !named)
        return named.error();
    {
        const auto db = Database::create(path);
        if (!db)
            return db.error();
        if (auto done =
                execSql(db->connection(),
                        q("INSERT INTO installation VALUES ('station', ?), ('received', 'from a package')"),
                        {station});
            !done)
            return done.error();
    }
    return CruiseFile::open(path, Database::Access::ReadWrite, allVerbRules());
}

} // namespace

Result<ReceivedPackage> receivePackage(const QString &package, const QString &out, const QString &station,
                                       const JobControl &job)
{
    if (auto free = checkOutputFile(out); !free)
        return free.error();
    const auto source = BagSource::open(package);
    if (!source)
        return fail(source.error().kind, visibleText(source.error().sentence));
    if (auto good = checkAcceptable(**source, job); !good)
        return good.error();
    const QString partial = out + q(".partial");
    removeDatabase(partial);
    auto file = emptyCruiseFile(partial, station);
    if (!file) {
        removeDatabase(partial);
        return file.error();
    }
    auto received = Receiver(**source, std::move(*file), job).run();
    if (received && QFileInfo(partial + q("-wal")).size() > 0)
        received = leftBeside(partial);
    if (received && !QFile::rename(partial, out))
        received = fail(ErrorKind::Unwritable, QStringLiteral("%1 can't be given its name.").arg(out));
    if (!received)
        removeDatabase(partial);
    return received;
}

} // namespace holdfast
