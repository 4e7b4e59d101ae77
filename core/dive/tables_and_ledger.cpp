// SPDX-License-Identifier: GPL-3.0-or-later

// The tables beside the ledger: made anew from it, and compared with what it makes of them.

#include "dive/cruise_file.h"
#include "dive/replay.h"
#include "dive/station_row.h"

namespace holdfast
{

namespace
{

/// The projection tables, those that others point to first; with what names a row for people.
struct TableName {
    QString name;
    QString key;
};

/// Every table that a schema step made and that is no part of the record itself of the sensor log or of the
/// index for finding.
Result<std::vector<TableName>> projectionTables(const Database &db)
{
    auto rows = query(db.connection(),
                      QStringLiteral("SELECT name FROM sqlite_master WHERE type='table' ORDER BY rowid"));
    if (!rows)
        return rows.error();
    std::vector<TableName> tables;
    while (rows->next()) {
        const QString name = rows->text(0);
        if (name == QLatin1String("installation") || name.startsWith(QStringLiteral("ledger")) ||
            name.startsWith(QStringLiteral("log_")) || name.startsWith(QStringLiteral("find_")) ||
            name.startsWith(QStringLiteral("sqlite_")))
            continue;
        auto columns = query(
            db.connection(),
            QStringLiteral("SELECT name FROM pragma_table_info('%1') ORDER BY pk=0, pk, cid").arg(name));
        if (!columns)
            return columns.error();
        if (columns->next())
            tables.push_back({name, columns->text(0)});
    }
    return tables;
}

/// The rows of a table as text, each with its key, in one order. No two rows of a table are the same: each
/// has a primary key.
Result<QMap<QString, QString>> rowsOf(const Database &db, const TableName &table)
{
    auto rows = query(db.connection(), QStringLiteral("SELECT * FROM %1").arg(table.name));
    if (!rows)
        return rows.error();
    auto names =
        query(db.connection(),
              QStringLiteral("SELECT name FROM pragma_table_info('%1') ORDER BY cid").arg(table.name));
    if (!names)
        return names.error();
    QStringList columns;
    while (names->next())
        columns << names->text(0);
    const int key = static_cast<int>(columns.indexOf(table.key));
    QMap<QString, QString> out;
    while (rows->next()) {
        QString text;
        for (int i = 0; i < columns.size(); ++i)
            text += rows->isNull(i)
                        ? QStringLiteral("null\x1f") // no text looks like it: each has its length
                        : QStringLiteral("%1:%2\x1f").arg(rows->text(i).size()).arg(rows->text(i));
        out.insert(rows->text(key) + QLatin1Char('\x1f') + text, text);
    }
    return out;
}

/// Everything that a file of this schema is made of: "table sample" and how it was made.
Result<QMap<QString, QString>> partsOf(const Database &db)
{
    auto rows = query(db.connection(),
                      QStringLiteral("SELECT type || ' ' || name, coalesce(sql, '') FROM sqlite_master "
                                     "WHERE name NOT LIKE 'sqlite_%'"));
    if (!rows)
        return rows.error();
    QMap<QString, QString> parts;
    while (rows->next())
        parts.insert(rows->text(0), rows->text(1));
    return parts;
}

/// A trigger would change the record behind its back; a table without its checks takes what it must not.
Result<QStringList> compareParts(const Database &db, const Database &made)
{
    const auto there = partsOf(db);
    const auto should = partsOf(made);
    if (!there)
        return there.error();
    if (!should)
        return should.error();
    // Indexes and pages that no row was read from are looked at by SQLite itself.
    auto pages = query(db.connection(), QStringLiteral("PRAGMA integrity_check(1)"));
    if (!pages)
        return pages.error();
    QStringList findings;
    if (!pages->next() || pages->text(0) != QLatin1String("ok"))
        findings << QStringLiteral(
            "The file is damaged. Work from the last copy and keep this one for repair.");
    for (auto it = should->begin(); it != should->end(); ++it) {
        if (!there->contains(it.key()))
            findings << QStringLiteral("The file lacks its %1.").arg(it.key());
        else if (there->value(it.key()) != it.value())
            findings << QStringLiteral("The %1 is not made as this program makes it.").arg(it.key());
    }
    for (auto it = there->begin(); it != there->end(); ++it) {
        if (!should->contains(it.key()))
            findings << QStringLiteral("The file holds a %1, which this program did not make.").arg(it.key());
    }
    return findings;
}

/// The station that this copy writes as must have joined, but for a copy that was received from a package:
/// that one takes no entries before it joins.
Result<QStringList> compareStation(const Database &db)
{
    const auto station = stationOf(db);
    if (!station)
        return QStringList{station.error().sentence};
    const auto joined = hasJoined(db, *station);
    if (!joined)
        return joined.error();
    auto received = query(db.connection(), QStringLiteral("SELECT 1 FROM installation WHERE key='received'"));
    if (!received)
        return received.error();
    if (*joined || received->next())
        return QStringList();
    return QStringList{
        QStringLiteral("This copy of the file says it is of station \"%1\", which never joined the cruise.")
            .arg(*station)};
}

} // namespace

Done rebuildInTransaction(const Database &db, const VerbRules &rules, const Progress &progress)
{
    auto tables = projectionTables(db);
    if (!tables)
        return tables.error();
    // Rows that point to others would otherwise dictate the order of deleting.
    if (auto done = execSql(db.connection(), QStringLiteral("PRAGMA defer_foreign_keys=ON")); !done)
        return done;
    for (const TableName &table : *tables) {
        if (auto done = execSql(db.connection(), QStringLiteral("DELETE FROM %1").arg(table.name)); !done)
            return done;
    }
    // From here on a row that points to nothing must be found at once, at the entry that brings it.
    if (auto done = execSql(db.connection(), QStringLiteral("PRAGMA defer_foreign_keys=OFF")); !done)
        return done;
    return replayLedger(db, db, rules, progress);
}

Done rebuildTables(CruiseFile &file)
{
    return file.write([&file] { return rebuildInTransaction(file.db(), file.rules()); });
}

Result<QStringList> compareTablesWithLedger(const Database &db, const VerbRules &rules)
{
    auto memory = Database::inMemory();
    if (!memory)
        return memory.error();
    const auto parts = compareParts(db, *memory);
    if (!parts)
        return parts.error();
    // The index for finding is not compared: keeping it in step would be most of the work.
    auto triggers =
        query(memory->connection(),
              QStringLiteral("SELECT name FROM sqlite_master WHERE type='trigger' AND name GLOB 'find_*'"));
    if (!triggers)
        return triggers.error();
    QStringList unneeded;
    while (triggers->next())
        unneeded << triggers->text(0);
    triggers->reset();
    for (const QString &name : unneeded) {
        if (auto done = execSql(memory->connection(), QStringLiteral("DROP TRIGGER %1").arg(name)); !done)
            return done.error();
    }
    QStringList findings;
    const auto rebuilt = replayLedger(db, *memory, rules);
    if (!rebuilt)
        return QStringList{QStringLiteral("The ledger can't be replayed: %1").arg(rebuilt.error().sentence)};
    findings << *parts;
    auto tables = projectionTables(*memory);
    if (!tables)
        return tables.error();
    for (const TableName &table : *tables) {
        if (parts->contains(QStringLiteral("The file lacks its table %1.").arg(table.name)))
            continue;
        const auto there = rowsOf(db, table);
        const auto should = rowsOf(*memory, table);
        if (!there)
            return there.error();
        if (!should)
            return should.error();
        QStringList different;
        for (auto it = should->begin(); it != should->end(); ++it) {
            if (!there->contains(it.key()))
                different << it.key().section(QLatin1Char('\x1f'), 0, 0);
        }
        for (auto it = there->begin(); it != there->end(); ++it) {
            if (!should->contains(it.key()))
                different << it.key().section(QLatin1Char('\x1f'), 0, 0);
        }
        different.removeDuplicates();
        if (!different.isEmpty())
            findings << QStringLiteral(
                            "Table %1 differs from the ledger at %2%3. Rebuild it from the ledger.")
                            .arg(table.name, different.mid(0, 3).join(QStringLiteral(", ")),
                                 different.size() > 3
                                     ? QStringLiteral(" and %1 more").arg(different.size() - 3)
                                     : QString());
    }
    const auto station = compareStation(db);
    if (!station)
        return station.error();
    return findings << *station;
}

} // namespace holdfast
