// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "print/custody_sheet.h"
#include "print/dive_report.h"
#include "print/packing_list.h"
#include "print/page_document.h"

#include <vector>

namespace holdfast::testing
{

/// An invented dive of `samples` samples: a slot plan, people, a set-aside sample, one without a fix, a name
/// in Hebrew, an amendment, a recorded hand-over.
[[nodiscard]] CustodySheetContent inventedDive(int samples);

/// The history of its first sample, with a name in Hebrew and a word of 200 letters; and a hand-over to sign.
[[nodiscard]] CustodySheetContent inventedHistory();
[[nodiscard]] CustodySheetContent inventedHandOver();

/// An invented shipment of two packages: ethanol, formalin, a preservative in no table, dry ice, a permit
/// that is not described.
[[nodiscard]] PackingListContent inventedShipment();

/// The invented dive with a track, a depth profile, two water strips with a silent feed, and one permit
/// overrun.
[[nodiscard]] DiveReportContent inventedReport();

/// One document of every kind of paper, the same at every call.
[[nodiscard]] std::vector<PageDocument> samplePapers();

} // namespace holdfast::testing
