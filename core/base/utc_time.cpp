// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/utc_time.h"

#include "base/leap_seconds.h"

#include <algorithm>
#include <array>

namespace holdfast
{

namespace
{

/// Reads exactly `count` digits at `at`, moving it on; nothing when one is missing.
std::optional<int> digits(std::string_view s, std::size_t &at, std::size_t count)
{
    if (at + count > s.size())
        return {};
    int value = 0;
    for (std::size_t i = 0; i < count; ++i) {
        const char c = s[at + i];
        if (c < '0' || c > '9')
            return {};
        value = value * 10 + (c - '0');
    }
    at += count;
    return value;
}

bool take(std::string_view s, std::size_t &at, char c)
{
    if (at < s.size() && s[at] == c) {
        ++at;
        return true;
    }
    return false;
}

/// Decimals after the point as microseconds, the seventh digit rounding.
std::optional<std::int64_t> decimals(std::string_view s, std::size_t &at)
{
    std::int64_t value = 0;
    int seen = 0;
    bool up = false;
    while (at < s.size() && s[at] >= '0' && s[at] <= '9') {
        if (seen < 6)
            value = value * 10 + (s[at] - '0');
        else if (seen == 6)
            up = s[at] >= '5';
        ++seen;
        ++at;
    }
    if (seen == 0)
        return {};
    for (int i = seen; i < 6; ++i)
        value *= 10;
    return value + (up ? 1 : 0);
}

struct Civil {
    int year;
    unsigned month, day;
    int hour, minute, second;
    std::int64_t micros;
};

Civil civilOf(UtcTime t)
{
    const auto day = std::chrono::floor<std::chrono::days>(t);
    const std::chrono::year_month_day ymd{day};
    const std::int64_t us = (t - day).count();
    const auto sec = static_cast<int>(us / 1'000'000);
    return {int(ymd.year()), unsigned(ymd.month()), unsigned(ymd.day()), sec / 3600, sec / 60 % 60,
            sec % 60,        us % 1'000'000};
}

QString text(UtcTime t, int places)
{
    const Civil c = civilOf(t);
    std::array<char, 48> buffer{};
    const std::int64_t fraction = places == 3 ? c.micros / 1000 : c.micros;
    const int n =
        std::snprintf(buffer.data(), buffer.size(), "%04d-%02u-%02uT%02d:%02d:%02d.%0*lldZ", c.year, c.month,
                      c.day, c.hour, c.minute, c.second, places, static_cast<long long>(fraction));
    return QString::fromLatin1(buffer.data(), n);
}

} // namespace

std::optional<UtcTime> utcFromCivil(int year, int month, int day, int hour, int minute, int second,
                                    std::int64_t microseconds)
{
    using namespace std::chrono;
    if (year < 1900 || year > 2200 || month < 1 || month > 12 || day < 1 || day > 31)
        return {};
    const year_month_day ymd{std::chrono::year{year}, std::chrono::month{static_cast<unsigned>(month)},
                             std::chrono::day{static_cast<unsigned>(day)}};
    if (!ymd.ok() || hour < 0 || hour > 23 || minute < 0 || minute > 59 || second < 0)
        return {};
    const bool leap =
        second == 60 && hour == 23 && minute == 59 && leapSecondAtEndOf(sys_days{ymd}) != LeapSecond::None;
    if (second > 59 && !leap)
        return {};
    return UtcTime{sys_days{ymd}.time_since_epoch() + hours{hour} + minutes{minute} + seconds{second} +
                   Microseconds{microseconds}};
}

std::optional<UtcTime> parseIsoUtc(std::string_view s, bool zoneMayBeAbsent)
{
    std::size_t at = 0;
    const auto year = digits(s, at, 4);
    if (!year || !take(s, at, '-'))
        return {};
    const auto month = digits(s, at, 2);
    if (!month || !take(s, at, '-'))
        return {};
    const auto day = digits(s, at, 2);
    if (!day || !(take(s, at, 'T') || take(s, at, ' ')))
        return {};
    const auto hour = digits(s, at, 2);
    if (!hour || !take(s, at, ':'))
        return {};
    const auto minute = digits(s, at, 2);
    if (!minute)
        return {};
    int second = 0;
    std::int64_t micros = 0;
    if (take(s, at, ':')) {
        const auto sec = digits(s, at, 2);
        if (!sec)
            return {};
        second = *sec;
        if (take(s, at, '.')) {
            const auto part = decimals(s, at);
            if (!part)
                return {};
            micros = *part;
        }
    }
    std::chrono::minutes offset{0};
    if (take(s, at, 'Z')) {
    } else if (at < s.size() && (s[at] == '+' || s[at] == '-')) {
        const int sign = s[at] == '-' ? -1 : 1;
        ++at;
        const auto oh = digits(s, at, 2);
        if (!oh || !take(s, at, ':'))
            return {};
        const auto om = digits(s, at, 2);
        if (!om || *oh > 14 || *om > 59)
            return {};
        offset = std::chrono::minutes{sign * (*oh * 60 + *om)};
    } else if (!zoneMayBeAbsent) {
        return {};
    }
    if (at != s.size())
        return {};
    // With an offset a leap second has another hour and minute there.
    const auto before = utcFromCivil(*year, *month, *day, *hour, *minute, std::min(second, 59), micros);
    if (!before || second < 60)
        return before ? std::optional(*before - offset) : std::nullopt;
    const Civil utc = civilOf(*before - offset - Microseconds{micros});
    const auto leap = utcFromCivil(utc.year, static_cast<int>(utc.month), static_cast<int>(utc.day), utc.hour,
                                   utc.minute, second, micros);
    return leap;
}

QString toIso(UtcTime t)
{
    return text(t + Microseconds{500}, 3);
}

QString toIsoMicro(UtcTime t)
{
    return text(t, 6);
}

QString clockText(UtcTime t)
{
    return text(t, 6).mid(11, 8);
}

QString dateText(UtcTime t)
{
    return text(t, 6).left(10);
}

} // namespace holdfast
