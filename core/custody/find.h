// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/preservation.h"

namespace holdfast
{

/// What is looked for: all given parts must fit. Words fit from their beginning, in any order and any case,
/// with or without accents: "par cor" finds a Paragorgia that is a coral. An id fits with its parts.
struct FindQuery {
    QString text; ///< any words: of id, slot, kind, name, description, preservative, place, holder, state
    QString holder, place, slot; ///< words of this part only
    int dive = 0;                ///< 0: any
    std::optional<UtcTime>
        dueBefore; ///< a holding limit that is not met yet and ends by then; least time first
    int limit = 50;
    qint64 after = 0; ///< the `n` of the last row of the page before; 0: the first page

    [[nodiscard]] bool empty() const
    {
        return text.trimmed().isEmpty() && holder.trimmed().isEmpty() && place.trimmed().isEmpty() &&
               slot.trimmed().isEmpty() && dive == 0 && !dueBefore;
    }
};

struct FoundItem {
    qint64 n = 0;
    QString id, sample, slot, what, names, words, place, holder, state;
    int dive = 0;
    std::optional<UtcTime> due; ///< with dueBefore
};

/// One page, in the order in which the items came into the file (with dueBefore: by time left, and all of
/// them in one page). An empty query lists everything. `rules` are needed only for dueBefore.
[[nodiscard]] Result<std::vector<FoundItem>> findItems(const Database &db, const FindQuery &query,
                                                       const HoldingRules &rules, UtcTime now);

/// How many items there are in all.
[[nodiscard]] Result<qint64> countItems(const Database &db);

} // namespace holdfast
