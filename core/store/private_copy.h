// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QSqlDatabase>
#include <QString>
#include <memory>
#include <optional>

class QTemporaryDir;

namespace holdfast
{

/// A copy of a cruise file of an earlier schema, brought to the current one, so that the file can be read
/// while not a byte of it is touched. Lies in a folder of its own that only this account can read, and goes
/// with the last connection that reads it. Any thread.
class PrivateCopy
{
public:
    /// Of what `original` has open at `path`: page by page, so that damage is found in the copy as in the
    /// file. One copy serves all connections of this process while the file stays as it is. Errors: no room,
    /// a file that can't be upgraded; the sentence says what to do.
    [[nodiscard]] static Result<std::shared_ptr<const PrivateCopy>> of(const QSqlDatabase &original,
                                                                       const QString &path, int version);
    ~PrivateCopy();
    PrivateCopy(const PrivateCopy &) = delete;
    PrivateCopy &operator=(const PrivateCopy &) = delete;

    [[nodiscard]] QString path() const;

    /// Keeps the copy until release() for the connection that reads it.
    static void hold(const QString &connection, std::shared_ptr<const PrivateCopy> copy);
    static void release(const QString &connection);

    /// The schema of the cruise file itself, when this connection reads a copy of it.
    [[nodiscard]] static std::optional<int> schemaOfFile(const QSqlDatabase &connection);

private:
    PrivateCopy(std::unique_ptr<QTemporaryDir> folder, int version);
    std::unique_ptr<QTemporaryDir> m_folder;
    int m_version;
};

} // namespace holdfast
