// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/leap_seconds.h"

#include <algorithm>
#include <array>

namespace holdfast
{

namespace
{

using namespace std::chrono;

/// The days that ended with 23:59:60, in order: IERS, Bulletin C, as its file leap-seconds.list sums them up.
constexpr std::array<sys_days, 27> announcedDays{
    sys_days{June / 30 / 1972},     sys_days{December / 31 / 1972}, sys_days{December / 31 / 1973},
    sys_days{December / 31 / 1974}, sys_days{December / 31 / 1975}, sys_days{December / 31 / 1976},
    sys_days{December / 31 / 1977}, sys_days{December / 31 / 1978}, sys_days{December / 31 / 1979},
    sys_days{June / 30 / 1981},     sys_days{June / 30 / 1982},     sys_days{June / 30 / 1983},
    sys_days{June / 30 / 1985},     sys_days{December / 31 / 1987}, sys_days{December / 31 / 1989},
    sys_days{December / 31 / 1990}, sys_days{June / 30 / 1992},     sys_days{June / 30 / 1993},
    sys_days{June / 30 / 1994},     sys_days{December / 31 / 1995}, sys_days{June / 30 / 1997},
    sys_days{December / 31 / 1998}, sys_days{December / 31 / 2005}, sys_days{December / 31 / 2008},
    sys_days{June / 30 / 2012},     sys_days{June / 30 / 2015},     sys_days{December / 31 / 2016}};

/// The day on which the list of July 2025 says of itself that it expires.
constexpr sys_days knownUntil{June / 28 / 2026};

UtcTime endOf(sys_days day)
{
    return UtcTime{(day + days{1}).time_since_epoch()};
}

sys_days dayBefore(UtcTime t)
{
    return floor<days>(t) - days{1};
}

} // namespace

LeapSecond leapSecondAtEndOf(sys_days day)
{
    if (std::binary_search(announcedDays.begin(), announcedDays.end(), day))
        return LeapSecond::Announced;
    const bool endOfMonth = year_month_day{day + days{1}}.day() == std::chrono::day{1};
    return endOfMonth && day >= knownUntil ? LeapSecond::Unknown : LeapSecond::None;
}

LeapSecond leapSecondBefore(UtcTime t)
{
    return leapSecondAtEndOf(dayBefore(t));
}

UtcTime keptInLeapSecond(UtcTime t)
{
    const UtcTime midnight = endOf(dayBefore(t));
    constexpr Microseconds widest{499};
    return midnight - milliseconds{1} + std::min((t - midnight) / 2000, widest);
}

std::vector<UtcTime> leapSecondsBetween(UtcTime from, UtcTime to)
{
    std::vector<UtcTime> midnights;
    for (const sys_days day : announcedDays) {
        if (endOf(day) > from && endOf(day) <= to)
            midnights.push_back(endOf(day));
    }
    return midnights;
}

QString leapSecondText(UtcTime midnight)
{
    return dateText(midnight - seconds{1}) + QStringLiteral("T23:59:60Z");
}

} // namespace holdfast
