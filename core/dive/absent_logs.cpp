// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/absent_logs.h"

#include "dive/verbs.h"
#include "store/sql.h"

namespace holdfast
{

namespace
{

QString wordFor(const QStringList &stations)
{
    return stations.isEmpty() ? QString()
                              : QStringLiteral("log at %1").arg(stations.join(QStringLiteral(", ")));
}

QString reasonFor(const QString &kind, const QStringList &stations)
{
    return QStringLiteral(
               "The %1 log is at station %2: logs do not travel between stations. Take the same log "
               "file in here, too, or look there.")
        .arg(kind, stations.join(QStringLiteral(", ")));
}

} // namespace

QString AbsentLogs::positionWord() const
{
    return wordFor(positionAt);
}

QString AbsentLogs::ctdWord() const
{
    return wordFor(ctdAt);
}

void AbsentLogs::explain(NavFix &fix) const
{
    if (fix.flag == FixFlag::NoFix && !positionAt.isEmpty())
        fix.reason = reasonFor(QStringLiteral("position"), positionAt);
}

QString AbsentLogs::whyNoWater(QcFlag flag) const
{
    return flag == QcFlag::Missing && !ctdAt.isEmpty() ? reasonFor(QStringLiteral("CTD"), ctdAt) : QString();
}

Result<AbsentLogs> absentLogs(const Database &db, int dive)
{
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT DISTINCT i.kind, l.station FROM intake i JOIN ledger l ON "
                             "l.verb=? AND json_extract(l.body, '$.intake')=i.uuid WHERE i.dive=? AND "
                             "i.replaced_by IS NULL AND NOT EXISTS (SELECT 1 FROM log_file f WHERE "
                             "f.uuid=i.uuid) ORDER BY l.station"),
              {verb::logTakenIn, dive});
    if (!rows)
        return rows.error();
    AbsentLogs absent;
    while (rows->next()) {
        const bool places =
            rows->text(0) == QLatin1String("position") || rows->text(0) == QLatin1String("acoustic");
        if (places && !absent.positionAt.contains(rows->text(1)))
            absent.positionAt << rows->text(1);
        if (rows->text(0) == QLatin1String("ctd"))
            absent.ctdAt << rows->text(1);
    }
    return absent;
}

} // namespace holdfast
