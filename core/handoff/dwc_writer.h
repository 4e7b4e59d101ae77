// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/darwin_core.h"
#include "handoff/dwc_terms.h"
#include "handoff/safe_cell.h"

#include <QHash>

namespace holdfast
{

/// A row of a Darwin Core table under its terms; what is not set is an empty cell.
using DwcRow = QHash<QString, QString>;

/// Writes one table of the archive, a line a row.
class DwcWriter
{
public:
    static Result<DwcWriter> begin(PackageWriter &package, const DwcTable &table)
    {
        auto file = package.open(dwcaFolder + table.file);
        if (!file)
            return file.error();
        if (auto head = file->write(table.terms.join(QLatin1Char('\t')).toUtf8() + '\n'); !head)
            return head.error();
        return DwcWriter(std::move(*file), table);
    }
    Done row(const DwcRow &row)
    {
        QByteArray line;
        for (const QString &term : m_table->terms) {
            if (!line.isNull())
                line += '\t';
            line += safeOneLine(row.value(term)).toUtf8();
            if (line.isNull())
                line = "";
        }
        return m_file.write(line + '\n');
    }
    Done end()
    {
        if (auto closed = m_file.close(); !closed)
            return closed.error();
        return {};
    }

private:
    DwcWriter(PackageFile file, const DwcTable &table) : m_file(std::move(file)), m_table(&table) {}
    PackageFile m_file;
    const DwcTable *m_table;
};

} // namespace holdfast
