// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"
#include "nav/track.h"

#include <span>

namespace holdfast
{

/// How far one clock is ahead of another.
struct ClockOffset {
    double offsetS = 0; ///< subtract it from the CTD's times to bring them onto the vehicle's clock
    double standardErrorS = 0;
    double depthBiasM = 0;   ///< CTD depth minus vehicle depth once the clocks agree, median
    double depthSpreadM = 0; ///< robust standard deviation of what remains
    double verticalSpeedMs =
        0; ///< root mean square over the time used: without vertical motion nothing can be told
    std::size_t pairs = 0;  ///< comparisons used
    bool confident = false; ///< standard error below 1 s, a clear single minimum inside the range searched
    QString sentence;       ///< the result or the doubt, for a person
};

/// The offset between the CTD's depth series and the vehicle's, by robust comparison of depth over time.
/// Each series: any order, metres positive down, rows that are not finite are left out. The offset is
/// searched within ±`searchS` (1 .. 86 400 s). Errors (Malformed): fewer than 30 usable depths in a series,
/// or the two do not overlap.
[[nodiscard]] Result<ClockOffset> estimateClockOffset(std::span<const DepthRecord> ctd,
                                                      std::span<const DepthRecord> vehicle,
                                                      double searchS = 300.0);

} // namespace holdfast
