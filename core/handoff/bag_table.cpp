// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/bag_table.h"

#include "handoff/reading_limits.h"

namespace holdfast
{

Result<CsvTable> readBagTable(const BagSource &source, const QString &path)
{
    const auto bytes = source.readAll(path, mostTableBytes);
    if (!bytes)
        return bytes.error();
    if (bytes->count('\n') > mostTableRows)
        return fail(
            ErrorKind::Refused,
            QStringLiteral("%1 has more than %2 lines, which no cruise has.").arg(path).arg(mostTableRows));
    return readCsv(*bytes, path);
}

} // namespace holdfast
