// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/holding_limits.h"
#include "store/database.h"

namespace holdfast
{

/// What must be shown to people who open, split, hand over or pack things: reminders that defer to local
/// rules, safety data sheets, permit authorities and licensed practice. Each caution once.
struct ItemCautions {
    QStringList substances; ///< of what the things are in now (custody/held_acts.h)
    QStringList kinds;      ///< of what they are, or come from: kinds and names that may be protected

    [[nodiscard]] QStringList all() const { return substances + kinds; }
};

/// `ids` as the record has them. NotFound for one that is not there.
[[nodiscard]] Result<ItemCautions> cautionsOfItems(const Database &db, const QStringList &ids,
                                                   const HoldingTable &table);

} // namespace holdfast
