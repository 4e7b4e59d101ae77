// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/cruise_file.h"

#include "base/ids.h"
#include "dive/one_line.h"
#include "dive/verbs.h"
#include "ledger/signature.h"

#include <QFile>
#include <QRegularExpression>

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

/// The rows of a table as text, each with its key, in one order.
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
            text += rows->isNull(i) ? QStringLiteral("\x1e\x1f") : rows->text(i) + QLatin1Char('\x1f');
        out.insert(rows->text(key) + QLatin1Char('\x1f') + text, text);
    }
    return out;
}

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

} // namespace

Done checkStationName(const QString &name)
{
    static const QRegularExpression good(QStringLiteral("^[\\p{L}\\p{N}][\\p{L}\\p{N} _-]{0,39}\\z"),
                                         QRegularExpression::UseUnicodePropertiesOption);
    if (good.match(name).hasMatch())
        return {};
    return fail(ErrorKind::Usage,
                QStringLiteral(
                    "The station name \"%1\" can't be used: 1 to 40 letters, digits, blanks, - and _, as in "
                    "van, deck or wet lab.")
                    .arg(name));
}

Done checkPersonName(const QString &name)
{
    if (!name.trimmed().isEmpty() && isOneLine(name))
        return {};
    return fail(ErrorKind::Usage,
                QStringLiteral("A person's name is needed: one line, at most 200 characters."));
}

Result<CruiseFile> CruiseFile::create(const QString &path, const QString &cruiseCode, const QString &station,
                                      const Act &act, const VerbRules &rules)
{
    for (const Done &check :
         {checkCruiseCode(cruiseCode), checkStationName(station), checkPersonName(act.person)}) {
        if (!check)
            return check.error();
    }
    auto db = Database::create(path);
    if (!db)
        return db.error();
    CruiseFile file(std::move(*db), station, rules);
    const auto begun = file.write([&]() -> Done {
        if (auto made = file.makeKey(); !made)
            return made;
        if (auto done = execSql(file.db().connection(),
                                QStringLiteral("INSERT INTO installation VALUES ('station', ?)"), {station});
            !done)
            return done;
        auto opened = file.record(act, verb::cruiseOpened,
                                  {{QStringLiteral("code"), cruiseCode},
                                   {QStringLiteral("uuid"), newUuid()},
                                   {QStringLiteral("title"), QString()},
                                   {QStringLiteral("idPattern"), IdPattern::standard().text()}});
        if (!opened)
            return opened.error();
        auto joined = file.record(act, verb::stationJoined,
                                  {{QStringLiteral("name"), station}, {publicKeyName, file.m_publicKey}});
        if (!joined)
            return joined.error();
        return {};
    });
    if (!begun) {
        {
            const CruiseFile closing = std::move(file);
        }
        for (const char *tail : {"", "-wal", "-shm"})
            QFile::remove(path + QLatin1String(tail));
        return begun.error();
    }
    return file;
}

Result<CruiseFile> CruiseFile::open(const QString &path, Database::Access access, const VerbRules &rules)
{
    auto db = Database::open(path, access);
    if (!db)
        return db.error();
    auto station = stationOf(*db);
    if (!station)
        return station.error();
    auto key =
        query(db->connection(), QStringLiteral("SELECT public_key FROM station WHERE name=?"), {*station});
    if (!key)
        return key.error();
    const QString publicKey = key->next() ? key->text(0) : QString();
    key->reset();
    CruiseFile file(std::move(*db), *station, rules);
    file.m_publicKey = publicKey;
    return file;
}

Done CruiseFile::makeKey()
{
    auto made = StationKey::make();
    if (!made)
        return made.error();
    m_key.emplace(std::move(*made));
    m_publicKey = m_key->publicKey();
    m_keyIsNew = true;
    return {};
}

Done CruiseFile::readyKey(const Act &act)
{
    if (m_key)
        return {};
    if (m_publicKey.isEmpty()) {
        // A file from before there were keys: the station announces one with its next entry.
        if (auto made = makeKey(); !made)
            return made;
        const auto announced = append(act, keyAnnouncedVerb, {{publicKeyName, m_publicKey}});
        return announced ? Done() : Done(announced.error());
    }
    auto loaded = StationKey::load(m_publicKey);
    if (loaded) {
        m_key.emplace(std::move(*loaded));
        return {};
    }
    if (loaded.error().kind != ErrorKind::NotFound)
        return loaded.error();
    return fail(
        ErrorKind::Refused,
        QStringLiteral("This file is that of station %1, whose key (%2) is not on this computer under "
                       "this account. Write where the station is, or make this copy a station of its "
                       "own (holdfast station).")
            .arg(m_station, keyMark(m_publicKey)));
}

Done CruiseFile::signRecorded()
{
    if (!m_recorded)
        return {};
    return signHead(m_db, m_station, *m_key);
}

void CruiseFile::discardNewKey()
{
    if (!m_keyIsNew)
        return;
    m_key->discard();
    m_key.reset();
    m_publicKey.clear();
    m_keyIsNew = false;
}

Result<Entry> CruiseFile::record(const Act &act, const QString &verb, const QJsonObject &body)
{
    if (auto named = checkPersonName(act.person); !named)
        return named.error();
    if (auto ready = readyKey(act); !ready)
        return ready.error();
    return append(act, verb, body);
}

Result<Entry> CruiseFile::append(const Act &act, const QString &verb, const QJsonObject &body)
{
    m_recorded = true;
    auto entry = appendEntry(m_db, m_station, {act.person, act.now, verb, body});
    if (!entry)
        return entry;
    if (auto done = project(m_db, *entry, m_rules); !done)
        return done.error();
    return entry;
}

Done project(const Database &db, const Entry &entry, const VerbRules &rules)
{
    const Projector rule = rules.value(entry.verb, nullptr);
    if (rule)
        return rule(db, entry);
    return fail(ErrorKind::Malformed,
                QStringLiteral("Entry %1 of station %2 says \"%3\", which this program does not "
                               "know.")
                    .arg(entry.seq)
                    .arg(entry.station, entry.verb));
}

Done rebuildTables(CruiseFile &file)
{
    return file.write([&file]() -> Done {
        const Database &db = file.db();
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
        return forEachEntry(db, [&](const Entry &entry) { return project(db, entry, file.rules()); });
    });
}

Result<QStringList> compareTablesWithLedger(const Database &db, const VerbRules &rules)
{
    auto memory = Database::inMemory();
    if (!memory)
        return memory.error();
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
    const auto rebuilt = forEachEntry(db, [&](const Entry &entry) { return project(*memory, entry, rules); });
    if (!rebuilt)
        return QStringList{QStringLiteral("The ledger can't be replayed: %1").arg(rebuilt.error().sentence)};
    auto tables = projectionTables(*memory);
    if (!tables)
        return tables.error();
    for (const TableName &table : *tables) {
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
    return findings;
}

Result<QString> ledgerHead(const Database &db)
{
    const auto heads = chainHeads(db);
    if (!heads)
        return heads.error();
    return ledgerHeadHash(*heads);
}

} // namespace holdfast
