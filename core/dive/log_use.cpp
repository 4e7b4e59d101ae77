// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/log_use.h"

#include "dive/act_steps.h"
#include "dive/verbs.h"
#include "store/sensor_log.h"

#include <algorithm>

namespace holdfast
{

namespace
{

QString s(const char *text)
{
    return QString::fromLatin1(text);
}

/// What stands in place of the log that took its place when nothing did.
const QString noOther = s("out of use");

Result<IntakeInfo> logNamed(const std::vector<IntakeInfo> &all, int dive, const QString &typed)
{
    const QString named = typed.trimmed();
    std::vector<IntakeInfo> found;
    QStringList names;
    for (const IntakeInfo &log : all) {
        names << log.fileName;
        const bool begins = named.size() >= 8 &&
                            (log.sha256.startsWith(named.toLower()) || log.uuid.startsWith(named.toLower()));
        if (log.fileName == named || begins)
            found.push_back(log);
    }
    if (found.empty())
        return fail(ErrorKind::NotFound, QStringLiteral("Dive %1 has no log \"%2\"; there are: %3.")
                                             .arg(dive)
                                             .arg(named, names.isEmpty() ? s("none") : names.join(s(", "))));
    if (found.size() > 1)
        return fail(ErrorKind::Duplicate,
                    QStringLiteral("%1 logs of dive %2 are called \"%3\"; name it by the "
                                   "beginning of its SHA-256.")
                        .arg(found.size())
                        .arg(dive)
                        .arg(named));
    return found.front();
}

/// All versions of a log, itself too: those it corrects, those that correct it, and so on.
Result<QSet<QString>> versionsOf(const Database &db, const QString &uuid)
{
    std::vector<std::pair<QString, QString>> corrections;
    const auto read = forEachEntryWith(db, {verb::logTakenIn}, [&corrections](const Entry &e) -> Done {
        const QJsonObject b = e.bodyObject();
        if (const QString earlier = b.value(s("replaces")).toString(); !earlier.isEmpty())
            corrections.emplace_back(earlier, b.value(s("intake")).toString());
        return {};
    });
    if (!read)
        return read.error();
    QSet<QString> versions{uuid};
    for (bool grown = true; grown;) {
        grown = false;
        for (const auto &[earlier, later] : corrections) {
            if (versions.contains(earlier) == versions.contains(later))
                continue;
            versions << earlier << later;
            grown = true;
        }
    }
    return versions;
}

Done recordUse(CruiseFile &file, const Act &act, const QString &intake, bool inUse, const QString &reason)
{
    // A log that another station took in may not be here; the entry holds all the same.
    const auto here = SensorLogReader(file.db().connection()).fileOf(intake);
    if (here) {
        if (auto done = SensorLogWriter(file.db().connection()).setInUse(intake, inUse); !done)
            return done;
    } else if (here.error().kind != ErrorKind::NotFound) {
        return here.error();
    }
    const auto entry = file.record(act, verb::logUseChanged,
                                   {{s("intake"), intake}, {s("inUse"), inUse}, {s("reason"), reason}});
    return entry ? Done() : Done(entry.error());
}

Done logUseChanged(const Database &db, const Entry &e)
{
    const QJsonObject b = e.bodyObject();
    const bool inUse = b.value(s("inUse")).toBool();
    return execSql(db.connection(), s("UPDATE intake SET replaced_by=? WHERE uuid=?"),
                   {inUse ? QVariant(QMetaType(QMetaType::QString)) : QVariant(noOther),
                    b.value(s("intake")).toString()});
}

} // namespace

Result<IntakeInfo> setLogUse(CruiseFile &file, const Act &act, int dive, const QString &named, bool inUse,
                             const QString &reason)
{
    if (auto given = wantReason(reason); !given)
        return given.error();
    return file.write([&]() -> Result<IntakeInfo> {
        if (auto known = readDive(file.db(), dive); !known)
            return known.error();
        const auto all = readIntakes(file.db(), dive);
        if (!all)
            return all.error();
        auto log = logNamed(*all, dive, named);
        if (!log)
            return log;
        if (log->replaced == !inUse)
            return fail(ErrorKind::Refused, QStringLiteral("%1 is %2 already.")
                                                .arg(log->fileName, inUse ? s("in use") : s("out of use")));
        if (inUse) {
            const auto versions = versionsOf(file.db(), log->uuid);
            if (!versions)
                return versions.error();
            for (const IntakeInfo &other : *all) {
                if (other.replaced || !versions->contains(other.uuid))
                    continue;
                if (auto done = recordUse(file, act, other.uuid, false, reason.trimmed()); !done)
                    return done.error();
            }
        }
        if (auto done = recordUse(file, act, log->uuid, inUse, reason.trimmed()); !done)
            return done.error();
        log->replaced = !inUse;
        return log;
    });
}

Result<QSet<QString>> correctedLogs(const Database &db, int dive)
{
    auto rows =
        query(db.connection(),
              s("SELECT i.uuid FROM intake i JOIN intake o ON o.uuid=i.replaced_by WHERE i.dive=?"), {dive});
    if (!rows)
        return rows.error();
    QSet<QString> logs;
    while (rows->next())
        logs << rows->text(0);
    return logs;
}

VerbRules logUseVerbRules()
{
    return {{verb::logUseChanged, logUseChanged}};
}

} // namespace holdfast
