// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "print/page_document.h"
#include "store/database.h"

namespace holdfast
{

/// The quality of a dive's logs with pictures: what the track made of the positions and how sure it is over
/// time, each parameter's flags, what the sensors read wrong, and the values that pass over time. Laid out on
/// the paper of a report layout of templates/sheets ("report-a4"), as pages or as one HTML page that loads
/// nothing. Needs a QGuiApplication.
[[nodiscard]] Result<PageDocument> qualityPages(const Database &db, int dive, const QString &layout,
                                                const QString &printedBy, UtcTime printedAt);
[[nodiscard]] Result<QString> qualityPage(const Database &db, int dive, const QString &layout,
                                          const QString &printedBy, UtcTime printedAt);

} // namespace holdfast
