// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"

namespace holdfast::demo
{

/// What became of the samples of a closed dive: handed over on deck, one coral split, preserved, sealed and
/// handed on, everything stored. `onDeck` is when the vehicle came up.
[[nodiscard]] Done workOnTheBench(CruiseFile &file, int dive, UtcTime onDeck);

} // namespace holdfast::demo
