// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/dwc_writer.h"

namespace holdfast
{

// Where, how deep and how long an event was that is more than one moment.

/// The place about many: the middle with a radius that covers them and their own uncertainty, metres; a
/// remark in its stead when that radius is beyond 10,000 km.
void placeInto(DwcRow &row, const std::vector<GeoPoint> &places, double uncertaintyM);

/// A depth as Darwin Core means it, below the surface, to one decimal: none for what lies above.
[[nodiscard]] std::optional<double> belowSurface(double depthM);

/// The range of depths of a whole dive.
void depthInto(DwcRow &row, const DiveRecord &dive);

/// What dates and depths of a dive rest on where launch or recovery were not logged; else empty.
[[nodiscard]] QString spanRemark(const DiveRecord &dive);

} // namespace holdfast
