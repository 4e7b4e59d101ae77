// SPDX-License-Identifier: GPL-3.0-or-later
#include "exchange/station_list.h"

#include "exchange/exchange_file.h"
#include "ledger/ledger_store.h"
#include "store/sql.h"

#include <QDir>
#include <algorithm>

namespace holdfast
{

qint64 StationState::lacksInAll() const
{
    qint64 all = 0;
    for (const qint64 of : lacks)
        all += of;
    return all;
}

Result<std::vector<StationState>> readStations(const Database &db, const QString &own)
{
    const auto heads = chainHeads(db);
    if (!heads)
        return heads.error();
    auto rows = query(db.connection(),
                      QStringLiteral("SELECT s.name, s.public_key, s.numbers_from, (SELECT l.time_us FROM "
                                     "ledger l WHERE l.station=s.name ORDER BY l.seq DESC LIMIT 1) FROM "
                                     "station s ORDER BY s.name<>?, s.name"),
                      {own});
    if (!rows)
        return rows.error();
    std::vector<StationState> all;
    while (rows->next()) {
        StationState s{rows->text(0),
                       rows->text(1),
                       rows->integer(2),
                       rows->text(0) == own,
                       heads->value(rows->text(0)).seq,
                       {},
                       {}};
        if (!rows->isNull(3))
            s.lastEntry = utcFromMicroseconds(rows->integer(3));
        all.push_back(std::move(s));
    }
    for (StationState &s : all) {
        if (s.here)
            continue;
        const auto known = entriesKnownTo(db, s.name);
        if (!known)
            return known.error();
        for (const ChainHead &head : *heads) {
            const qint64 missing = head.seq - known->value(head.station, 0);
            if (head.station != s.name && missing > 0)
                s.lacks.insert(head.station, missing);
        }
    }
    return all;
}

qint64 knownHereOnly(const std::vector<StationState> &stations)
{
    const auto own = std::find_if(stations.begin(), stations.end(), [](const auto &s) { return s.here; });
    if (own == stations.end() || stations.size() < 2)
        return 0;
    qint64 least = own->entries;
    for (const StationState &s : stations) {
        if (!s.here)
            least = std::min(least, s.lacks.value(own->name, 0));
    }
    return least;
}

QString exchangeFileName(const QString &cruiseCode, const QString &station)
{
    return QStringLiteral("%1-%2.hfx").arg(cruiseCode, station);
}

Result<QStringList> exchangeFilesOfOthers(const QString &folder, const QString &cruiseCode,
                                          const QString &own)
{
    const QDir dir(folder);
    if (folder.trimmed().isEmpty() || !dir.exists())
        return fail(ErrorKind::NotFound, QStringLiteral("There is no folder %1.").arg(folder));
    QStringList paths;
    for (const QString &name : dir.entryList({exchangeFileName(cruiseCode, QStringLiteral("*"))},
                                             QDir::Files | QDir::Readable, QDir::Name)) {
        if (name != exchangeFileName(cruiseCode, own))
            paths << dir.filePath(name);
    }
    return paths;
}

} // namespace holdfast
