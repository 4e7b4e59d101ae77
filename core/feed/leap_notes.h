// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/leap_seconds.h"
#include "feed/intake_report.h"

namespace holdfast
{

/// Why a line with second 60 is kept aside: none was at that time.
[[nodiscard]] QString noLeapSecond();

/// Whether a time that was written with second 60 may be one: by its number it lies in the first second of a
/// day before which one was announced, or may have been.
[[nodiscard]] bool mayBeLeapSecond(UtcTime t);

/// Counts a record of second 60, which is kept under keptInLeapSecond(t), by the name of that second. Warns
/// once when nobody here knows whether there was one.
void noteLeapSecond(IntakeReport &report, UtcTime t, std::uint32_t line);

/// Warns of announced leap seconds within the log of which it has no record: its clock told them otherwise.
/// For a report whose first and last time are set.
void warnOfLeapSecondsPassedOver(IntakeReport &report);

} // namespace holdfast
