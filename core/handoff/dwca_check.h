// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "handoff/bag_source.h"
#include "handoff/package_findings.h"
#include "handoff/package_writer.h"

#include <QStringList>

namespace holdfast
{

/// The folders of a package that hold a Darwin Core Archive: those with a meta.xml whose root is an archive.
[[nodiscard]] QStringList darwinCoreFolders(const BagSource &source);

/// Judges the archive in `folder` ("data/dwca/", "" for the top) as an archive would on receipt: meta.xml by
/// the Darwin Core text guide (TDWG, 2023-09-13), every table by its description, then what OBIS asks of
/// events, occurrences and measurements. `now`: no date may lie after it. The only error is Cancelled.
[[nodiscard]] Done checkDarwinCore(const BagSource &source, const QString &folder, UtcTime now,
                                   const JobControl &job, PackageFindings &findings);

/// One table as meta.xml describes it.
struct DescribedTable {
    bool core = false;
    QString rowType, file;
    QString fieldEnd = QStringLiteral(","), lineEnd = QStringLiteral("\n"), quote = QStringLiteral("\"");
    int headerLines = 0;
    int idColumn = -1;
    QHash<QString, int> columns;      ///< term URI → column
    QHash<QString, QString> defaults; ///< term URI → value for all rows

    /// Fields and lines have an end by which they can be told apart.
    [[nodiscard]] bool canBeSplit() const { return !fieldEnd.isEmpty() && !lineEnd.isEmpty(); }
};
/// Reads meta.xml; what is wrong with it goes to `findings`.
[[nodiscard]] std::vector<DescribedTable> readMetaXml(const QByteArray &xml, const QString &path,
                                                      PackageFindings &findings, QString &emlName);

} // namespace holdfast
