// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/schema.h"

#include "store/sql.h"

#include <QFile>

namespace holdfast
{

Result<int> userVersion(const QSqlDatabase &connection)
{
    auto row = query(connection, QStringLiteral("PRAGMA user_version"));
    if (!row)
        return row.error();
    if (!row->next())
        return fail(ErrorKind::Internal, QStringLiteral("The file gives no schema version."));
    return static_cast<int>(row->integer(0));
}

int schemaVersion()
{
    return schemaSteps().back().to;
}

Done upgradeSchema(const QSqlDatabase &connection, int from, std::span<const SchemaStep> steps)
{
    for (const SchemaStep &step : steps) {
        if (step.to <= from)
            continue;
        auto transaction = Transaction::begin(connection);
        if (!transaction)
            return transaction.error();
        // Another program may have done this step while we waited for the lock.
        const auto now = userVersion(connection);
        if (!now)
            return now.error();
        if (*now >= step.to)
            continue;
        for (const char *sql : step.statements) {
            if (auto ran = execSql(connection, QString::fromUtf8(sql)); !ran)
                return ran.error().whileDoing(
                    QStringLiteral("Schema step %1 (%2)").arg(step.to).arg(QString::fromUtf8(step.why)));
        }
        for (const QString &pragma : {QStringLiteral("PRAGMA user_version=%1").arg(step.to),
                                      QStringLiteral("PRAGMA application_id=%1").arg(applicationId)}) {
            if (auto ran = execSql(connection, pragma); !ran)
                return ran;
        }
        if (auto ended = transaction->commit(); !ended)
            return ended;
    }
    return {};
}

Done keepCopyBeforeUpgrade(const QSqlDatabase &connection, const QString &path, int version)
{
    QString copy = QStringLiteral("%1.before-schema-%2").arg(path).arg(version + 1);
    for (int i = 2; QFile::exists(copy); ++i)
        copy = QStringLiteral("%1.before-schema-%2.%3").arg(path).arg(version + 1).arg(i);
    // VACUUM INTO writes one consistent file, with what still sits in the write-ahead log.
    auto done = execSql(connection, QStringLiteral("VACUUM INTO ?"), {copy});
    if (done)
        return {};
    QFile::remove(copy);
    return done.error().whileDoing(QStringLiteral("Keeping the copy %1 before the upgrade").arg(copy));
}

} // namespace holdfast
