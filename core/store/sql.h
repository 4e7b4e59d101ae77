// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QSqlDatabase>
#include <QSqlError>
#include <QSqlQuery>
#include <QVariant>
#include <initializer_list>

namespace holdfast
{

/// Turns SQLite's own error code into a kind and a sentence about `path`; the one place where SQL errors are
/// translated. `doing` says what was being done, in words ("saving a stamp").
[[nodiscard]] Error sqlError(const QSqlError &error, const QString &path, const QString &doing);

/// A statement compiled once and run many times, bound by position. Belongs to the thread of its connection.
/// One that query() gave goes back to wait for its next use (store/kept_statements.h).
class Statement
{
public:
    Statement(Statement &&other) noexcept;
    Statement &operator=(Statement &&other) noexcept;
    Statement(const Statement &) = delete;
    Statement &operator=(const Statement &) = delete;
    ~Statement();

    /// Compiles; a fault in our own SQL is an Internal error.
    [[nodiscard]] static Result<Statement> prepare(const QSqlDatabase &connection, const QString &sql);

    /// Binds all values by position and runs. Any earlier result is dropped.
    [[nodiscard]] Done run(std::initializer_list<QVariant> values = {});
    [[nodiscard]] Done run(const QVariantList &values);

    /// Steps to the next row; false after the last, and where the next can't be read: then a read fault is
    /// kept.
    [[nodiscard]] bool next();
    [[nodiscard]] QString text(int column) const { return m_query.value(column).toString(); }
    [[nodiscard]] qint64 integer(int column) const { return m_query.value(column).toLongLong(); }
    [[nodiscard]] double real(int column) const { return m_query.value(column).toDouble(); }
    [[nodiscard]] QByteArray blob(int column) const { return m_query.value(column).toByteArray(); }
    [[nodiscard]] QVariant value(int column) const { return m_query.value(column); }
    [[nodiscard]] bool isNull(int column) const { return m_query.isNull(column); }
    [[nodiscard]] int changed() const { return m_query.numRowsAffected(); }
    /// Frees the read lock that an unfinished SELECT holds.
    void reset() { m_query.finish(); }

private:
    friend Result<Statement> query(const QSqlDatabase &, const QString &, std::initializer_list<QVariant>);
    Statement(QSqlQuery query, QString path) : m_query(std::move(query)), m_path(std::move(path)) {}
    void giveBack();

    QSqlQuery m_query;
    QString m_path;
    QString m_connection, m_sql; ///< to what and as what it goes back; empty when it does not
};

/// A row that can't be read (a damaged page, a failing disk) ends a loop over rows as the last row does. The
/// first such fault is kept for its thread, and whoever answers for the whole read asks for it: a verb at its
/// end, a screen's reading, and a transaction, which does not commit what was decided on half of the rows.
[[nodiscard]] Done takeReadFault();

/// Runs one statement that gives no rows.
[[nodiscard]] Done execSql(const QSqlDatabase &connection, const QString &sql,
                           std::initializer_list<QVariant> values = {});
/// Runs one statement with values and leaves it on its result, before the first row.
[[nodiscard]] Result<Statement> query(const QSqlDatabase &connection, const QString &sql,
                                      std::initializer_list<QVariant> values = {});

/// A write transaction (BEGIN IMMEDIATE, so that it waits for another writer at the start instead of failing
/// in the middle). Rolls back when it goes out of scope uncommitted. Transactions do not nest.
class Transaction
{
public:
    [[nodiscard]] static Result<Transaction> begin(const QSqlDatabase &connection);
    Transaction(Transaction &&other) noexcept;
    Transaction &operator=(Transaction &&) = delete;
    Transaction(const Transaction &) = delete;
    Transaction &operator=(const Transaction &) = delete;
    ~Transaction();

    /// Durable when this returns without an error (WAL, synchronous=FULL). Fails, and changes nothing, when a
    /// row could not be read since it began.
    [[nodiscard]] Done commit();

private:
    explicit Transaction(QSqlDatabase connection) : m_connection(std::move(connection)), m_open(true) {}
    QSqlDatabase m_connection;
    bool m_open = false;
};

} // namespace holdfast
