// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/blank_labels.h"
#include "print/label_sheet.h"
#include "store/database.h"

#include <optional>

namespace holdfast
{

/// What labels are wanted. Of `blank`, `ids` and `of` the first that says anything counts.
struct LabelOrder {
    int dive = 0;
    BlankRange blank = {.first = 1, .count = 0}; ///< these blank labels of the dive
    QStringList ids = {}; ///< these samples and specimens, as typed or scanned; of any dive
    enum class Of { Samples, Specimens, Both } of = Of::Samples;
    QString stock = {};                   ///< its name
    std::optional<LabelStock> draft = {}; ///< a stock that is being edited, instead
    int startPosition = 1;
    std::optional<int> copies = {};
    std::optional<int> printerDpi = {};
    bool acceptFineCode = false;
    QString contact = {}; ///< who to tell when it is found; the same on all
};

/// What the labels say, in order of id: for a specimen the time, depth and position of its sample, and its
/// own material, preservative, hazard and container. What is lost or void has none. An empty list is an
/// error: a sheet without labels would look like a fault of the printer.
[[nodiscard]] Result<std::vector<LabelContent>> labelContents(const Database &db, const LabelOrder &order);

/// The labels laid out, ready for screen, printer or PDF.
[[nodiscard]] Result<LabelSheets> labelSheets(const Database &db, const LabelOrder &order);

} // namespace holdfast
