// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/sql.h"

#include "store/kept_statements.h"

#include <QFileInfo>
#include <optional>
#include <sqlite3.h>
#include <utility>

namespace holdfast
{

Error sqlError(const QSqlError &error, const QString &path, const QString &doing)
{
    bool isNumber = false;
    const int code = error.nativeErrorCode().toInt(&isNumber);
    const QString name = QFileInfo(path).fileName();
    const auto said = [&](ErrorKind kind, const char *sentence) {
        return fail(kind, QStringLiteral("%1: %2 failed. %3").arg(name, doing, QString::fromUtf8(sentence)));
    };
    switch (isNumber ? code & 0xff : -1) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return said(ErrorKind::Busy,
                    "Another program holds the cruise file locked. Close it there, or wait until it "
                    "has finished, and try again.");
    case SQLITE_READONLY:
    case SQLITE_PERM:
        return said(ErrorKind::Unwritable,
                    "The cruise file is read-only. Allow writing to it, or work on a copy.");
    case SQLITE_FULL:
        return said(ErrorKind::Unwritable,
                    "The disk is full. Free some space and do it again; what was saved before "
                    "is safe.");
    case SQLITE_CANTOPEN:
        return said(ErrorKind::Unreadable, "The file could not be opened.");
    case SQLITE_NOTADB:
    case SQLITE_CORRUPT:
        return said(ErrorKind::Malformed,
                    "The file is damaged or not a cruise file. Work from the last copy and keep "
                    "this one for repair.");
    case SQLITE_IOERR:
        return said(ErrorKind::Unreadable,
                    "The disk reported a read or write error. Check the disk, then try again.");
    case SQLITE_CONSTRAINT:
        return fail(ErrorKind::Duplicate, QStringLiteral("%1: %2 failed. %3").arg(name, doing, error.text()));
    default:
        return fail(ErrorKind::Internal, QStringLiteral("%1: %2 failed. %3").arg(name, doing, error.text()));
    }
}

Result<Statement> Statement::prepare(const QSqlDatabase &connection, const QString &sql)
{
    QSqlQuery q(connection);
    q.setForwardOnly(true);
    if (!q.prepare(sql))
        return sqlError(q.lastError(), connection.databaseName(), QStringLiteral("reading"));
    return Statement(std::move(q), connection.databaseName());
}

namespace
{
thread_local std::optional<Error> readFault;
}

Done takeReadFault()
{
    const auto fault = std::exchange(readFault, std::nullopt);
    return fault ? Done(*fault) : Done();
}

bool Statement::next()
{
    if (m_query.next())
        return true;
    if (!readFault && m_query.lastError().isValid())
        readFault = sqlError(m_query.lastError(), m_path, QStringLiteral("reading"));
    return false;
}

Done Statement::run(std::initializer_list<QVariant> values)
{
    return run(QVariantList(values));
}

Done Statement::run(const QVariantList &values)
{
    m_query.finish();
    for (qsizetype i = 0; i < values.size(); ++i)
        m_query.bindValue(static_cast<int>(i), values.at(i));
    if (!m_query.exec())
        return sqlError(m_query.lastError(), m_path, QStringLiteral("reading or saving"));
    return {};
}

Statement::Statement(Statement &&other) noexcept
    : m_query(std::move(other.m_query)), m_path(std::move(other.m_path)),
      m_connection(std::exchange(other.m_connection, QString())), m_sql(std::move(other.m_sql))
{
}

Statement &Statement::operator=(Statement &&other) noexcept
{
    if (this != &other) {
        giveBack();
        m_query = std::move(other.m_query);
        m_path = std::move(other.m_path);
        m_connection = std::exchange(other.m_connection, QString());
        m_sql = std::move(other.m_sql);
    }
    return *this;
}

Statement::~Statement()
{
    giveBack();
}

void Statement::giveBack()
{
    if (!m_connection.isEmpty())
        giveStatement(m_connection, m_sql, std::move(m_query));
    m_connection.clear();
}

Result<Statement> query(const QSqlDatabase &connection, const QString &sql,
                        std::initializer_list<QVariant> values)
{
    auto statement = [&]() -> Result<Statement> {
        auto kept = takeStatement(connection.connectionName(), sql);
        // Another number of values is a fault of ours that only a fresh statement tells.
        if (kept && kept->boundValues().size() == static_cast<qsizetype>(values.size()))
            return Statement(std::move(*kept), connection.databaseName());
        return Statement::prepare(connection, sql);
    }();
    if (!statement)
        return statement;
    statement->m_connection = connection.connectionName();
    statement->m_sql = sql;
    if (auto ran = statement->run(values); !ran)
        return ran.error();
    return statement;
}

Done execSql(const QSqlDatabase &connection, const QString &sql, std::initializer_list<QVariant> values)
{
    auto ran = query(connection, sql, values);
    if (!ran)
        return ran.error();
    return {};
}

Result<Transaction> Transaction::begin(const QSqlDatabase &connection)
{
    QSqlQuery q(connection);
    readFault.reset();
    if (!q.exec(QStringLiteral("BEGIN IMMEDIATE")))
        return sqlError(q.lastError(), connection.databaseName(), QStringLiteral("saving"));
    return Transaction(connection);
}

Transaction::Transaction(Transaction &&other) noexcept
    : m_connection(std::move(other.m_connection)), m_open(std::exchange(other.m_open, false))
{
}

Transaction::~Transaction()
{
    if (m_open)
        QSqlQuery(m_connection).exec(QStringLiteral("ROLLBACK"));
}

Done Transaction::commit()
{
    if (auto read = takeReadFault(); !read)
        return read;
    QSqlQuery q(m_connection);
    if (!q.exec(QStringLiteral("COMMIT")))
        return sqlError(q.lastError(), m_connection.databaseName(), QStringLiteral("saving"));
    m_open = false;
    return {};
}

} // namespace holdfast
