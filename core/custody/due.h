// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/preservation.h"

namespace holdfast
{

/// One thing that must still be done to an item.
struct DueItem {
    Item item;
    ClockReading clock; ///< Running, Warning or Over; MetLate in DueList::metLate
    QString note, source;
    QString question; ///< what nobody recorded and would stop the clock; may be empty
};

struct DueList {
    std::vector<DueItem> due;     ///< least time left first
    std::vector<DueItem> metLate; ///< what was done after its limit, by id
    QStringList notLeftBottom;    ///< items with a limit whose dive has no "off bottom" yet: no clock runs
    QStringList withoutLimit;     ///< items for whose material and purpose no limit is known
};

/// What is due next. A sample that was split is judged by its specimens; a specimen with subsamples is judged
/// itself as well, and what was done to its parent before the split counts for it. Without "off bottom" the
/// clock runs from "on deck" or the closing of the dive. Items of samples that are lost or void are left
/// out; of what was used up or is at its final place only what was met too late stays.
[[nodiscard]] Result<DueList> readDue(const Database &db, const HoldingRules &rules, UtcTime now);

} // namespace holdfast
