// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "nav/track.h"
#include "store/database.h"

namespace holdfast
{

/// Puts the vehicle's positions of all logs in use into `inputs`: those of position logs, each with the
/// deviation its feed profile states where the log itself has none (`options` say what it states by default),
/// and those that raw acoustic logs give together with the ship's logs. A raw measurement without
/// a depth takes that of the dive's CTD log. What could not be placed is told in `inputs.remarks`, and
/// which log seems to have latitude and longitude exchanged, by the dive's other logs; with a single log that
/// can't be known where both are within 90 degrees.
[[nodiscard]] Done readVehiclePositions(const Database &db, int dive, TrackInputs &inputs,
                                        const TrackOptions &options);

} // namespace holdfast
