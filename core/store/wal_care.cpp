// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/wal_care.h"

namespace holdfast
{

namespace
{

constexpr int usualPages = 1000; ///< SQLite's own default

} // namespace

Done leaveLogToOthers(const QSqlDatabase &connection, bool leave)
{
    return execSql(connection, QStringLiteral("PRAGMA wal_autocheckpoint=%1").arg(leave ? 0 : usualPages));
}

Done shortenLog(const QSqlDatabase &connection)
{
    return execSql(connection, QStringLiteral("PRAGMA wal_checkpoint(PASSIVE)"));
}

} // namespace holdfast
