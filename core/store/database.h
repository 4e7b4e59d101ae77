// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"
#include "store/sql.h"

#include <QSqlDatabase>
#include <QString>

namespace holdfast
{

/// One connection to a cruise file (SQLite). Belongs to the thread that opened it; each thread opens its own.
/// Every writing connection runs in WAL mode with synchronous=FULL and foreign keys on: what a commit
/// acknowledged survives a power cut.
class Database
{
public:
    enum class Access {
        ReadWrite,
        ReadOnly, ///< never writes a byte of the cruise file, not even an upgrade of its schema
    };

    /// Makes a new, empty file with the current schema. Error Duplicate when anything is already at `path`.
    [[nodiscard]] static Result<Database> create(const QString &path);

    /// Opens a cruise file. Refused with one sentence, and left byte for byte as it was: a missing file, a
    /// folder, an empty file, a file that is no cruise file, one written by a later version, one without
    /// write permission when access is ReadWrite, one that another program has locked. A file of an earlier
    /// schema is upgraded when access is ReadWrite, after a copy was put beside it
    /// ("<name>.before-schema-<n>"); with ReadOnly it is read as it is now, through a copy that is upgraded
    /// (store/private_copy.h).
    [[nodiscard]] static Result<Database> open(const QString &path, Access access);

    /// The current schema in memory: for rebuilding tables and for tests.
    [[nodiscard]] static Result<Database> inMemory();

    Database(Database &&other) noexcept;
    Database &operator=(Database &&other) noexcept;
    Database(const Database &) = delete;
    Database &operator=(const Database &) = delete;
    ~Database();

    [[nodiscard]] const QSqlDatabase &connection() const { return m_connection; }
    [[nodiscard]] QString path() const { return m_path; }
    [[nodiscard]] Access access() const { return m_access; }

    /// How long a write waits for another writer before it gives up with Busy, milliseconds. Default 5000.
    [[nodiscard]] Done setBusyTimeout(int milliseconds);

private:
    Database(QSqlDatabase connection, QString path, Access access)
        : m_connection(std::move(connection)), m_path(std::move(path)), m_access(access)
    {
    }
    [[nodiscard]] static Result<Database> connect(const QString &path, Access access);
    [[nodiscard]] Done configure();
    void close();

    QSqlDatabase m_connection;
    QString m_path;
    Access m_access = Access::ReadOnly;
};

} // namespace holdfast
