// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "print/sheet_flow.h"

#include <functional>
#include <utility>
#include <variant>

namespace holdfast
{

// A report is a list of blocks, made once and shown twice: on pages and as one HTML file.

struct ReportHeading {
    QString text = {};
};
struct ReportParagraph {
    QString text = {};
};
struct ReportPairs {
    std::vector<std::pair<QString, QString>> pairs = {};
    int columns = 4;
};
struct ReportTable {
    std::vector<SheetColumn> columns = {};
    std::vector<SheetRow> rows = {};
};
struct ReportFigure {
    QString name = {}; ///< what it shows, for those who can't see it
    double heightMm = 60;
    std::function<std::vector<PageMark>(const QRectF &)> draw = {};
};

using ReportBlock = std::variant<ReportHeading, ReportParagraph, ReportPairs, ReportTable, ReportFigure>;

/// Puts the blocks on pages.
void flowBlocks(SheetFlow &flow, const std::vector<ReportBlock> &blocks, const SheetLayout &layout);

/// Marks as an SVG picture of `sizeMm`, for screens: black on white, text as text.
[[nodiscard]] QString svgOf(const std::vector<PageMark> &marks, const QSizeF &sizeMm);

/// The blocks as one HTML 5 file without anything outside it: styles and pictures are inside, nothing is
/// loaded and no script runs. All texts are escaped. `widthMm` is the width that figures are drawn for.
[[nodiscard]] QString htmlOf(const SheetFrame &frame, const std::vector<ReportBlock> &blocks, double widthMm);

} // namespace holdfast
