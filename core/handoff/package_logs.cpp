// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/package_logs.h"

#include "dive/readers.h"
#include "handoff/block_stream.h"
#include "handoff/package_paths.h"

#include <QJsonArray>
#include <QJsonObject>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

Result<std::vector<LogFile>> allLogs(const Database &db)
{
    const auto dives = readDives(db);
    if (!dives)
        return dives.error();
    std::vector<LogFile> all;
    for (const DiveInfo &dive : *dives) {
        auto files = SensorLogReader(db.connection()).files(dive.number);
        if (!files)
            return files.error();
        for (LogFile &f : *files)
            all.push_back(std::move(f));
    }
    return all;
}

Done writeRaw(PackageWriter &package, const SensorLogReader &logs, const LogFile &log, const QString &path,
              const JobControl &job)
{
    auto sums = package.finished(path);
    if (!sums) {
        auto file = package.open(path);
        if (!file)
            return file.error();
        auto written = logs.text(log, [&](std::string_view piece) -> Done {
            if (auto on = job.goOn(); !on)
                return on;
            return file->write(piece);
        });
        if (!written)
            return written;
        auto closed = file->close();
        if (!closed)
            return closed.error();
        sums = *closed;
    }
    if (sums->sha256 == log.sha256)
        return {};
    return fail(
        ErrorKind::Tampered,
        QStringLiteral("The log %1 of dive %2 is no longer the file that was taken in: its SHA-256 differs. "
                       "holdfast audit says more.")
            .arg(log.fileName)
            .arg(log.dive));
}

Result<QJsonObject> headOf(const Database &db, const LogFile &log, const QString &raw)
{
    QJsonArray remarks, aside;
    auto said =
        query(db.connection(),
              q("SELECT what, reason, count, first_line FROM log_remark WHERE file=? ORDER BY id"), {log.id});
    if (!said)
        return said.error();
    while (said->next())
        remarks.append(QJsonArray{said->text(0), said->text(1), said->integer(2), said->integer(3)});
    auto kept = query(db.connection(), q("SELECT line, reason, text FROM log_aside WHERE file=? ORDER BY id"),
                      {log.id});
    if (!kept)
        return kept.error();
    while (kept->next())
        aside.append(
            QJsonArray{kept->integer(0), kept->text(1), QString::fromLatin1(kept->blob(2).toBase64())});
    return QJsonObject{{q("uuid"), log.uuid},
                       {q("dive"), log.dive},
                       {q("kind"), nameOf(log.kind)},
                       {q("profile"), log.profile},
                       {q("profileJson"), QString::fromUtf8(log.profileJson)},
                       {q("fileName"), log.fileName},
                       {q("raw"), raw},
                       {q("sha256"), log.sha256},
                       {q("bytes"), log.bytes},
                       {q("rows"), log.rows},
                       {q("firstUs"), qint64{microsecondsOf(log.first)}},
                       {q("lastUs"), qint64{microsecondsOf(log.last)}},
                       {q("columns"), QString::fromLatin1(log.columns)},
                       {q("digest"), log.digest},
                       {q("inUse"), log.inUse},
                       {q("remarks"), remarks},
                       {q("aside"), aside}};
}

Done writeValues(PackageWriter &package, const Database &db, const LogFile &log, const LogPaths &paths,
                 const JobControl &job)
{
    const auto head = headOf(db, log, paths.raw);
    if (!head)
        return head.error();
    return writeBlockFile(
        package, paths.values, *head, db,
        {q("SELECT seq, first_us, last_us, rows, sha256, data FROM log_block WHERE file=? ORDER BY seq"),
         log.id,
         {q("seq"), q("firstUs"), q("lastUs"), q("rows"), q("sha256")},
         q("bytes")},
        false, job);
}

} // namespace

Result<LogTotals> logTotals(const Database &db)
{
    const auto logs = allLogs(db);
    if (!logs)
        return logs.error();
    LogTotals totals;
    for (const LogFile &log : *logs) {
        ++totals.files;
        totals.bytes += log.bytes;
    }
    return totals;
}

Result<QMap<QString, LogPaths>> logPaths(const Database &db)
{
    const auto logs = allLogs(db);
    if (!logs)
        return logs.error();
    QMap<QString, LogPaths> out;
    QMap<int, UniqueNames> names;
    QMap<QByteArray, QString> profiles;
    UniqueNames profileNames;
    for (const LogFile &log : *logs) {
        const QString folder = QStringLiteral("dive-%1/").arg(log.dive, 2, 10, QLatin1Char('0'));
        const QString name = names[log.dive].take(log.fileName);
        if (!profiles.contains(log.profileJson))
            profiles.insert(log.profileJson,
                            q("data/logs/profiles/") + profileNames.take(log.profile + q(".json")));
        out.insert(log.uuid,
                   {q("data/logs/raw/") + folder + name,
                    q("data/logs/values/") + folder + name + q(".blocks"), profiles.value(log.profileJson)});
    }
    return out;
}

Done writeLogs(PackageWriter &package, const Database &db, const JobControl &job)
{
    const auto logs = allLogs(db);
    if (!logs)
        return logs.error();
    const auto paths = logPaths(db);
    if (!paths)
        return paths.error();
    const SensorLogReader reader(db.connection());
    qint64 all = 0;
    qint64 done = 0;
    for (const LogFile &log : *logs)
        all += log.bytes;
    QSet<QString> profilesWritten;
    for (const LogFile &log : *logs) {
        const LogPaths where = paths->value(log.uuid);
        job.tell(QStringLiteral("dive %1, log %2").arg(log.dive).arg(log.fileName),
                 all == 0 ? 1 : static_cast<double>(done) / static_cast<double>(all));
        if (auto raw = writeRaw(package, reader, log, where.raw, job); !raw)
            return raw;
        if (auto values = writeValues(package, db, log, where, job); !values)
            return values;
        if (!profilesWritten.contains(where.profile)) {
            profilesWritten.insert(where.profile);
            if (auto profile = package.add(where.profile, log.profileJson); !profile)
                return profile;
        }
        done += log.bytes;
    }
    return {};
}

} // namespace holdfast
