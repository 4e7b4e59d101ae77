// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/station_row.h"

namespace holdfast
{

Result<QString> stationOf(const Database &db)
{
    auto row = query(db.connection(), QStringLiteral("SELECT value FROM installation WHERE key='station'"));
    if (!row)
        return row.error();
    if (!row->next())
        return fail(
            ErrorKind::Malformed,
            QStringLiteral("%1 does not say which station it belongs to; it was not made by Holdfast or is "
                           "damaged.")
                .arg(db.path()));
    return row->text(0);
}

Result<bool> hasJoined(const Database &db, const QString &station)
{
    auto row = query(db.connection(), QStringLiteral("SELECT count(*) FROM station WHERE name=?"), {station});
    if (!row)
        return row.error();
    return row->next() && row->integer(0) == 1;
}

} // namespace holdfast
