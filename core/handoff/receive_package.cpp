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
#include "handoff/stored_values.h"
#include "ledger/ledger_store.h"
#include "ledger/signature.h"

#include <QFile>

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
    return fail(ErrorKind::Refused, QStringLiteral("The package was refused: %1").arg(why));
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
    std::vector<PackageFinding> all = bag->findings.all();
    all.insert(all.end(), own.all().begin(), own.all().end());
    QStringList reasons;
    for (const PackageFinding &f : all) {
        if (f.weight == FindingWeight::Error)
            reasons << QStringLiteral("%1%2%3 [%4]")
                           .arg(f.file, f.file.isEmpty() ? QString() : q(": "), f.sentence, f.rule);
    }
    if (reasons.size() > 5)
        reasons = reasons.mid(0, 5)
                  << QStringLiteral("and %1 more; holdfast check lists all").arg(reasons.size() - 5);
    if (!reasons.isEmpty())
        return refused(reasons.join(q("; ")));
    if (!source.find(ledgerPath) || !source.find(ledgerHeadsPath))
        return refused(QStringLiteral("it holds no %1; it is no package of this program.").arg(ledgerPath));
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

    const BagSource &m_source;
    CruiseFile m_file;
    const JobControl &m_job;
    ReceivedPackage m_received;
};

Done Receiver::takeEntry(const QByteArray &line)
{
    const auto e = readLedgerLine(line);
    if (!e)
        return e.error();
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
    const auto text = m_source.readAll(ledgerSignaturesPath);
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
    const auto text = m_source.readAll(ledgerHeadsPath);
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
    if (heads->contains(m_file.station()))
        return fail(
            ErrorKind::Refused,
            QStringLiteral(
                "The ledger has a station \"%1\"; the new copy needs another name (--station), or two "
                "copies could write one chain.")
                .arg(m_file.station()));
    return {};
}

Done Receiver::takeLogs()
{
    std::vector<const BagEntry *> logs;
    for (const BagEntry &e : m_source.entries()) {
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
    return m_received;
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
        return source.error();
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
    if (received && !QFile::rename(partial, out))
        received = fail(ErrorKind::Unwritable, QStringLiteral("%1 can't be given its name.").arg(out));
    if (!received)
        removeDatabase(partial);
    return received;
}

} // namespace holdfast
