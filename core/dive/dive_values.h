// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "nav/track.h"
#include "store/database.h"
#include "water/sample_window.h"

#include <span>

namespace holdfast
{

/// The track of a dive from all of its logs that are in the file. A dive without logs has a track that
/// answers NoFix.
[[nodiscard]] Result<Track> diveTrack(const Database &db, int dive, FixMethod method);

/// What is given for a sample whose moment of taking is not known (a find at recovery): no fix, no water
/// values.
[[nodiscard]] NavFix fixOfUnknownMoment();
[[nodiscard]] WaterValues waterOfUnknownMoment();

/// What a person has decided to subtract from the times of the dive's CTD logs; 0 without a decision.
[[nodiscard]] Result<Microseconds> appliedClockOffset(const Database &db, int dive);

/// The passing CTD depths of a dive, about one a second, on the vehicle's clock when `offset` is subtracted.
[[nodiscard]] Result<std::vector<DepthRecord>> ctdDepths(const Database &db, int dive, double latitudeDeg,
                                                         Microseconds offset);

/// The water values at the given instants from the dive's CTD logs; depth by the latitude of the dive.
/// An instant without scans has the flag Missing and no values.
[[nodiscard]] Result<std::vector<WaterValues>>
diveWater(const Database &db, int dive, std::span<const UtcTime> times, const WindowOptions &options = {});

} // namespace holdfast
