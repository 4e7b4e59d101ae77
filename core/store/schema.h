// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QSqlDatabase>
#include <span>

namespace holdfast
{

/// Marks an SQLite file as a cruise file (PRAGMA application_id): the letters "HFC1".
inline constexpr quint32 applicationId = 0x48464331;

/// One step of the schema: brings a file from version `to - 1` to `to`.
/// A step that has been released is never changed; a new need is a new step.
struct SchemaStep {
    int to;
    const char *why;
    std::span<const char *const> statements;
};

/// All steps, in order; the last one's `to` is the version of this program.
[[nodiscard]] std::span<const SchemaStep> schemaSteps();
[[nodiscard]] int schemaVersion();

/// The version a file has (PRAGMA user_version).
[[nodiscard]] Result<int> userVersion(const QSqlDatabase &connection);

/// Runs every step after `from`, each in a transaction of its own together with its version number, so that a
/// file is never between two versions.
[[nodiscard]] Done upgradeSchema(const QSqlDatabase &connection, int from,
                                 std::span<const SchemaStep> steps = schemaSteps());

/// Puts a complete copy beside the file ("<path>.before-schema-<n>", with a number behind it when that name
/// is taken).
[[nodiscard]] Done keepCopyBeforeUpgrade(const QSqlDatabase &connection, const QString &path, int version);

} // namespace holdfast
