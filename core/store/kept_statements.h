// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QSqlQuery>
#include <QString>
#include <optional>

namespace holdfast
{

// Compiled statements that wait to be used again, for each connection that asked for it. SQLite compiles a
// statement in about the time it takes to run ten small ones, triggers included, and the same few hundred
// sentences are said again with every entry. A statement is out of the store while it is in use, so a
// sentence said within itself is compiled a second time. Safe from any thread.

/// From now on the statements of this connection are kept.
void keepStatements(const QString &connectionName);
/// Lets go of them; to be called before the connection is closed, on its thread.
void dropStatements(const QString &connectionName);

/// A waiting statement with this text, or nothing.
[[nodiscard]] std::optional<QSqlQuery> takeStatement(const QString &connectionName, const QString &sql);
/// Lets a statement that has been run wait for its next use. Dropped when it is none of SELECT, INSERT,
/// UPDATE, DELETE, REPLACE and WITH, when it holds large values, or when too many wait. After CREATE, ALTER
/// or DROP all statements of the connection are let go of.
void giveStatement(const QString &connectionName, const QString &sql, QSqlQuery statement);

} // namespace holdfast
