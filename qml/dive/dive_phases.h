// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/actions.h"

#include <QString>
#include <optional>

namespace holdfast
{

/// The phase that comes next by the record; none when all were reached.
[[nodiscard]] std::optional<Phase> phaseToCome(const DiveInfo &dive);
/// "on bottom 3 h 12 min", "not launched yet", "closed". A span that can't be (a replay of another day) is
/// left out.
[[nodiscard]] QString phaseSpan(const DiveInfo &dive, UtcTime now);

} // namespace holdfast
