// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/received_logs.h"

#include "dive/readers.h"
#include "handoff/bag_table.h"
#include "handoff/safe_cell.h"

#include <QSet>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

const QString tablePath = QStringLiteral("data/tables/log_files.csv");

Error incomplete(const QString &why)
{
    return fail(ErrorKind::Refused, QStringLiteral("The package was refused: it is not whole: %1").arg(why));
}

/// What log_files.csv says of one log; empty paths where another station has it.
struct Place {
    QString raw, values;
};

Result<QHash<QString, Place>> readPlaces(const BagSource &source)
{
    const auto table = readBagTable(source, tablePath);
    if (!table)
        return table.error().kind == ErrorKind::NotFound ? incomplete(table.error().sentence) : table.error();
    const qsizetype log = table->column(q("log"));
    const qsizetype raw = table->column(q("raw_file"));
    const qsizetype values = table->column(q("stored_values"));
    if (log < 0 || raw < 0 || values < 0)
        return fail(ErrorKind::Malformed,
                    QStringLiteral("%1 needs the columns log, raw_file and stored_values.").arg(tablePath));
    QHash<QString, Place> places;
    for (const QStringList &row : table->rows)
        places.insert(fromSafeCell(row.value(log)),
                      {fromSafeCell(row.value(raw)), fromSafeCell(row.value(values))});
    return places;
}

bool isFile(const BagSource &source, const QString &path)
{
    const BagEntry *const entry = source.find(path);
    return entry && !entry->folder;
}

/// Raw logs that no row names, recordings whose text is there and whose values are not.
Done checkNothingIsLeftOver(const BagSource &source, const QHash<QString, Place> &places)
{
    const QString rawFolder = q("data/logs/raw/");
    const QString textFolder = q("data/logs/received/");
    QSet<QString> named;
    for (const Place &p : places)
        named.insert(p.raw);
    for (const BagEntry &e : source.entries()) {
        if (e.folder)
            continue;
        if (e.path.startsWith(rawFolder) && !named.contains(e.path))
            return incomplete(QStringLiteral("no row of %1 names the log %2.").arg(tablePath, e.path));
        if (!e.path.startsWith(textFolder) || !e.path.endsWith(q(".txt")))
            continue;
        const QString values =
            q("data/logs/values/") + e.path.mid(textFolder.size()).chopped(4) + q(".received");
        if (!isFile(source, values))
            return incomplete(QStringLiteral("%1 is there and %2 is missing.").arg(e.path, values));
    }
    return {};
}

} // namespace

Done checkLogsAreWhole(const BagSource &source, const Database &db)
{
    const auto dives = readDives(db);
    if (!dives)
        return dives.error();
    QHash<QString, Place> places;
    bool read = false;
    for (const DiveInfo &dive : *dives) {
        const auto intakes = readIntakes(db, dive.number);
        if (!intakes)
            return intakes.error();
        for (const IntakeInfo &log : *intakes) {
            if (!read) {
                auto table = readPlaces(source);
                if (!table)
                    return table.error();
                places = std::move(*table);
                read = true;
            }
            const auto place = places.constFind(log.uuid);
            if (place == places.constEnd())
                return incomplete(
                    QStringLiteral("%1 does not tell of the log %2 of dive %3, which the ledger "
                                   "tells of.")
                        .arg(tablePath, log.fileName)
                        .arg(dive.number));
            for (const QString &path : {place->raw, place->values}) {
                if (!path.isEmpty() && !isFile(source, path))
                    return incomplete(QStringLiteral("%1 is missing (%2, log %3 of dive %4).")
                                          .arg(path, tablePath, log.fileName)
                                          .arg(dive.number));
            }
            if (place->raw.isEmpty() != place->values.isEmpty())
                return incomplete(QStringLiteral("%1 gives the log %2 of dive %3 a raw file or values alone.")
                                      .arg(tablePath, log.fileName)
                                      .arg(dive.number));
        }
    }
    return checkNothingIsLeftOver(source, places);
}

} // namespace holdfast
