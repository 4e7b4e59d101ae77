// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/audit_logs.h"

#include "dive/intake_entry.h"
#include "dive/verbs.h"
#include "ledger/ledger_store.h"

#include <QMap>
#include <QSet>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

/// What the ledger says of a log, and the station that said it last.
struct TakenLogEntry {
    QJsonObject body;
    QString station;
};

/// The entry of each intake, by uuid; what a later correction of the sensors says stands in its place.
Result<QMap<QString, TakenLogEntry>> intakeEntries(const Database &db)
{
    QMap<QString, TakenLogEntry> entries;
    const auto read = forEachEntry(db, [&](const Entry &entry) -> Done {
        if (entry.verb != verb::logTakenIn && entry.verb != verb::sensorsCorrected)
            return {};
        const QJsonObject body = entry.bodyObject();
        TakenLogEntry &known = entries[body.value(u"intake"_s).toString()];
        for (auto key = body.begin(); key != body.end(); ++key)
            known.body.insert(key.key(), key.value());
        known.station = entry.station;
        return {};
    });
    if (!read)
        return read.error();
    return entries;
}

/// Logs do not travel with the entries: one that another station took in, or corrected, is not here or is not
/// as that station has it. That is no damage. Empty when it is here.
QString elsewhere(const SensorLogReader &logs, const TakenLogEntry &entry)
{
    const QString name = entry.body.value(u"fileName"_s).toString();
    const auto log = logs.fileOf(entry.body.value(u"intake"_s).toString());
    if (!log && log.error().kind == ErrorKind::NotFound)
        return u"The log %1 (SHA-256 %2) is not here; station %3 took it in."_s.arg(
            name, entry.body.value(u"sha256"_s).toString(), entry.station);
    if (log && log->digest != entry.body.value(u"digest"_s).toString())
        return u"The log %1 was corrected at station %2; here it is as it was taken in."_s.arg(name,
                                                                                               entry.station);
    return {};
}

/// What is wrong with one log; empty when nothing is.
Result<QString> faultOf(const SensorLogReader &logs, const QJsonObject &body, bool replaced)
{
    const QString name = body.value(u"fileName"_s).toString();
    const auto log = logs.fileOf(body.value(u"intake"_s).toString());
    if (!log)
        return u"The log %1 is missing from the sensor log: %2"_s.arg(name, log.error().sentence);
    if (log->sha256 != body.value(u"sha256"_s).toString() ||
        log->digest != body.value(u"digest"_s).toString())
        return u"The log %1 does not carry the checksums of its ledger entry."_s.arg(name);
    const auto stored = logs.report(*log);
    if (!stored)
        return stored.error();
    const auto differences = differencesFromEntry(body, *log, *stored);
    if (!differences)
        return differences.error();
    if (!differences->isEmpty())
        return u"The log %1 stands in the sensor log otherwise than in its ledger entry: %2."_s.arg(
            name, differences->join(u", "_s));
    if (log->inUse == replaced)
        return u"The log %1 is %2, against the ledger."_s.arg(name,
                                                              log->inUse ? u"in use"_s : u"not in use"_s);
    if (const auto good = logs.verify(*log); !good)
        return good.error().sentence;
    return QString();
}

} // namespace

Done auditLogs(const CruiseFile &file, AuditReport &report)
{
    const SensorLogReader logs(file.db().connection());
    const auto found = [&report](const QString &sentence) {
        report.findings.push_back({u"logs"_s, {}, 0, sentence});
    };
    const auto entries = intakeEntries(file.db());
    if (!entries)
        return entries.error();
    auto outOfUse = query(file.db().connection(), u"SELECT uuid FROM intake WHERE replaced_by IS NOT NULL"_s);
    if (!outOfUse)
        return outOfUse.error();
    QSet<QString> replaced;
    while (outOfUse->next())
        replaced.insert(outOfUse->text(0));
    for (auto it = entries->begin(); it != entries->end(); ++it) {
        const QString away = it->station == file.station() ? QString() : elsewhere(logs, *it);
        if (!away.isEmpty()) {
            report.notes << away;
            continue;
        }
        ++report.logs;
        const auto fault = faultOf(logs, it->body, replaced.contains(it.key()));
        if (!fault)
            return fault.error();
        if (!fault->isEmpty())
            found(*fault);
    }
    auto stored =
        query(file.db().connection(),
              u"SELECT uuid, file_name FROM log_file WHERE id NOT IN (SELECT file FROM log_in_making)"_s);
    if (!stored)
        return stored.error();
    while (stored->next()) {
        if (!entries->contains(stored->text(0)))
            found(u"The log %1 is in the sensor log without an entry in the ledger."_s.arg(stored->text(1)));
    }
    return {};
}

} // namespace holdfast
