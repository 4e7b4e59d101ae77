// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/private_copy.h"

#include "store/raw_rows.h"
#include "store/schema.h"

#include <QDateTime>
#include <QFileInfo>
#include <QHash>
#include <QTemporaryDir>
#include <QUuid>
#include <mutex>
#include <sqlite3.h>

namespace holdfast
{

namespace
{

using CopyPtr = std::shared_ptr<const PrivateCopy>;

/// What may be shared, and who reads what.
struct Copies {
    std::mutex mutex;
    QHash<QString, std::weak_ptr<const PrivateCopy>> byState;
    QHash<QString, CopyPtr> byConnection;
};

Copies &copies()
{
    static Copies all;
    return all;
}

/// Changes when the file does, or the log of commits that are not in it yet.
QString stateOf(const QString &path)
{
    QString state = QFileInfo(path).canonicalFilePath();
    for (const char *tail : {"", "-wal"}) {
        const QFileInfo info(path + QLatin1String(tail));
        state += QStringLiteral("|%1|%2")
                     .arg(info.size())
                     .arg(info.exists() ? info.lastModified().toMSecsSinceEpoch() : 0);
    }
    return state;
}

Done copyPages(const QSqlDatabase &from, const QSqlDatabase &to, const QString &path)
{
    const auto source = sqliteHandle(from);
    const auto target = sqliteHandle(to);
    if (!source)
        return source.error();
    if (!target)
        return target.error();
    int code = SQLITE_ERROR;
    if (sqlite3_backup *backup = sqlite3_backup_init(*target, "main", *source, "main")) {
        // in one step, so that no other program writes in between
        sqlite3_backup_step(backup, -1);
        code = sqlite3_backup_finish(backup);
    }
    if (code == SQLITE_OK)
        return {};
    const QString why = QString::fromUtf8(sqlite3_errstr(code));
    return fail(
        code == SQLITE_BUSY || code == SQLITE_LOCKED ? ErrorKind::Busy : ErrorKind::Unwritable,
        QStringLiteral("%1 has an older schema and is read through a copy, which could not be made (%2). "
                       "The copy needs as much room in the folder for temporary files as the file has.")
            .arg(path, why));
}

} // namespace

PrivateCopy::PrivateCopy(std::unique_ptr<QTemporaryDir> folder, int version)
    : m_folder(std::move(folder)), m_version(version)
{
}

PrivateCopy::~PrivateCopy() = default;

QString PrivateCopy::path() const
{
    return m_folder->filePath(QStringLiteral("upgraded.hfc"));
}

Result<CopyPtr> PrivateCopy::of(const QSqlDatabase &original, const QString &path, int version)
{
    const std::lock_guard guard(copies().mutex);
    const QString state = stateOf(path);
    if (CopyPtr shared = copies().byState.value(state).lock())
        return shared;
    auto folder = std::make_unique<QTemporaryDir>();
    if (!folder->isValid())
        return fail(
            ErrorKind::Unwritable,
            QStringLiteral("%1 has an older schema and is read through a copy, but no folder for it could "
                           "be made: %2.")
                .arg(path, folder->errorString()));
    const CopyPtr made(new PrivateCopy(std::move(folder), version));
    const QString name = QStringLiteral("copy-") + QUuid::createUuid().toString(QUuid::Id128);
    const auto filled = [&]() -> Done {
        QSqlDatabase connection = QSqlDatabase::addDatabase(QStringLiteral("QSQLITE"), name);
        connection.setDatabaseName(made->path());
        if (!connection.open())
            return sqlError(connection.lastError(), made->path(), QStringLiteral("opening"));
        if (auto done = copyPages(original, connection, path); !done)
            return done;
        // It can be made again at any time: nothing in it has to survive a power cut.
        for (const char *pragma : {"journal_mode=DELETE", "synchronous=OFF", "foreign_keys=ON"}) {
            if (auto done = execSql(connection, QStringLiteral("PRAGMA ") + QLatin1String(pragma)); !done)
                return done;
        }
        if (auto done = upgradeSchema(connection, version); !done)
            return done.error().whileDoing(
                QStringLiteral("Reading %1, which has the older schema %2, through an "
                               "upgraded copy")
                    .arg(path)
                    .arg(version));
        connection.close();
        return {};
    }();
    QSqlDatabase::removeDatabase(name);
    if (!filled)
        return filled.error();
    copies().byState.insert(state, made);
    return made;
}

void PrivateCopy::hold(const QString &connection, CopyPtr copy)
{
    const std::lock_guard guard(copies().mutex);
    copies().byConnection.insert(connection, std::move(copy));
}

void PrivateCopy::release(const QString &connection)
{
    CopyPtr last; // its folder is removed after the lock is given back
    const std::lock_guard guard(copies().mutex);
    last = copies().byConnection.take(connection);
}

std::optional<int> PrivateCopy::schemaOfFile(const QSqlDatabase &connection)
{
    const std::lock_guard guard(copies().mutex);
    const CopyPtr copy = copies().byConnection.value(connection.connectionName());
    return copy ? std::optional(copy->m_version) : std::nullopt;
}

} // namespace holdfast
