// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/dwc_terms.h"
#include "handoff/dwca_check.h"

namespace holdfast
{

/// A table of a Darwin Core Archive, read.
struct ArchiveTable {
    DescribedTable about;
    QString path;
    std::vector<QStringList> rows; ///< without the header

    [[nodiscard]] bool has(const char *term) const
    {
        const QString uri = termUri(QString::fromUtf8(term));
        return about.columns.contains(uri) || about.defaults.contains(uri);
    }
    [[nodiscard]] QString value(const QStringList &row, const char *term) const
    {
        const QString uri = termUri(QString::fromUtf8(term));
        const int column = about.columns.value(uri, -1);
        const QString text = column >= 0 ? row.value(column) : QString();
        return text.isEmpty() ? about.defaults.value(uri) : text;
    }
    [[nodiscard]] QString id(const QStringList &row) const { return row.value(about.idColumn); }
};

/// Reads the bytes of a table as meta.xml describes it, which must be canBeSplit(); what is wrong goes to
/// `findings`. Takes what it keeps from `cellsLeft`, and reads no further than that or `mostTableRows`
/// allow, which is an error.
[[nodiscard]] ArchiveTable readArchiveTable(const QByteArray &bytes, const DescribedTable &about,
                                            const QString &path, qint64 &cellsLeft,
                                            PackageFindings &findings);

} // namespace holdfast
