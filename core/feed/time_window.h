// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/intake.h"

namespace holdfast
{

/// Adds a warning when records lie outside the dive's time. When moving them by whole 1024-week periods would
/// bring them inside, the sentence says so: satellite receivers count weeks in 10 bits, and old ones give
/// dates that are 1024 or 2048 weeks false (IS-GPS-200, section 20.3.3.3.1.1). Nothing is changed in the
/// records.
void warnOutsideWindow(IntakeData &data, std::optional<UtcTime> start, std::optional<UtcTime> end);

} // namespace holdfast
