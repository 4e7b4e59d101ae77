// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QSizeF>
#include <QString>
#include <vector>

namespace holdfast
{

/// One column of a sheet's table.
struct SheetColumn {
    QString field = {}; ///< one of the sheet's field names
    QString head = {};  ///< with its unit: "Depth (m)"
    double widthMm = 0;
    bool right = false; ///< numbers stand to the right
    bool bold = false;
};

/// A sheet's layout, read from templates/sheets/*.json (its README describes the fields): paper, sizes of
/// text, the sections in their order and the columns of the table. Checked by readSheetLayout.
struct SheetLayout {
    QString name = {};
    QString title = {};
    QString sheet = {}; ///< "custody", "packing-list" or "dive-report"
    QSizeF pageMm = {};
    double marginMm = 12;
    double textPt = 8.5;
    double smallestPt = 6;    ///< table text shrinks down to this before it wraps further
    double rowMm = 7;         ///< least height of a table row, for boxes that are ticked with a pencil
    double planHeightMm = 70; ///< height of the slot plan's picture
    std::vector<QString> sections = {};
    std::vector<SheetColumn> columns = {};
};

/// The section and field names that a kind of sheet knows; empty for an unknown kind.
[[nodiscard]] std::vector<QString> sheetSections(const QString &sheet);
[[nodiscard]] std::vector<QString> sheetFields(const QString &sheet);

/// Error Malformed names the field, what was read and what was expected.
[[nodiscard]] Result<SheetLayout> readSheetLayout(const QByteArray &json, const QString &name,
                                                  const QString &where);
[[nodiscard]] Result<SheetLayout> loadSheetLayout(const QString &folder, const QString &name);

} // namespace holdfast
