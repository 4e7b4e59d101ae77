// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"

namespace holdfast
{

/// The projectors for the verbs of readying a dive (readiness.h).
[[nodiscard]] VerbRules readyVerbRules();

} // namespace holdfast
