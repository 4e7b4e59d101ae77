// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/table_spec.h"

#include "base/csv.h"
#include "base/utc_time.h"
#include "handoff/safe_cell.h"

#include <QJsonArray>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

QByteArray cell(const QVariant &value, CellType type)
{
    if (value.isNull())
        return {};
    switch (type) {
    case CellType::Time:
        return toIso(utcFromMicroseconds(value.toLongLong())).toLatin1();
    case CellType::Instant:
        return toIsoMicro(utcFromMicroseconds(value.toLongLong())).toLatin1();
    case CellType::YesNo:
        return value.toBool() ? "yes" : "no";
    case CellType::Whole:
        return value.toString().toLatin1();
    case CellType::Number:
        return value.typeId() == QMetaType::Double ? csvNumber(value.toDouble())
                                                   : value.toString().toLatin1();
    case CellType::Text:
        break;
    }
    return safeCsvField(value.toString());
}

QString typeWord(CellType type)
{
    switch (type) {
    case CellType::Whole:
        return q("integer");
    case CellType::Number:
        return q("number");
    case CellType::Time:
    case CellType::Instant:
        return q("datetime");
    case CellType::YesNo:
        return q("boolean");
    case CellType::Text:
        break;
    }
    return q("string");
}

QJsonObject fieldOf(const CellColumn &c)
{
    QJsonObject field{
        {q("name"), q(c.name)}, {q("type"), typeWord(c.type)}, {q("description"), q(c.definition)}};
    if (*c.unit != '\0')
        field.insert(q("unit"), q(c.unit));
    if (c.type == CellType::Time || c.type == CellType::Instant)
        field.insert(q("format"), q("%Y-%m-%dT%H:%M:%S.%fZ"));
    if (c.type == CellType::YesNo) {
        field.insert(q("trueValues"), QJsonArray{q("yes")});
        field.insert(q("falseValues"), QJsonArray{q("no")});
    }
    QJsonObject constraints;
    if (c.required)
        constraints.insert(q("required"), true);
    if (*c.allowed != '\0')
        constraints.insert(q("enum"), QJsonArray::fromStringList(q(c.allowed).split(QLatin1Char('|'))));
    if (!constraints.isEmpty())
        field.insert(q("constraints"), constraints);
    return field;
}

} // namespace

QString tablePath(const TableSpec &spec)
{
    return q("data/tables/") + q(spec.name) + q(".csv");
}

Result<TableWriter> TableWriter::begin(PackageWriter &package, const TableSpec &spec)
{
    auto file = package.open(tablePath(spec));
    if (!file)
        return file.error();
    TableWriter writer(std::move(*file), spec);
    for (const CellColumn &c : spec.columns)
        writer.m_waiting += (writer.m_waiting.isEmpty() ? QByteArray() : QByteArray(",")) + c.name;
    writer.m_waiting += '\n';
    return writer;
}

Done TableWriter::row(const QVariantList &values)
{
    if (values.size() != static_cast<qsizetype>(m_spec->columns.size()))
        return fail(ErrorKind::Internal, QStringLiteral("A row of table %1 has %2 values, not %3.")
                                             .arg(q(m_spec->name))
                                             .arg(values.size())
                                             .arg(m_spec->columns.size()));
    for (qsizetype i = 0; i < values.size(); ++i) {
        if (i > 0)
            m_waiting += ',';
        m_waiting += cell(values.at(i), m_spec->columns[static_cast<std::size_t>(i)].type);
    }
    m_waiting += '\n';
    if (m_waiting.size() < (1 << 16))
        return {};
    auto written = m_file.write(m_waiting);
    m_waiting.clear();
    return written;
}

Done TableWriter::end()
{
    if (auto written = m_file.write(m_waiting); !written)
        return written;
    auto closed = m_file.close();
    if (!closed)
        return closed.error();
    return {};
}

QJsonObject dataPackage(const std::vector<const TableSpec *> &tables, const QString &name,
                        const QString &title)
{
    QJsonArray resources;
    for (const TableSpec *t : tables) {
        QJsonArray fields;
        for (const CellColumn &c : t->columns)
            fields.append(fieldOf(c));
        QJsonObject schema{{q("fields"), fields}, {q("missingValues"), QJsonArray{QString()}}};
        if (!t->key.isEmpty())
            schema.insert(q("primaryKey"), QJsonArray::fromStringList(t->key));
        QJsonArray references;
        for (const TableReference &r : t->refers) {
            references.append(
                QJsonObject{{q("fields"), QJsonArray::fromStringList(r.columns)},
                            {q("reference"), QJsonObject{{q("resource"), q(r.table)},
                                                         {q("fields"), QJsonArray::fromStringList(r.key)}}}});
        }
        if (!references.isEmpty())
            schema.insert(q("foreignKeys"), references);
        resources.append(QJsonObject{{q("name"), q(t->name)},
                                     {q("title"), q(t->title)},
                                     {q("path"), q(t->name) + q(".csv")},
                                     {q("profile"), q("tabular-data-resource")},
                                     {q("format"), q("csv")},
                                     {q("mediatype"), q("text/csv")},
                                     {q("encoding"), q("utf-8")},
                                     {q("dialect"), QJsonObject{{q("delimiter"), q(",")},
                                                                {q("lineTerminator"), q("\n")},
                                                                {q("quoteChar"), q("\"")},
                                                                {q("doubleQuote"), true},
                                                                {q("header"), true}}},
                                     {q("schema"), schema}});
    }
    return {{q("profile"), q("tabular-data-package")},
            {q("name"), name},
            {q("title"), title},
            {q("description"),
             q("A text cell that would begin with = + - @, a tab, a carriage return or an apostrophe has one "
               "apostrophe put before it, so that no spreadsheet takes it for a formula: take one leading "
               "apostrophe off to have the text back. Numbers stand as they are.")},
            {q("resources"), resources}};
}

QByteArray dataDictionary(const std::vector<const TableSpec *> &tables)
{
    QByteArray out = "table,column,type,unit,definition,allowed_values,required\n";
    for (const TableSpec *t : tables) {
        for (const CellColumn &c : t->columns)
            out += QByteArray(t->name) + ',' + c.name + ',' + typeWord(c.type).toLatin1() + ',' +
                   safeCsvField(q(c.unit)) + ',' + safeCsvField(q(c.definition)) + ',' +
                   safeCsvField(q(c.allowed).replace(QLatin1Char('|'), q(" | "))) + ',' +
                   (c.required ? "yes" : "no") + '\n';
    }
    return out;
}

} // namespace holdfast
