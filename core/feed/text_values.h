// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/feed_profile.h"

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

namespace holdfast
{

/// The number a field holds, times 10^shift10, correctly rounded. Blanks around it are allowed; "inf", "nan",
/// hexadecimal numbers and left-over characters are not numbers. Pure.
[[nodiscard]] std::optional<double> readNumber(std::string_view text, char decimalMark = '.',
                                               int shift10 = 0);

/// An angle as DDMM.mmm or DDDMM.mmm, with a sign or a hemisphere letter at its end, in degrees; nothing when
/// the minutes are 60 or more. A letter is given back through `hemisphere`.
[[nodiscard]] std::optional<double> readDegreesMinutes(std::string_view text, char decimalMark,
                                                       char &hemisphere);

/// A time of day as logs write it. Second 60 is that of a leap second.
struct TimeOfDay {
    int hour = 0, minute = 0, second = 0;
    std::int32_t microsecond = 0; ///< 1'000'000 where more decimals were rounded up
    [[nodiscard]] bool leap() const { return second == 60; }
    [[nodiscard]] std::int64_t sinceMidnightUs() const
    {
        return ((hour * 60LL + minute) * 60LL + second) * 1'000'000LL + microsecond;
    }
};

/// "hh:mm:ss", "hh:mm:ss.sss", "hhmmss" or "hhmmss.sss"; second 60 only at the end of a quarter of an hour,
/// as no zone has it elsewhere.
[[nodiscard]] std::optional<TimeOfDay> readTimeOfDay(std::string_view text);

/// Takes the zone off the end of a time: "Z", "UTC", "GMT", "+hh:mm", "+hhmm" or "+hh" (ISO
/// 8601-1:2019, 4.3.13; the names are common practice). What it adds to UTC, in microseconds; nothing when
/// there is none.
[[nodiscard]] std::optional<std::int64_t> takeZone(std::string_view &text);

/// An instant as logs write it: what parseIsoUtc() takes, without a zone as UTC, and beside that a decimal
/// comma (ISO 8601-1:2019, 5.3.1.4), a small t or z, and the zones of takeZone(). Microseconds since 1970.
[[nodiscard]] std::optional<std::int64_t> readInstant(std::string_view text);

/// Three numbers in the given order, apart by '-', '/' or '.', or six or eight digits; microseconds since
/// 1970 of its midnight. Two-digit years are 1970 to 2069.
[[nodiscard]] std::optional<std::int64_t> readDate(std::string_view text, DateOrder order);

/// Reads instants as readInstant() does, many times faster for the usual 24 characters because
/// neighbouring lines share their date.
class IsoReader
{
public:
    /// Microseconds since 1970; nothing when it is no instant.
    [[nodiscard]] std::optional<std::int64_t> read(std::string_view text);
    /// Whether the last text had second 60, be it read or refused.
    [[nodiscard]] bool leap() const { return m_leap; }

private:
    bool m_leap = false;
    std::array<char, 10> m_date{};
    std::int64_t m_midnight = 0;
};

} // namespace holdfast
