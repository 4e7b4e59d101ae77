// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "store/sql.h"

namespace holdfast
{

// SQLite copies the write-ahead log into the file whenever a commit makes it longer than about 4 MB, on the
// connection that commits: a stamp that comes just then waits for two more writes to the disk. While much is
// written another connection does it, on a thread of its own.

/// The connection does not do it any more, or does it again.
[[nodiscard]] Done leaveLogToOthers(const QSqlDatabase &connection, bool leave);

/// Copies what is in the log and in nobody's way; waits for nobody. On a connection that may write.
[[nodiscard]] Done shortenLog(const QSqlDatabase &connection);

} // namespace holdfast
