// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/line_table.h"

#include "base/utc_time.h"

#include <algorithm>
#include <array>
#include <cstring>

namespace holdfast
{

namespace
{

constexpr std::size_t mostDigits = 15; // whole numbers up to here are exact as doubles

bool isDigit(char c)
{
    return c >= '0' && c <= '9';
}

/// Dates to seconds and back, remembering the last: neighbouring lines share it.
class DateMemory
{
public:
    /// Ten characters YYYY-MM-DD; false when they are no date.
    bool secondsOf(const char *date, std::int64_t &seconds)
    {
        if (std::memcmp(date, m_date.data(), 10) != 0) {
            char text[] = "0000-00-00T00:00:00Z";
            std::memcpy(text, date, 10);
            const auto midnight = parseIsoUtc(text);
            if (!midnight)
                return false;
            std::memcpy(m_date.data(), date, 10);
            m_seconds = microsecondsOf(*midnight) / 1'000'000;
        }
        seconds = m_seconds;
        return true;
    }
    const char *dateOf(std::int64_t midnight)
    {
        if (midnight != m_seconds || m_date[0] == '\0') {
            const QByteArray text = dateText(utcFromMicroseconds(midnight * 1'000'000)).toLatin1();
            std::memcpy(m_date.data(), text.constData(), std::min<std::size_t>(10, std::size_t(text.size())));
            m_seconds = midnight;
        }
        return m_date.data();
    }

private:
    std::array<char, 10> m_date{};
    std::int64_t m_seconds = 0;
};

constexpr std::array<std::int64_t, 10> powersOfTen = {
    1, 10, 100, 1'000, 10'000, 100'000, 1'000'000, 10'000'000, 100'000'000, 1'000'000'000};

int twoDigits(const char *at)
{
    return isDigit(at[0]) && isDigit(at[1]) ? (at[0] - '0') * 10 + (at[1] - '0') : 99;
}

/// Takes a time that is written exactly as writeTime() would; the end of it, or null.
const char *matchTime(const char *at, const char *end, unsigned decimals, DateMemory &dates,
                      std::int64_t &number)
{
    const std::ptrdiff_t length = 20 + (decimals > 0 ? static_cast<std::ptrdiff_t>(decimals) + 1 : 0);
    if (end - at < length || at[10] != 'T' || at[13] != ':' || at[16] != ':' || at[length - 1] != 'Z')
        return nullptr;
    const int hour = twoDigits(at + 11);
    const int minute = twoDigits(at + 14);
    const int second = twoDigits(at + 17);
    std::int64_t seconds = 0;
    if (hour > 23 || minute > 59 || second > 59 || !dates.secondsOf(at, seconds))
        return nullptr;
    number = seconds + (hour * 60 + minute) * 60 + second;
    if (decimals > 0 && at[19] != '.')
        return nullptr;
    for (unsigned i = 0; i < decimals; ++i) {
        if (!isDigit(at[20 + i]))
            return nullptr;
        number = number * 10 + (at[20 + i] - '0');
    }
    return at + length;
}

/// Takes a number that is written exactly as writeNumber() would; the end of it, or null.
const char *matchNumber(const char *at, const char *end, unsigned decimals, std::int64_t &number)
{
    const bool negative = at < end && *at == '-';
    at += negative ? 1 : 0;
    const char *const first = at;
    std::int64_t value = 0;
    while (at < end && isDigit(*at) && at - first < static_cast<std::ptrdiff_t>(mostDigits - decimals))
        value = value * 10 + (*at++ - '0');
    if (at == first || (*first == '0' && at - first > 1))
        return nullptr;
    if (decimals > 0) {
        if (end - at <= static_cast<std::ptrdiff_t>(decimals) || *at++ != '.')
            return nullptr;
        for (unsigned i = 0; i < decimals; ++i, ++at) {
            if (!isDigit(*at))
                return nullptr;
            value = value * 10 + (*at - '0');
        }
    }
    if (negative && value == 0)
        return nullptr;
    number = negative ? -value : value;
    return at;
}

/// Takes a whole line with its end into `numbers`; the start of the next line, or null.
const char *matchLine(const char *at, const char *end, const LineShape &shape, DateMemory &dates,
                      std::int64_t *numbers)
{
    const std::size_t count = shape.columns.size();
    for (std::size_t i = 0; i < count; ++i) {
        const ColumnShape &column = shape.columns[i];
        at = column.time ? matchTime(at, end, column.decimals, dates, numbers[i])
                         : matchNumber(at, end, column.decimals, numbers[i]);
        if (at == nullptr || at == end)
            return nullptr;
        if (i + 1 < count && *at++ != shape.delimiter)
            return nullptr;
    }
    if (shape.carriageReturn && (*at++ != '\r' || at == end))
        return nullptr;
    return *at == '\n' ? at + 1 : nullptr;
}

/// The shape of one line without its LF; no columns when it is not made of numbers and times.
LineShape shapeOf(std::string_view line, char delimiter)
{
    LineShape shape;
    shape.delimiter = delimiter;
    if (!line.empty() && line.back() == '\r') {
        shape.carriageReturn = true;
        line.remove_suffix(1);
    }
    const std::string withEnd = std::string(line) + (shape.carriageReturn ? "\r\n" : "\n");
    while (true) {
        const std::size_t stop = std::min(line.find(delimiter), line.size());
        const std::string_view field = line.substr(0, stop);
        const std::size_t point = field.find('.');
        ColumnShape column;
        column.time = field.size() >= 20 && field[10] == 'T' && field.back() == 'Z';
        const std::size_t decimals =
            point == std::string_view::npos ? 0 : field.size() - point - (column.time ? 2 : 1);
        column.decimals = static_cast<std::uint8_t>(std::min<std::size_t>(decimals, 10));
        shape.columns.push_back(column);
        if (decimals > 9 || shape.columns.size() > mostTableColumns)
            return {};
        if (stop == line.size())
            break;
        line.remove_prefix(stop + 1);
    }
    std::array<std::int64_t, mostTableColumns> numbers{};
    DateMemory dates;
    if (!matchLine(withEnd.data(), withEnd.data() + withEnd.size(), shape, dates, numbers.data()))
        return {};
    return shape;
}

/// The shape of the first line that has one, among the first few.
LineShape firstShape(std::string_view text, char delimiter)
{
    for (int i = 0; i < 16 && !text.empty(); ++i) {
        const std::size_t stop = std::min(text.find('\n'), text.size());
        LineShape shape = shapeOf(text.substr(0, stop), delimiter);
        if (!shape.columns.empty())
            return shape;
        text.remove_prefix(std::min(stop + 1, text.size()));
    }
    return {};
}

char *writeDigits(char *at, std::uint64_t value, unsigned digits)
{
    for (unsigned i = digits; i > 0; --i) {
        at[i - 1] = static_cast<char>('0' + value % 10);
        value /= 10;
    }
    return at + digits;
}

char *writeNumber(char *at, std::int64_t number, unsigned decimals)
{
    if (number < 0)
        *at++ = '-';
    const std::uint64_t magnitude =
        number < 0 ? 0 - static_cast<std::uint64_t>(number) : static_cast<std::uint64_t>(number);
    const auto scale = static_cast<std::uint64_t>(powersOfTen[decimals]);
    const std::uint64_t whole = magnitude / scale;
    unsigned digits = 1;
    for (std::uint64_t rest = whole; rest >= 10; rest /= 10)
        ++digits;
    at = writeDigits(at, whole, digits);
    if (decimals == 0)
        return at;
    *at++ = '.';
    return writeDigits(at, magnitude - whole * scale, decimals);
}

char *writeTime(char *at, std::int64_t number, unsigned decimals, DateMemory &dates)
{
    const std::int64_t scale = powersOfTen[decimals];
    std::int64_t seconds = number / scale;
    std::int64_t fraction = number % scale;
    if (fraction < 0) {
        fraction += scale;
        --seconds;
    }
    std::int64_t ofDay = seconds % 86'400;
    ofDay += ofDay < 0 ? 86'400 : 0;
    std::memcpy(at, dates.dateOf(seconds - ofDay), 10);
    at[10] = 'T';
    writeDigits(at + 11, static_cast<std::uint64_t>(ofDay / 3600), 2);
    at[13] = ':';
    writeDigits(at + 14, static_cast<std::uint64_t>(ofDay / 60 % 60), 2);
    at[16] = ':';
    at = writeDigits(at + 17, static_cast<std::uint64_t>(ofDay % 60), 2);
    if (decimals > 0) {
        *at++ = '.';
        at = writeDigits(at, static_cast<std::uint64_t>(fraction), decimals);
    }
    *at++ = 'Z';
    return at;
}

} // namespace

LineTable takeApart(std::string_view text, char delimiter)
{
    LineTable table;
    table.shape = firstShape(text, delimiter);
    const LineShape &shape = table.shape;
    if (shape.columns.empty())
        return table;
    const char *at = text.data();
    const char *const end = at + text.size();
    const std::size_t usual = std::max<std::size_t>(1, std::min(text.find('\n'), text.size()));
    table.columns.resize(shape.columns.size());
    for (auto &column : table.columns)
        column.reserve(text.size() / usual + 16);
    std::array<std::int64_t, mostTableColumns> numbers{};
    DateMemory dates;
    while (at < end) {
        if (const char *next = matchLine(at, end, shape, dates, numbers.data())) {
            for (std::size_t i = 0; i < table.columns.size(); ++i)
                table.columns[i].push_back(numbers[i]);
            at = next;
        } else {
            const void *newline = std::memchr(at, '\n', static_cast<std::size_t>(end - at));
            const char *stop = newline == nullptr ? end : static_cast<const char *>(newline) + 1;
            table.exceptions.push_back(static_cast<std::int64_t>(table.lines));
            table.exceptionText.append(at, stop);
            at = stop;
        }
        ++table.lines;
    }
    return table;
}

std::string putTogether(const LineTable &table)
{
    const LineShape &shape = table.shape;
    constexpr std::size_t longestField = 48;
    std::string text;
    std::string line(shape.columns.size() * longestField + 2, '\0');
    text.reserve(table.lines * (shape.columns.size() * 8 + 24) + table.exceptionText.size());
    std::size_t nextException = 0;
    std::size_t exceptionAt = 0;
    std::size_t row = 0;
    DateMemory dates;
    for (std::size_t i = 0; i < table.lines; ++i) {
        if (nextException < table.exceptions.size() &&
            table.exceptions[nextException] == static_cast<std::int64_t>(i)) {
            const std::size_t stop =
                std::min(table.exceptionText.find('\n', exceptionAt), table.exceptionText.size() - 1) + 1;
            text.append(table.exceptionText, exceptionAt, stop - exceptionAt);
            exceptionAt = stop;
            ++nextException;
            continue;
        }
        char *at = line.data();
        for (std::size_t c = 0; c < shape.columns.size(); ++c) {
            if (c > 0)
                *at++ = shape.delimiter;
            const ColumnShape &column = shape.columns[c];
            at = column.time ? writeTime(at, table.columns[c][row], column.decimals, dates)
                             : writeNumber(at, table.columns[c][row], column.decimals);
        }
        if (shape.carriageReturn)
            *at++ = '\r';
        *at++ = '\n';
        text.append(line.data(), static_cast<std::size_t>(at - line.data()));
        ++row;
    }
    return text;
}

} // namespace holdfast
