// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "store/sql.h"

#include <string_view>

struct sqlite3;
struct sqlite3_stmt;

namespace holdfast
{

/// A SELECT read row by row as the bytes that are stored, without a copy and without a conversion: for the
/// checks that must see each byte as it is, and for reading millions of rows. Belongs to the thread of its
/// connection, which must outlive it.
class RawRows
{
public:
    /// `values`: whole numbers and texts, bound by position.
    [[nodiscard]] static Result<RawRows> select(const QSqlDatabase &connection, const QString &sql,
                                                std::initializer_list<QVariant> values = {});
    RawRows(RawRows &&other) noexcept;
    RawRows &operator=(RawRows &&) = delete;
    RawRows(const RawRows &) = delete;
    RawRows &operator=(const RawRows &) = delete;
    ~RawRows();

    /// Steps to the next row; false after the last.
    [[nodiscard]] Result<bool> next();
    /// Valid until the next step.
    [[nodiscard]] std::string_view text(int column) const;
    [[nodiscard]] qint64 integer(int column) const;

private:
    RawRows(sqlite3_stmt *statement, QString path) : m_statement(statement), m_path(std::move(path)) {}
    sqlite3_stmt *m_statement = nullptr;
    QString m_path;
};

/// SQLite's own handle of an open connection, for what Qt has no way to say.
[[nodiscard]] Result<sqlite3 *> sqliteHandle(const QSqlDatabase &connection);

/// Whether the connection is inside a transaction, so that other connections see less than it does.
[[nodiscard]] Result<bool> insideTransaction(const QSqlDatabase &connection);

} // namespace holdfast
