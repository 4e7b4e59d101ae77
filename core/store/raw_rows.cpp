// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/raw_rows.h"

#include <QSqlDriver>
#include <sqlite3.h>
#include <utility>

namespace holdfast
{

namespace
{

Error failure(sqlite3 *db, int code, const QString &path)
{
    const ErrorKind kind = code == SQLITE_BUSY ? ErrorKind::Busy : ErrorKind::Malformed;
    return fail(kind,
                QStringLiteral("%1 can't be read: %2.").arg(path, QString::fromUtf8(sqlite3_errmsg(db))));
}

int bind(sqlite3_stmt *statement, int at, const QVariant &value)
{
    if (value.typeId() != QMetaType::QString)
        return sqlite3_bind_int64(statement, at, value.toLongLong());
    const QByteArray utf8 = value.toString().toUtf8();
    return sqlite3_bind_text(statement, at, utf8.constData(), static_cast<int>(utf8.size()),
                             SQLITE_TRANSIENT); // NOLINT: the macro's own cast
}

} // namespace

Result<sqlite3 *> sqliteHandle(const QSqlDatabase &connection)
{
    const QVariant handle = connection.driver()->handle();
    if (!handle.isValid() || qstrcmp(handle.typeName(), "sqlite3*") != 0)
        return fail(ErrorKind::Internal, QStringLiteral("This needs an open SQLite connection."));
    return *static_cast<sqlite3 *const *>(handle.data());
}

Result<RawRows> RawRows::select(const QSqlDatabase &connection, const QString &sql,
                                std::initializer_list<QVariant> values)
{
    const auto db = sqliteHandle(connection);
    if (!db)
        return db.error();
    sqlite3_stmt *statement = nullptr;
    const QByteArray utf8 = sql.toUtf8();
    int code = sqlite3_prepare_v2(*db, utf8.constData(), static_cast<int>(utf8.size()), &statement, nullptr);
    RawRows rows(statement, connection.databaseName());
    int at = 0;
    for (const QVariant &value : values) {
        if (code == SQLITE_OK)
            code = bind(statement, ++at, value);
    }
    if (code != SQLITE_OK)
        return failure(*db, code, rows.m_path);
    return rows;
}

RawRows::RawRows(RawRows &&other) noexcept
    : m_statement(std::exchange(other.m_statement, nullptr)), m_path(std::move(other.m_path))
{
}

RawRows::~RawRows()
{
    sqlite3_finalize(m_statement);
}

Result<bool> RawRows::next()
{
    const int code = sqlite3_step(m_statement);
    if (code == SQLITE_ROW)
        return true;
    if (code == SQLITE_DONE)
        return false;
    return failure(sqlite3_db_handle(m_statement), code, m_path);
}

std::string_view RawRows::text(int column) const
{
    const auto *bytes = reinterpret_cast<const char *>(sqlite3_column_text(m_statement, column));
    if (!bytes)
        return {};
    return {bytes, static_cast<std::size_t>(sqlite3_column_bytes(m_statement, column))};
}

qint64 RawRows::integer(int column) const
{
    return sqlite3_column_int64(m_statement, column);
}

Result<bool> insideTransaction(const QSqlDatabase &connection)
{
    const auto db = sqliteHandle(connection);
    if (!db)
        return db.error();
    return sqlite3_get_autocommit(*db) == 0;
}

} // namespace holdfast
