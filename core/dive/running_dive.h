// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/readers.h"

namespace holdfast
{

/// The number of the dive whose vehicle is in the water by the record; of several the one launched last.
/// 0: none.
[[nodiscard]] inline int diveInTheWater(const std::vector<DiveInfo> &dives)
{
    const DiveInfo *found = nullptr;
    for (const DiveInfo &d : dives) {
        if (d.launched && !d.onDeck && !d.closed && (!found || *d.launched >= *found->launched))
            found = &d;
    }
    return found ? found->number : 0;
}

/// The dive that what happens now belongs to: the one in the water; else the first that is still to be
/// launched; else the last that takes entries. 0: none.
[[nodiscard]] inline int runningDive(const std::vector<DiveInfo> &dives)
{
    if (const int inWater = diveInTheWater(dives))
        return inWater;
    int last = 0;
    for (const DiveInfo &d : dives) {
        if (d.closed)
            continue;
        if (!d.launched && !d.onDeck)
            return d.number;
        last = d.number;
    }
    return last;
}

} // namespace holdfast
