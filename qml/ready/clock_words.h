// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "live/live_state.h"

namespace holdfast
{

/// What the checklist says of the clocks, from measured offsets: each feed against GPS time where a feed
/// tells it, else against this computer's clock, each with the uncertainty of the measurement (95 %). Further
/// than `limitS`, or not sure to be within it, is marked. A feed whose offset is not measured yet is named.
[[nodiscard]] QString clockWords(const LiveState &state, double limitS);

} // namespace holdfast
