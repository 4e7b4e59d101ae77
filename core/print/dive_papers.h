// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "print/custody_sheet.h"
#include "print/valued_samples.h"
#include "store/database.h"

namespace holdfast
{

/// The slot plan of a dive as it is now.
[[nodiscard]] Result<SlotPlanContent> diveSlotPlan(const Database &db, int dive);

/// Everything the custody sheet of a dive says. `remark` stands under its head.
[[nodiscard]] Result<CustodySheetContent> diveSheet(const Database &db, int dive, const QString &printedBy,
                                                    UtcTime printedAt, const QString &remark = {});

/// The same from values that were computed already (valuedSamples).
[[nodiscard]] Result<CustodySheetContent> diveSheet(const Database &db, int dive,
                                                    const std::vector<ValuedSample> &valued,
                                                    const QString &printedBy, UtcTime printedAt,
                                                    const QString &remark = {});

/// Where every station's chain stands now, for the proof on a paper.
[[nodiscard]] Result<std::vector<LedgerHead>> ledgerHeads(const Database &db);

/// A layout of templates/sheets.
[[nodiscard]] Result<SheetLayout> sheetLayout(const QString &name);

/// The custody sheet of a dive, laid out and ready for screen, printer or PDF.
[[nodiscard]] Result<PageDocument> diveCustodySheet(const Database &db, int dive, const QString &layout,
                                                    const QString &printedBy, UtcTime printedAt,
                                                    const QString &remark = {});

} // namespace holdfast
