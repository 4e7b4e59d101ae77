// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"

namespace holdfast
{

/// The projectors for all verbs of collecting (verbs.h).
[[nodiscard]] VerbRules diveVerbRules();

} // namespace holdfast
