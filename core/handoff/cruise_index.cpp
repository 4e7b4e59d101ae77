// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/cruise_index.h"

#include "base/ids.h"
#include "custody/tally.h"
#include "handoff/bag_check.h"
#include "handoff/bag_table.h"
#include "handoff/cruise_content.h"
#include "handoff/safe_cell.h"
#include "store/sql.h"

#include <QFileInfo>
#include <cmath>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

constexpr int applicationNumber = 0x48464931; // "HFI1"

// The words stand in a full-text table beside the items, by rowid; blanks and case do not count there.
constexpr const char *schema[] = {
    "CREATE TABLE cruise (code TEXT PRIMARY KEY, version INTEGER NOT NULL, package TEXT NOT NULL) STRICT",
    "CREATE TABLE item (rowid INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, cruise TEXT NOT NULL REFERENCES "
    "cruise "
    "(code), parent TEXT NOT NULL, dive INTEGER NOT NULL, kind TEXT NOT NULL, family TEXT NOT NULL, name "
    "TEXT NOT "
    "NULL, description TEXT NOT NULL, place TEXT NOT NULL, state TEXT NOT NULL, time_us INTEGER, latitude "
    "REAL, "
    "longitude REAL, depth_m REAL) STRICT",
    "CREATE INDEX item_cruise ON item (cruise, id)",
    "CREATE INDEX item_family ON item (family, id)",
    "CREATE INDEX item_time ON item (time_us)",
    "CREATE INDEX item_depth ON item (depth_m)",
    "CREATE INDEX item_place ON item (latitude, longitude)",
    "CREATE VIRTUAL TABLE words USING fts5 (id, kind, name, description, place, content='', "
    "tokenize=\"unicode61 remove_diacritics 2\", prefix='2 3')",
};

QVariant orNull(const std::optional<double> &value)
{
    return value ? QVariant(*value) : QVariant(QMetaType(QMetaType::Double));
}

/// Words as the full-text table asks for them: each quoted, the beginning of a word is enough.
QString matchOf(const QString &words)
{
    QStringList out;
    for (QString word : words.split(QLatin1Char(' '), Qt::SkipEmptyParts))
        out << QLatin1Char('"') + word.replace(QLatin1Char('"'), QString()) + q("\"*");
    return out.join(QLatin1Char(' '));
}

std::optional<double> numberIn(const CsvTable &t, const QStringList &row, const char *column)
{
    const QString text = row.value(t.column(q(column)));
    bool good = false;
    const double value = text.toDouble(&good);
    return good ? std::optional<double>(value) : std::nullopt;
}

QString textIn(const CsvTable &t, const QStringList &row, const char *column)
{
    const int c = t.column(q(column));
    return c < 0 ? QString() : fromSafeCell(row.value(c));
}

Result<CsvTable> tableOf(const BagSource &source, const char *name)
{
    return readBagTable(source, q("data/tables/") + q(name));
}

/// The value of a column that counts for each item: that of its last row, or of the row with the latest
/// `time` where the table has such a column (packages made before had those rows in the order of the ledger).
Result<QHash<QString, QString>> lastOf(const BagSource &source, const char *name, const char *column)
{
    const auto table = tableOf(source, name);
    if (!table)
        return table.error();
    struct Last {
        UtcTime time{};
        QString value;
    };
    QHash<QString, Last> last;
    for (const QStringList &row : table->rows) {
        const UtcTime time = parseIsoUtc(textIn(*table, row, "time").toStdString()).value_or(UtcTime{});
        Last &known = last[textIn(*table, row, "item")];
        if (time >= known.time)
            known = {time, textIn(*table, row, column)};
    }
    QHash<QString, QString> out;
    for (auto it = last.begin(); it != last.end(); ++it)
        out.insert(it.key(), it->value);
    return out;
}

Result<std::vector<IndexedItem>> itemsOf(const BagSource &source, const QString &cruise)
{
    const auto samples = tableOf(source, "samples.csv");
    if (!samples)
        return samples.error();
    const auto specimens = tableOf(source, "specimens.csv");
    if (!specimens)
        return specimens.error();
    const auto names = lastOf(source, "identifications.csv", "name");
    if (!names)
        return names.error();
    const auto places = lastOf(source, "storage.csv", "place");
    if (!places)
        return places.error();
    std::vector<IndexedItem> out;
    QHash<QString, std::size_t> byId;
    for (const QStringList &row : samples->rows) {
        IndexedItem i;
        i.id = textIn(*samples, row, "id");
        i.cruise = cruise;
        i.dive = textIn(*samples, row, "dive").toInt();
        i.kind = textIn(*samples, row, "kind");
        i.family = textIn(*samples, row, "family");
        i.description = textIn(*samples, row, "description");
        i.state = textIn(*samples, row, "state");
        i.time = parseIsoUtc(textIn(*samples, row, "time").toStdString());
        i.latitudeDeg = numberIn(*samples, row, "latitude_deg");
        i.longitudeDeg = numberIn(*samples, row, "longitude_deg");
        i.depthM = numberIn(*samples, row, "depth_m");
        i.name = names->value(i.id);
        i.place = places->value(i.id);
        byId.insert(i.id, out.size());
        out.push_back(std::move(i));
    }
    for (const QStringList &row : specimens->rows) {
        const auto sample = byId.constFind(textIn(*specimens, row, "sample"));
        if (sample == byId.constEnd())
            return fail(
                ErrorKind::Malformed,
                QStringLiteral("specimens.csv: %1 is of a sample that is not there.").arg(row.value(0)));
        IndexedItem i = out[*sample]; // place and time are its sample's
        i.id = textIn(*specimens, row, "id");
        i.parent = textIn(*specimens, row, "parent");
        i.kind = textIn(*specimens, row, "material");
        i.description = textIn(*specimens, row, "description");
        i.name = names->value(i.id);
        i.place = places->value(i.id);
        out.push_back(std::move(i));
    }
    return out;
}

std::optional<double> roundedTo(const std::optional<double> &value, double step)
{
    return value ? std::optional(std::round(*value / step) * step) : std::nullopt;
}

/// The same of a cruise that is still under way, with the places as its package would have them.
std::vector<IndexedItem> indexedItems(const CruiseContent &content)
{
    const auto lastName = [](const ItemRecord &r) {
        return r.names.empty() ? QString() : r.names.back().name;
    };
    const auto lastPlace = [](const ItemRecord &r) {
        return r.storage.empty() ? QString() : r.storage.back().place;
    };
    std::vector<IndexedItem> out;
    for (const DiveRecord &dive : content.dives) {
        for (const SampleRecord &s : dive.samples) {
            IndexedItem i;
            i.id = s.info.id;
            i.cruise = content.cruise.code;
            i.dive = s.info.dive;
            i.kind = s.info.kind;
            i.family = s.info.family;
            i.description = s.info.description;
            i.state = s.stateNow();
            i.time = s.info.time;
            i.latitudeDeg = roundedTo(s.fix.latitudeDeg, 1e-6);
            i.longitudeDeg = roundedTo(s.fix.longitudeDeg, 1e-6);
            i.depthM = roundedTo(s.depthM(), 0.01);
            i.name = lastName(s.item);
            i.place = lastPlace(s.item);
            out.push_back(i);
            for (const SpecimenRecord &p : s.specimens) {
                IndexedItem part = i; // place and time are its sample's
                part.id = p.info.id;
                part.parent = p.info.parent;
                part.kind = p.info.details.material;
                part.description = p.info.details.description;
                part.name = lastName(p.item);
                part.place = lastPlace(p.item);
                out.push_back(std::move(part));
            }
        }
    }
    return out;
}

/// Joins conditions with their values.
struct Where {
    QStringList conditions;
    QVariantList values;
    void add(const char *condition, std::initializer_list<QVariant> bound)
    {
        conditions << q(condition);
        values << QVariantList(bound);
    }
};

Where whereOf(const IndexQuestion &w)
{
    Where where;
    const QString match = matchOf(w.words);
    if (!match.isEmpty())
        where.add("i.rowid IN (SELECT rowid FROM words WHERE words MATCH ?)", {match});
    if (!w.cruise.isEmpty())
        where.add("i.cruise=?", {w.cruise});
    if (!w.family.isEmpty())
        where.add("i.family=?", {w.family});
    if (w.from)
        where.add("i.time_us>=?", {qint64{microsecondsOf(*w.from)}});
    if (w.to)
        where.add("i.time_us<=?", {qint64{microsecondsOf(*w.to)}});
    if (w.shallowestM)
        where.add("i.depth_m>=?", {*w.shallowestM});
    if (w.deepestM)
        where.add("i.depth_m<=?", {*w.deepestM});
    if (w.box) {
        const auto &[west, south, east, north] = *w.box;
        where.add("i.latitude BETWEEN ? AND ?", {south, north});
        if (west <= east)
            where.add("i.longitude BETWEEN ? AND ?", {west, east});
        else
            where.add("(i.longitude>=? OR i.longitude<=?)", {west, east});
    }
    if (!w.afterId.isEmpty())
        where.add("i.id>?", {w.afterId});
    return where;
}

} // namespace

CruiseIndex::CruiseIndex(CruiseIndex &&other) noexcept
    : m_connection(std::exchange(other.m_connection, QSqlDatabase())),
      m_name(std::exchange(other.m_name, QString()))
{
}

CruiseIndex::~CruiseIndex()
{
    if (m_name.isEmpty())
        return;
    m_connection.close();
    m_connection = QSqlDatabase();
    QSqlDatabase::removeDatabase(m_name);
}

Result<CruiseIndex> CruiseIndex::open(const QString &path, bool make)
{
    const auto none = [&path] {
        return fail(ErrorKind::NotFound,
                    QStringLiteral("There is no index at %1; holdfast index add makes one.").arg(path));
    };
    if (!make && QFileInfo(path).size() == 0)
        return none();
    const QString name = newUuid();
    QSqlDatabase connection = QSqlDatabase::addDatabase(q("QSQLITE"), name);
    CruiseIndex index(connection, name);
    connection = QSqlDatabase();
    index.m_connection.setDatabaseName(path);
    if (!index.m_connection.open())
        return sqlError(index.m_connection.lastError(), path, q("opening the index"));
    auto ready = index.isReady(path);
    if (!ready)
        return ready.error();
    if (*ready)
        return index;
    if (!make)
        return none();
    if (auto made = index.makeTables(path); !made)
        return made.error();
    return index;
}

/// False for a database that holds nothing yet, such as one whose making was cut short.
Result<bool> CruiseIndex::isReady(const QString &path) const
{
    auto row = query(m_connection, q("SELECT application_id, (SELECT count(*) FROM sqlite_schema) FROM "
                                     "pragma_application_id"));
    if (!row && row.error().kind == ErrorKind::Malformed)
        return fail(ErrorKind::Malformed,
                    QStringLiteral("%1 is no index of cruises, or a damaged one. An index is only made from "
                                   "packages: make it anew with holdfast index add.")
                        .arg(path));
    if (!row)
        return row.error();
    if (!row->next() || (row->integer(0) != applicationNumber && row->integer(1) > 0))
        return fail(ErrorKind::Malformed, QStringLiteral("%1 is no index of cruises.").arg(path));
    return row->integer(0) == applicationNumber;
}

/// Whole or not at all: with tables and without its number it would be no index for ever.
Done CruiseIndex::makeTables(const QString &path)
{
    auto transaction = Transaction::begin(m_connection);
    if (!transaction)
        return transaction.error();
    const auto ready = isReady(path); // another program may have made them meanwhile
    if (!ready || *ready)
        return ready ? Done() : ready.error();
    for (const char *statement : schema) {
        if (auto done = execSql(m_connection, q(statement)); !done)
            return done;
    }
    if (auto done = execSql(m_connection, QStringLiteral("PRAGMA application_id=%1").arg(applicationNumber));
        !done)
        return done;
    return transaction->commit();
}

/// An index made before cruises were told apart by more than their code takes the first one it sees.
Done CruiseIndex::keepIdentity(const QString &cruise, const QString &uuid, const QString &packageName)
{
    if (auto made =
            execSql(m_connection, q("CREATE TABLE IF NOT EXISTS cruise_identity (code TEXT PRIMARY KEY, "
                                    "uuid TEXT NOT NULL) STRICT"));
        !made)
        return made;
    auto known = query(m_connection, q("SELECT uuid FROM cruise_identity WHERE code=?"), {cruise});
    if (!known)
        return known.error();
    if (known->next() && known->text(0) != uuid)
        return fail(
            ErrorKind::Refused,
            QStringLiteral("The index has another cruise with the code %1 (identifier %2); that of %3 is "
                           "%4. Samples of both would have the same ids: take it into another index.")
                .arg(cruise, known->text(0), packageName, uuid));
    known->reset();
    return execSql(m_connection, q("INSERT OR IGNORE INTO cruise_identity VALUES (?,?)"), {cruise, uuid});
}

Done CruiseIndex::put(const QString &cruise, int version, const QString &packageName,
                      const std::vector<IndexedItem> &items, const QString &uuid)
{
    auto transaction = Transaction::begin(m_connection);
    if (!transaction)
        return transaction.error();
    if (!uuid.isEmpty()) {
        if (auto same = keepIdentity(cruise, uuid, packageName); !same)
            return same;
    }
    // A contentless full-text table forgets a row only when told the words it had.
    for (const char *statement :
         {"INSERT INTO words (words, rowid, id, kind, name, description, place) SELECT 'delete', "
          "rowid, id, kind, name, description, place FROM item WHERE cruise=?",
          "DELETE FROM item WHERE cruise=?", "DELETE FROM cruise WHERE code=?"}) {
        if (auto done = execSql(m_connection, q(statement), {cruise}); !done)
            return done;
    }
    if (auto done =
            execSql(m_connection, q("INSERT INTO cruise VALUES (?,?,?)"), {cruise, version, packageName});
        !done)
        return done;
    auto item = Statement::prepare(
        m_connection,
        q("INSERT INTO item (id, cruise, parent, dive, kind, family, name, description, place, "
          "state, time_us, latitude, longitude, depth_m) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?)"));
    auto words = Statement::prepare(m_connection,
                                    q("INSERT INTO words (rowid, id, kind, name, description, place) VALUES "
                                      "(last_insert_rowid(),?,?,?,?,?)"));
    if (!item || !words)
        return item ? words.error() : item.error();
    const auto text = [](const QString &t) { return t.isNull() ? q("") : t; };
    for (const IndexedItem &i : items) {
        const QVariant time =
            i.time ? QVariant(qint64{microsecondsOf(*i.time)}) : QVariant(QMetaType(QMetaType::LongLong));
        if (auto done = item->run({text(i.id), cruise, text(i.parent), i.dive, text(i.kind), text(i.family),
                                   text(i.name), text(i.description), text(i.place), text(i.state), time,
                                   orNull(i.latitudeDeg), orNull(i.longitudeDeg), orNull(i.depthM)});
            !done)
            return done;
        if (auto done =
                words->run({text(i.id), text(i.kind), text(i.name), text(i.description), text(i.place)});
            !done)
            return done;
    }
    return transaction->commit();
}

Result<int> CruiseIndex::add(const QString &path, const JobControl &job)
{
    QFile file(path);
    const bool database = QFileInfo(path).isFile() && file.open(QIODevice::ReadOnly) &&
                          file.read(16) == QByteArray("SQLite format 3\0", 16);
    file.close();
    return database ? addCruiseFile(path, job) : addPackage(path, job);
}

Result<int> CruiseIndex::addCruiseFile(const QString &path, const JobControl &job)
{
    const auto file = CruiseFile::open(path, Database::Access::ReadOnly, allVerbRules());
    if (!file)
        return file.error();
    if (auto begun = execSql(file->db().connection(), q("BEGIN")); !begun) // one view for all reading
        return begun.error();
    const auto content = readContent(file->db(), job);
    if (!content)
        return content.error();
    auto identity = query(file->db().connection(), q("SELECT uuid FROM cruise"));
    if (!identity)
        return identity.error();
    const QString uuid = identity->next() ? identity->text(0) : QString();
    if (auto read = takeReadFault(); !read)
        return read.error();
    // The version of the last package stays: the next one is to replace what is taken in here.
    auto known = query(m_connection, q("SELECT version FROM cruise WHERE code=?"), {content->cruise.code});
    if (!known)
        return known.error();
    const int version = known->next() ? static_cast<int>(known->integer(0)) : 0;
    known->reset();
    const std::vector<IndexedItem> items = indexedItems(*content);
    if (auto done = put(content->cruise.code, version, QFileInfo(path).fileName(), items, uuid); !done)
        return done.error();
    return static_cast<int>(items.size());
}

Result<int> CruiseIndex::addPackage(const QString &package, const JobControl &job)
{
    const auto source = BagSource::open(package);
    if (!source)
        return source.error();
    const auto bag = checkBag(**source, job);
    if (!bag)
        return bag.error();
    if (!bag->valid) {
        const auto &kept = bag->findings.kept();
        const auto first = std::find_if(kept.begin(), kept.end(), [](const PackageFinding &f) {
            return f.weight == FindingWeight::Error;
        });
        return fail(
            ErrorKind::Refused,
            QStringLiteral("%1 is no valid bag: %2%3%4")
                .arg(package, first->file, first->file.isEmpty() ? QString() : q(": "), first->sentence));
    }
    const QString name = bag->info.value(q("internal-sender-identifier"));
    const QString cruise = bag->info.value(q("bag-group-identifier"));
    const int version = name.section(q("-v"), -1).toInt();
    if (cruise.isEmpty() || version < 1)
        return fail(ErrorKind::Refused,
                    QStringLiteral("%1 is a bag, but no hand-off package of a cruise.").arg(package));
    auto known = query(m_connection, q("SELECT version, package FROM cruise WHERE code=?"), {cruise});
    if (!known)
        return known.error();
    if (known->next() && known->integer(0) > version)
        return fail(
            ErrorKind::Refused,
            QStringLiteral("The index has %1 already, which is later than %2.").arg(known->text(1), name));
    known->reset();
    const auto items = itemsOf(**source, cruise);
    if (!items)
        return items.error();
    const auto about = tableOf(**source, "cruise.csv");
    if (!about)
        return about.error();
    const QString uuid = about->rows.empty() ? QString() : textIn(*about, about->rows.front(), "uuid");
    if (auto done = put(cruise, version, name, *items, uuid); !done)
        return done.error();
    return static_cast<int>(items->size());
}

Result<IndexPage> CruiseIndex::find(const IndexQuestion &question) const
{
    const Where where = whereOf(question);
    const QString sql =
        q("SELECT i.id, i.cruise, i.parent, i.dive, i.kind, i.family, i.name, i.description, i.place, "
          "i.state, c.package, i.time_us, i.latitude, i.longitude, i.depth_m FROM item i JOIN cruise c ON "
          "c.code=i.cruise") +
        (where.conditions.isEmpty() ? QString() : q(" WHERE ") + where.conditions.join(q(" AND "))) +
        q(" ORDER BY i.id LIMIT ?");
    auto rows = Statement::prepare(m_connection, sql);
    if (!rows)
        return rows.error();
    if (auto ran = rows->run(where.values + QVariantList{question.limit + 1}); !ran)
        return ran.error();
    IndexPage page;
    while (rows->next()) {
        if (static_cast<int>(page.items.size()) == question.limit) {
            page.more = true;
            break;
        }
        IndexedItem i;
        i.id = rows->text(0);
        i.cruise = rows->text(1);
        i.parent = rows->text(2);
        i.dive = static_cast<int>(rows->integer(3));
        i.kind = rows->text(4);
        i.family = rows->text(5);
        i.name = rows->text(6);
        i.description = rows->text(7);
        i.place = rows->text(8);
        i.state = rows->text(9);
        i.package = rows->text(10);
        if (!rows->isNull(11))
            i.time = utcFromMicroseconds(rows->integer(11));
        if (!rows->isNull(12)) {
            i.latitudeDeg = rows->real(12);
            i.longitudeDeg = rows->real(13);
        }
        if (!rows->isNull(14))
            i.depthM = rows->real(14);
        page.items.push_back(std::move(i));
    }
    return page;
}

Result<qint64> CruiseIndex::count() const
{
    auto row = query(m_connection, q("SELECT count(*) FROM item"));
    if (!row)
        return row.error();
    return row->next() ? row->integer(0) : 0;
}

} // namespace holdfast
