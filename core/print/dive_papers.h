// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "print/custody_sheet.h"
#include "print/label_sheet.h"
#include "store/database.h"

namespace holdfast
{

/// The labels of a dive's samples, in order of number (void samples have none), with the fix and depth that
/// the logs give. An empty list is an error: a sheet without labels would look like a fault of the printer.
[[nodiscard]] Result<std::vector<LabelContent>> diveLabels(const Database &db, int dive);

/// The label stocks of the templates folder.
[[nodiscard]] Result<LabelStock> labelStock(const QString &name);
[[nodiscard]] Result<std::vector<LabelStock>> labelStocks();

/// The slot plan of a dive as it is now.
[[nodiscard]] Result<SlotPlanContent> diveSlotPlan(const Database &db, int dive);

/// Everything the custody sheet of a dive says. `remark` stands under its head.
[[nodiscard]] Result<CustodySheetContent> diveSheet(const Database &db, int dive, const QString &printedBy,
                                                    UtcTime printedAt, const QString &remark = {});

/// Labels or custody sheet of a dive, laid out and ready for screen, printer or PDF.
[[nodiscard]] Result<LabelSheets> diveLabelSheets(const Database &db, int dive, const QString &stock,
                                                  int startPosition = 1);
[[nodiscard]] Result<PageDocument> diveCustodySheet(const Database &db, int dive, const QString &layout,
                                                    const QString &printedBy, UtcTime printedAt,
                                                    const QString &remark = {});

} // namespace holdfast
