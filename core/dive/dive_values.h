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

/// The water values at the given instants from the dive's CTD logs; depth by the latitude of the dive.
/// An instant without scans has the flag Missing and no values.
[[nodiscard]] Result<std::vector<WaterValues>>
diveWater(const Database &db, int dive, std::span<const UtcTime> times, const WindowOptions &options = {});

} // namespace holdfast
