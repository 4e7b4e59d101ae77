// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/specimens.h"
#include "custody/tally.h"

namespace holdfast
{

// As dive/inner_acts.h, of the acts of custody.

/// tallySlot.
[[nodiscard]] Done recordTally(CruiseFile &file, const Act &act, int dive, const QString &slot,
                               TallyAnswer answer, const QString &note);
/// logFind.
[[nodiscard]] Result<LoggedSample> recordFind(CruiseFile &file, const Act &act, int dive,
                                              const SampleDetails &details, std::optional<TimeSpan> span,
                                              const KindTable &kinds);

} // namespace holdfast
