// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QRectF>
#include <QSizeF>
#include <QString>
#include <QStringList>
#include <vector>

namespace holdfast
{

/// A piece of text on a label: the values of `fields`, joined by " · ", empty ones left out.
struct LabelText {
    QStringList fields = {}; ///< names of labelFieldNames()
    QString before = {};     ///< printed in front when any value is there
    QRectF boxMm = {};       ///< from the label's top left corner
    double largestPt = 8;
    double smallestPt = 5;
    bool bold = false;
    bool wrap = true;
    bool mayCut = false;
    bool framed = false; ///< with a frame around it, for hazard words
    Qt::Alignment align = Qt::AlignLeft | Qt::AlignVCenter;
};

/// A line to write on by hand.
struct PencilLine {
    QRectF boxMm = {}; ///< the line is its lower edge; `caption` stands small at its left
    QString caption = {};
};

/// One kind of label material and what is printed on it, read from templates/labels/*.json (its README
/// describes the fields). Lengths in millimetres. The numbers have been checked by readLabelStock.
struct LabelStock {
    QString name = {}; ///< file name without .json
    QString title = {};
    QString use = {};  ///< what it is good for, for the person who chooses
    bool roll = false; ///< a continuous roll: every page is one row of labels
    QSizeF pageMm = {};
    int printerDpi = 600;
    int columns = 1;
    int rows = 1;
    QSizeF labelMm = {};
    double leftMm = 0;
    double topMm = 0;
    double columnGapMm = 0;
    double rowGapMm = 0;
    bool round = false;   ///< a round label: the corners of its square are not there
    bool outline = false; ///< print the edge, for plain paper that is cut by hand
    QStringList copies =
        {};             ///< a word for each copy of a label ("jar", "inside"); at least one, may be empty
    QRectF codeMm = {}; ///< the square of the code with its quiet zone; empty: no code
    QRectF secondCodeMm = {}; ///< the same code once more, where one rubbed spot can't take both
    std::vector<LabelText> texts = {};
    std::vector<PencilLine> lines = {};

    [[nodiscard]] int labelsPerPage() const { return columns * rows; }
    /// The label at `position` (0 is top left, row by row) on its page.
    [[nodiscard]] QRectF labelRectMm(int position) const;
};

/// The values a stock can print; each is described in templates/labels/README.md.
[[nodiscard]] QStringList labelFieldNames();

/// Reads and checks one stock. `name` becomes its name; `where` stands in the error's sentence. Error
/// Malformed names the field, what was read and what was expected.
[[nodiscard]] Result<LabelStock> readLabelStock(const QByteArray &json, const QString &name,
                                                const QString &where);

/// The stock `name` of a templates/labels folder. Error NotFound lists the names that are there.
[[nodiscard]] Result<LabelStock> loadLabelStock(const QString &folder, const QString &name);

/// All stocks of a folder by name; one bad file fails it, so that it is noticed.
[[nodiscard]] Result<std::vector<LabelStock>> loadLabelStocks(const QString &folder);

} // namespace holdfast
