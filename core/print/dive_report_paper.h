// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "nav/track.h"
#include "print/dive_report.h"
#include "store/database.h"

namespace holdfast
{

/// Everything the report of a dive says: its sheet, the smooth track, depth and water over time (thinned so
/// that every extreme stays), what was lost or set aside, the quality of its logs, the use of permits.
[[nodiscard]] Result<DiveReportContent> diveReport(const Database &db, int dive, const QString &printedBy,
                                                   UtcTime printedAt);

/// The same of a dive whose sheet and smooth track are there already.
[[nodiscard]] Result<DiveReportContent> diveReport(const Database &db, int dive, CustodySheetContent sheet,
                                                   const Track &track);

/// The report laid out by a layout of templates/sheets, as pages or as one HTML page that loads nothing.
[[nodiscard]] Result<PageDocument> diveReportPages(const Database &db, int dive, const QString &layout,
                                                   const QString &printedBy, UtcTime printedAt);
[[nodiscard]] Result<QString> diveReportPage(const Database &db, int dive, const QString &layout,
                                             const QString &printedBy, UtcTime printedAt);

} // namespace holdfast
