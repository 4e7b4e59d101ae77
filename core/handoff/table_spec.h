// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/package_writer.h"

#include <QJsonObject>
#include <QStringList>
#include <QVariant>
#include <vector>

namespace holdfast
{

// The plain tables of a package: RFC 4180, UTF-8, a header row, line feeds, cells as in safe_cell.h; and
// their description as a Data Package with Table Schemas (Frictionless Data, version 1).

enum class CellType {
    Text,
    Whole,
    Number,
    Time,   ///< microseconds since 1970 in, ISO 8601 with milliseconds and Z out
    YesNo,  ///< 0 and 1 in, "no" and "yes" out
    Instant ///< as Time, with all six decimals: what orders the ledger
};

struct CellColumn {
    const char *name;
    CellType type;
    const char *unit;         ///< empty: none
    const char *definition;   ///< one sentence
    const char *allowed = ""; ///< allowed values, '|' between them; empty: any
    bool required = false;
};

/// Rows of this table name a row of another one: `columns` here hold its key there, or nothing.
struct TableReference {
    QStringList columns;
    const char *table;
    QStringList key;
};

struct TableSpec {
    const char *name; ///< of the file, without ".csv"
    const char *title;
    const char *sql; ///< gives the columns in order; empty when the rows come from elsewhere
    std::vector<CellColumn> columns;
    QStringList key;
    const char *coversTable = "";         ///< table of the cruise file that it holds
    std::vector<TableReference> refers{}; ///< only what the cruise file itself enforces
};

/// Writes the rows of one table.
class TableWriter
{
public:
    /// `data/tables/<name>.csv` with its header row.
    [[nodiscard]] static Result<TableWriter> begin(PackageWriter &package, const TableSpec &spec);
    /// One value for each column; a null is an empty cell. Numbers are given as text or as numbers.
    [[nodiscard]] Done row(const QVariantList &values);
    [[nodiscard]] Done end();

private:
    TableWriter(PackageFile file, const TableSpec &spec) : m_file(std::move(file)), m_spec(&spec) {}
    PackageFile m_file;
    const TableSpec *m_spec;
    QByteArray m_waiting;
};

[[nodiscard]] QString tablePath(const TableSpec &spec);

/// datapackage.json over the tables.
[[nodiscard]] QJsonObject dataPackage(const std::vector<const TableSpec *> &tables, const QString &name,
                                      const QString &title);
/// The same for people: one row a column.
[[nodiscard]] QByteArray dataDictionary(const std::vector<const TableSpec *> &tables);

} // namespace holdfast
