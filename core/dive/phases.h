// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/readers.h"

#include <array>

namespace holdfast
{

/// When each phase of a dive was reached, in the order of Phase; without a value: not recorded.
[[nodiscard]] std::array<std::optional<UtcTime>, 4> phaseTimes(const DiveInfo &dive);

/// For projectors: writes the time of the phase with that word, null for none. Error Malformed when there is
/// no such phase.
[[nodiscard]] Done setPhase(const Database &db, const QString &phase, qint64 dive, const QVariant &timeUs);

} // namespace holdfast
