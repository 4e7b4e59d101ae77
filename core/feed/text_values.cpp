// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/text_values.h"

#include "base/utc_time.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstring>
#include <string>

namespace holdfast
{

namespace
{

constexpr std::array<double, 23> powersOfTen = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                                1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
constexpr std::uint64_t exactLimit = std::uint64_t{1} << 53;
constexpr std::int64_t dayUs = 86'400'000'000;

bool isDigit(char c)
{
    return c >= '0' && c <= '9';
}

std::string_view trimmed(std::string_view text)
{
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t'))
        text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t'))
        text.remove_suffix(1);
    return text;
}

/// Any decimal number, by the library; the fast path of readNumber() has refused it.
std::optional<double> readAnyNumber(std::string_view text, char decimalMark, int shift10)
{
    if (text.empty() || text.size() > 64)
        return {};
    std::string plain;
    for (const char c : text) {
        if (c == decimalMark)
            plain += '.';
        else if (isDigit(c) || c == '-' || c == '+' || c == 'e' || c == 'E')
            plain += c;
        else
            return {};
    }
    if (plain.front() == '+')
        plain.erase(0, 1);
    if (shift10 != 0) { // the power of ten goes into the exponent, so that the result is rounded once
        const std::size_t at = plain.find_first_of("eE");
        long exponent = 0;
        if (at != std::string::npos) {
            const char *first = plain.data() + at + 1;
            if (first < plain.data() + plain.size() && *first == '+')
                ++first;
            const auto read = std::from_chars(first, plain.data() + plain.size(), exponent);
            if (read.ec != std::errc{} || read.ptr != plain.data() + plain.size())
                return {};
            plain.erase(at);
        }
        plain += 'e' + std::to_string(exponent + shift10);
    }
    double value = 0;
    const auto read = std::from_chars(plain.data(), plain.data() + plain.size(), value);
    if (read.ec != std::errc{} || read.ptr != plain.data() + plain.size() || !std::isfinite(value))
        return {};
    return value;
}

/// `count` digits from `at`; -1 when one of them is none.
int digitsAt(std::string_view text, std::size_t at, std::size_t count)
{
    int value = 0;
    for (std::size_t i = at; i < at + count; ++i) {
        if (i >= text.size() || !isDigit(text[i]))
            return -1;
        value = value * 10 + (text[i] - '0');
    }
    return value;
}

/// ".123" as microseconds, further digits rounded; empty text is 0; -1 when it is no fraction.
std::int64_t fractionUs(std::string_view text)
{
    if (text.empty())
        return 0;
    if (text.front() != '.' || text.size() < 2 || !std::all_of(text.begin() + 1, text.end(), isDigit))
        return -1;
    std::int64_t nanoseconds = 0;
    for (std::size_t i = 1; i < 10; ++i) {
        const char c = i < text.size() ? text[i] : '0';
        nanoseconds = nanoseconds * 10 + (c - '0');
    }
    return (nanoseconds + 500) / 1000;
}

} // namespace

std::optional<double> readNumber(std::string_view text, char decimalMark, int shift10)
{
    const char *at = text.data();
    const char *const end = at + text.size();
    const bool negative = at < end && *at == '-';
    if (negative)
        ++at;
    std::uint64_t mantissa = 0; // wraps for too many digits, which are then read the general way
    const char *const firstDigit = at;
    while (at < end && isDigit(*at))
        mantissa = mantissa * 10 + static_cast<std::uint64_t>(*at++ - '0');
    std::ptrdiff_t digits = at - firstDigit;
    std::ptrdiff_t decimals = 0;
    if (at < end && *at == decimalMark) {
        const char *const firstDecimal = ++at;
        while (at < end && isDigit(*at))
            mantissa = mantissa * 10 + static_cast<std::uint64_t>(*at++ - '0');
        decimals = at - firstDecimal;
        digits += decimals;
        if (decimals == 0)
            return readAnyNumber(trimmed(text), decimalMark, shift10);
    }
    if (at != end || digits == 0 || digits > 18 || mantissa >= exactLimit)
        return readAnyNumber(trimmed(text), decimalMark, shift10);
    // Both numbers are exact, so the quotient is the correctly rounded value.
    const std::ptrdiff_t power = shift10 - decimals;
    double value = static_cast<double>(mantissa);
    if (power < 0)
        value /= powersOfTen[static_cast<std::size_t>(-power)];
    else if (power > 0)
        value *= powersOfTen[static_cast<std::size_t>(power)];
    return negative ? -value : value;
}

std::optional<double> readDegreesMinutes(std::string_view text, char decimalMark, char &hemisphere)
{
    text = trimmed(text);
    if (!text.empty() && std::strchr("NSEWnsew", text.back()) != nullptr) {
        hemisphere = static_cast<char>(text.back() & ~0x20);
        text = trimmed(text.substr(0, text.size() - 1));
    }
    const bool negative = !text.empty() && text.front() == '-';
    if (negative || (!text.empty() && text.front() == '+'))
        text.remove_prefix(1);
    std::size_t whole = text.find(decimalMark);
    if (whole == std::string_view::npos)
        whole = text.size();
    if (whole < 3 || whole > 5)
        return {};
    const int degrees = digitsAt(text, 0, whole - 2);
    const std::optional<double> minutes = readNumber(text.substr(whole - 2), decimalMark);
    if (degrees < 0 || !minutes || !isDigit(text[whole - 2]) || *minutes >= 60)
        return {};
    const double value = degrees + *minutes / 60;
    return negative ? -value : value;
}

std::optional<TimeOfDay> readTimeOfDay(std::string_view text)
{
    text = trimmed(text);
    const std::size_t gap = text.size() > 2 && text[2] == ':' ? 1 : 0;
    if (gap == 1 && (text.size() < 8 || text[5] != ':'))
        return {};
    const int hour = digitsAt(text, 0, 2);
    const int minute = digitsAt(text, 2 + gap, 2);
    const int second = digitsAt(text, 4 + 2 * gap, 2);
    if (hour < 0 || hour > 23 || minute < 0 || minute > 59 || second < 0 || second > 60)
        return {};
    if (second == 60 && minute % 15 != 14)
        return {};
    const std::int64_t fraction = fractionUs(text.substr(6 + 2 * gap));
    if (fraction < 0)
        return {};
    return TimeOfDay{hour, minute, second, static_cast<std::int32_t>(fraction)};
}

std::optional<std::int64_t> takeZone(std::string_view &text)
{
    text = trimmed(text);
    const auto endsWith = [&text](std::string_view name) {
        return text.size() > name.size() &&
               std::equal(name.begin(), name.end(), text.end() - std::ssize(name),
                          [](char a, char b) { return a == (b & ~0x20); });
    };
    for (const std::string_view name : {"UTC", "GMT", "Z"}) {
        if (endsWith(name)) {
            text = trimmed(text.substr(0, text.size() - name.size()));
            return 0;
        }
    }
    const std::size_t sign = text.find_last_of("+-");
    if (sign == std::string_view::npos || sign == 0)
        return {};
    const std::string_view zone = text.substr(sign + 1);
    const std::size_t colon = zone.size() == 5 && zone[2] == ':' ? 1 : 0;
    if (zone.size() != 2 && zone.size() != 4 + colon)
        return {};
    const int hours = digitsAt(zone, 0, 2);
    const int minutes = zone.size() == 2 ? 0 : digitsAt(zone, 2 + colon, 2);
    if (hours < 0 || hours > 14 || minutes < 0 || minutes > 59)
        return {};
    const std::int64_t offset = (hours * 60LL + minutes) * 60'000'000;
    const bool west = text[sign] == '-';
    text = trimmed(text.substr(0, sign));
    return west ? -offset : offset;
}

std::optional<std::int64_t> readInstant(std::string_view text)
{
    text = trimmed(text);
    if (const std::optional<UtcTime> instant = parseIsoUtc(text, true))
        return microsecondsOf(*instant);
    if (text.size() < 16 || text.size() > 64)
        return {};
    const std::optional<std::int64_t> offset = takeZone(text);
    std::string plain(text);
    constexpr std::size_t fractionAt = 19;
    if (plain.size() > fractionAt && plain[fractionAt] == ',')
        plain[fractionAt] = '.';
    if (plain.size() > 10 && plain[10] == 't')
        plain[10] = 'T';
    const std::optional<UtcTime> instant = parseIsoUtc(plain + 'Z');
    if (!instant)
        return {};
    return microsecondsOf(*instant) - offset.value_or(0);
}

std::optional<std::int64_t> readDate(std::string_view text, DateOrder order)
{
    text = trimmed(text);
    std::array<std::size_t, 3> width = {2, 2, 2};
    const std::size_t yearAt = order == DateOrder::YearMonthDay ? 0 : 2;
    const std::size_t gap = text.find_first_of("-/.") == std::string_view::npos ? 0 : 1;
    width[yearAt] = text.size() == 8 + 2 * gap ? 4 : 2;
    std::array<int, 3> part{};
    std::size_t at = 0;
    for (std::size_t i = 0; i < 3; ++i) {
        part[i] = digitsAt(text, at, width[i]);
        at += width[i];
        if (part[i] < 0 || (gap == 1 && i < 2 && (at >= text.size() || !std::strchr("-/.", text[at]))))
            return {};
        at += i < 2 ? gap : 0;
    }
    if (at != text.size())
        return {};
    int year = part[yearAt];
    if (width[yearAt] == 2)
        year += year < 70 ? 2000 : 1900;
    const int month = order == DateOrder::MonthDayYear ? part[0] : part[1];
    const int day = order == DateOrder::YearMonthDay   ? part[2]
                    : order == DateOrder::DayMonthYear ? part[0]
                                                       : part[1];
    const std::optional<UtcTime> midnight = utcFromCivil(year, month, day, 0, 0, 0);
    if (!midnight)
        return {};
    return microsecondsOf(*midnight);
}

std::optional<std::int64_t> IsoReader::read(std::string_view text)
{
    const bool usual = text.size() == 24 && text[23] == 'Z' && text[19] == '.' && text[10] == 'T' &&
                       std::memcmp(text.data(), m_date.data(), m_date.size()) == 0 && text[13] == ':' &&
                       text[16] == ':';
    m_leap = false;
    if (usual) {
        const int hour = digitsAt(text, 11, 2);
        const int minute = digitsAt(text, 14, 2);
        const int second = digitsAt(text, 17, 2);
        const int milli = digitsAt(text, 20, 3);
        if (hour >= 0 && hour < 24 && minute >= 0 && minute < 60 && second >= 0 && second < 60 && milli >= 0)
            return m_midnight + ((hour * 60LL + minute) * 60LL + second) * 1'000'000LL + milli * 1000LL;
    }
    text = trimmed(text);
    m_leap = digitsAt(text, 17, 2) == 60;
    const std::optional<std::int64_t> instant = readInstant(text);
    if (!instant)
        return {};
    const std::int64_t us = *instant;
    if (text.size() == 24 && text[23] == 'Z' && digitsAt(text, 17, 2) < 60) {
        std::memcpy(m_date.data(), text.data(), m_date.size());
        m_midnight = us - us % dayUs - (us % dayUs < 0 ? dayUs : 0);
    }
    return us;
}

} // namespace holdfast
