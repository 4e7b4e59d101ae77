// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/audit.h"

#include "custody/audit_logs.h"
#include "dive/line_recording.h"
#include "dive/verbs.h"
#include "ledger/ledger_store.h"
#include "ledger/verify.h"

#include <QHash>
#include <QJsonArray>

namespace holdfast
{

namespace
{

Done auditLedger(const CruiseFile &file, AuditReport &report)
{
    auto proof = verifyLedger(file.db());
    if (!proof)
        return proof.error();
    for (const ChainFault &fault : proof->faults)
        report.findings.push_back({QStringLiteral("ledger"), fault.station, fault.seq, fault.why});
    const auto heads = chainHeads(file.db());
    if (!heads)
        return heads.error();
    report.stations = std::move(proof->stations);
    report.head = ledgerHeadHash(*heads);
    const auto count = countEntries(file.db());
    if (!count)
        return count.error();
    report.entries = *count;
    return {};
}

/// Only with a ledger that holds: else every difference would be told twice.
Done auditTables(const CruiseFile &file, AuditReport &report)
{
    const auto differences = compareTablesWithLedger(file.db(), file.rules());
    if (!differences)
        return differences.error();
    for (const QString &sentence : *differences)
        report.findings.push_back({QStringLiteral("tables"), {}, 0, sentence});
    return {};
}

/// Which station wrote the entry that closes a recording, by its uuid. Recordings do not travel with the
/// entries: one of another station that is not here is no damage.
Result<QHash<QString, QString>> writersOf(const Database &db, const QString &verb, const QString &key)
{
    QHash<QString, QString> writers;
    const auto read = forEachEntryWith(db, {verb}, [&](const Entry &e) -> Done {
        writers.insert(e.bodyObject().value(key).toString(), e.station);
        return {};
    });
    if (!read)
        return read.error();
    return writers;
}

QString signatureLine(const StationProof &s)
{
    if (s.publicKey.isEmpty())
        return QStringLiteral(
                   "Station %1: %2 entries, unsigned; it has not written since stations got keys.\n")
            .arg(s.station)
            .arg(s.entries);
    const QString line = QStringLiteral("Station %1: %2 entries, signed up to the last with its key %3")
                             .arg(s.station)
                             .arg(s.entries)
                             .arg(keyMark(s.publicKey));
    // The key that a station joins with is told by its first or second entry.
    if (s.signedFrom <= 2)
        return line + QStringLiteral(".\n");
    return line + QStringLiteral("; entries 1 to %1 were written before it had one.\n").arg(s.signedFrom - 1);
}

QJsonArray stationsJson(const std::vector<StationProof> &stations)
{
    QJsonArray list;
    for (const StationProof &s : stations)
        list.append(QJsonObject{{QStringLiteral("station"), s.station},
                                {QStringLiteral("entries"), s.entries},
                                {QStringLiteral("publicKey"), s.publicKey},
                                {QStringLiteral("signedFrom"), s.signedFrom}});
    return list;
}

Done auditLines(const CruiseFile &file, AuditReport &report)
{
    const auto found = [&report](const QString &sentence) {
        report.findings.push_back({QStringLiteral("lines"), {}, 0, sentence});
    };
    const auto recordings = readRecordings(file.db(), 0);
    if (!recordings)
        return recordings.error();
    const auto writers = writersOf(file.db(), verb::recordingClosed, QStringLiteral("recording"));
    if (!writers)
        return writers.error();
    QHash<QString, const RecordedFeed *> stored;
    for (const RecordedFeed &r : *recordings) {
        stored.insert(r.recording.uuid, &r);
        ++report.recordings;
        report.openRecordings += r.closed ? 0 : 1;
        if (const auto good = LineLog(file.db().connection()).verify(r.recording.uuid); !good)
            found(good.error().sentence);
    }
    auto rows =
        query(file.db().connection(),
              QStringLiteral("SELECT uuid, dive, feed, address, profile, begun_us, lines, bytes, blocks, "
                             "digest FROM recording"));
    if (!rows)
        return rows.error();
    while (rows->next()) {
        const RecordedFeed *r = stored.value(rows->text(0));
        const QString what =
            QStringLiteral("The recorded lines of feed %1, dive %2,").arg(rows->text(2), rows->text(1));
        if (!r && writers->value(rows->text(0)) != file.station())
            report.notes << QStringLiteral("%1 are not here; station %2 recorded them.")
                                .arg(what, writers->value(rows->text(0)));
        else if (!r)
            found(QStringLiteral("%1 are missing.").arg(what));
        else if (r->recording.dive != rows->integer(1) || r->recording.feed != rows->text(2) ||
                 r->recording.address != rows->text(3) || r->recording.profile != rows->text(4) ||
                 microsecondsOf(r->recording.begun) != rows->integer(5))
            found(QStringLiteral("%1 stand under another dive, feed, address, profile or time than in their "
                                 "ledger entry.")
                      .arg(what));
        else if (r->sums.lines != rows->integer(6) || r->sums.bytes != rows->integer(7) ||
                 r->sums.blocks != rows->integer(8) || r->sums.digest != rows->text(9))
            found(
                QStringLiteral("%1 do not carry the counts and the digest of their ledger entry.").arg(what));
    }
    return {};
}

} // namespace

Result<AuditReport> auditCruise(const CruiseFile &file)
{
    AuditReport report;
    if (auto done = auditLedger(file, report); !done)
        return done.error();
    if (report.holds()) {
        for (const auto step : {auditTables, auditLogs, auditLines}) {
            if (auto done = step(file, report); !done)
                return done.error();
        }
    }
    return report;
}

QString AuditReport::text() const
{
    if (holds()) {
        QString text =
            QStringLiteral("The record holds: %1 entries of %2, every hash and every link fits; the "
                           "tables agree with the ledger; %3 byte for byte what was taken in.\n")
                .arg(entries)
                .arg(stations.size() == 1 ? QStringLiteral("1 station")
                                          : QStringLiteral("%1 stations").arg(stations.size()),
                     logs == 1 ? QStringLiteral("1 log is") : QStringLiteral("%1 logs are").arg(logs));
        if (recordings > 0)
            text +=
                QStringLiteral(
                    "Recordings of live feeds: %1 hold; %2 not closed yet, so that no entry proves them.\n")
                    .arg(recordings)
                    .arg(openRecordings);
        for (const StationProof &s : stations)
            text += signatureLine(s);
        for (const QString &note : notes)
            text += QStringLiteral("Note: %1\n").arg(note);
        return text + QStringLiteral("Head %1\n").arg(head);
    }
    QStringList lines{QStringLiteral("The record does not hold.")};
    for (const AuditFinding &f : findings)
        lines << (f.where == QLatin1String("ledger")
                      ? QStringLiteral("Station %1, entry %2: %3.").arg(f.station).arg(f.entry).arg(f.what)
                      : f.what);
    return lines.join(QLatin1Char('\n'));
}

QJsonObject AuditReport::json() const
{
    QJsonArray list;
    for (const AuditFinding &f : findings) {
        QJsonObject o{{QStringLiteral("where"), f.where}, {QStringLiteral("finding"), f.what}};
        if (f.where == QLatin1String("ledger")) {
            o.insert(QStringLiteral("station"), f.station);
            o.insert(QStringLiteral("entry"), f.entry);
        }
        list.append(o);
    }
    return {{QStringLiteral("ok"), holds()},
            {QStringLiteral("entries"), entries},
            {QStringLiteral("stations"), static_cast<int>(stations.size())},
            {QStringLiteral("chains"), stationsJson(stations)},
            {QStringLiteral("logs"), logs},
            {QStringLiteral("recordings"), recordings},
            {QStringLiteral("open_recordings"), openRecordings},
            {QStringLiteral("head"), head},
            {QStringLiteral("notes"), QJsonArray::fromStringList(notes)},
            {QStringLiteral("findings"), list}};
}

} // namespace holdfast
