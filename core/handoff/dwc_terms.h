// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QByteArray>
#include <QString>
#include <QStringList>
#include <vector>

namespace holdfast
{

// The tables of a Darwin Core Archive and their description (Darwin Core text guide, TDWG 2023-09-13).

/// The full URI of a term by its short name, whichever of the three namespaces it belongs to: Darwin Core,
/// Dublin Core (license, rightsHolder, modified) or OBIS (measurementTypeID, measurementValueID,
/// measurementUnitID, which Darwin Core itself does not have).
[[nodiscard]] QString termUri(const QString &term);

struct DwcTable {
    QString file;
    QString rowType;
    QStringList terms; ///< the first is eventID: the core's id, an extension's coreid
};

[[nodiscard]] const DwcTable &eventTable();
[[nodiscard]] const DwcTable &occurrenceTable();
[[nodiscard]] const DwcTable &measurementTable();

/// meta.xml for these tables: tab between fields, no quotes, line feed, one header line.
[[nodiscard]] QByteArray metaXml(const DwcTable &core, const std::vector<const DwcTable *> &extensions);

} // namespace holdfast
