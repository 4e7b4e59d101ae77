// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>
#include <chrono>
#include <cstdint>
#include <optional>
#include <string_view>

namespace holdfast
{

/// An instant in UTC, whole microseconds since 1970-01-01T00:00:00Z, leap seconds not counted (as POSIX time
/// does). The arithmetic type of std::chrono keeps instants and durations apart.
using Microseconds = std::chrono::microseconds;
using UtcTime = std::chrono::time_point<std::chrono::system_clock, Microseconds>;

/// From the count that files and the database keep, and back.
[[nodiscard]] constexpr UtcTime utcFromMicroseconds(std::int64_t count)
{
    return UtcTime{Microseconds{count}};
}
[[nodiscard]] constexpr std::int64_t microsecondsOf(UtcTime t)
{
    return t.time_since_epoch().count();
}
[[nodiscard]] constexpr double secondsBetween(UtcTime from, UtcTime to)
{
    return static_cast<double>((to - from).count()) * 1e-6;
}

/// Reads ISO 8601 extended UTC: "2026-03-12T14:22:07.300Z". The letter T may be a blank, seconds may have 0
/// to 9 decimals (rounded to the microsecond), the zone must be Z or an offset "+hh:mm"; `zoneMayBeAbsent`
/// takes a time without one as UTC. A leap second (23:59:60) falls on the next midnight. Years 1900 to 2200.
/// Nothing is returned for any other text, for a date that does not exist, or when characters are left over.
[[nodiscard]] std::optional<UtcTime> parseIsoUtc(std::string_view text, bool zoneMayBeAbsent = false);

/// Makes an instant from calendar numbers; nothing when they are no real date and time. Second 60 only at
/// 23:59.
[[nodiscard]] std::optional<UtcTime> utcFromCivil(int year, int month, int day, int hour, int minute,
                                                  int second, std::int64_t microseconds = 0);

/// "2026-03-12T14:22:07.300Z": always milliseconds, rounded half up, always Z.
[[nodiscard]] QString toIso(UtcTime t);

/// "2026-03-12T14:22:07.300123Z": every microsecond; for the ledger, where nothing may be lost.
[[nodiscard]] QString toIsoMicro(UtcTime t);

/// "14:22:07" and "2026-03-12", for sheets and screens; cut to the whole second, not rounded, as a clock
/// shows it.
[[nodiscard]] QString clockText(UtcTime t);
[[nodiscard]] QString dateText(UtcTime t);

} // namespace holdfast
