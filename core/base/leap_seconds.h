// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"

#include <vector>

namespace holdfast
{

// Leap seconds. UTC has a second 23:59:60 at the end of some days; the count that UtcTime keeps has none, so
// a time within it has the number of one in the second after it: 23:59:60.2 is that of 00:00:00.2. The days
// are those that the IERS announced in its Bulletin C, from the first, 1972-06-30, to the last, 2016-12-31.

/// What is known of the end of a day.
enum class LeapSecond {
    None,      ///< no second 60
    Announced, ///< the day ended with 23:59:60
    Unknown,   ///< it may have: the last day of a month for which this program knows no announcement
};

/// Of a day of UTC. Only the last day of a month can have a leap second (ITU-R TF.460-6, 2.1). Known are the
/// announcements up to the Bulletin C of July 2025; later ones settle nothing before 2026-06-28.
[[nodiscard]] LeapSecond leapSecondAtEndOf(std::chrono::sys_days day);

/// Of a time that was written with second 60, by its number: the day that ended at the midnight before it.
[[nodiscard]] LeapSecond leapSecondBefore(UtcTime t);

/// The time under which a record of second 60 is kept, so that it stays a record of its own in its place
/// between 23:59:59 and 00:00:00: the second is pressed into the half millisecond after 23:59:59.999, where 2
/// ms of it take 1 us. What was written as 23:59:60.500 is kept as 23:59:59.999250, which is at most 1 s off.
[[nodiscard]] UtcTime keptInLeapSecond(UtcTime t);

/// Midnights at the end of announced leap seconds that lie after `from` and not after `to`.
[[nodiscard]] std::vector<UtcTime> leapSecondsBetween(UtcTime from, UtcTime to);

/// "2016-12-31T23:59:60Z": the second before this midnight.
[[nodiscard]] QString leapSecondText(UtcTime midnight);

} // namespace holdfast
