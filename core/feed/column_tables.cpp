// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/column_reader.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <span>

namespace holdfast
{

namespace
{

constexpr int timeDecimals = 6; // microseconds

/// A token for "missing" that a regular line could hold, such as -99.0, must be looked at as text.
bool looksLikeNumber(const std::string &token)
{
    return token.find_first_of("0123456789") != std::string::npos;
}

} // namespace

std::vector<double> *ColumnReader::ctdColumn(Quantity quantity)
{
    switch (quantity) {
    case Quantity::Conductivity:
        return &ctd.conductivityMsCm;
    case Quantity::Temperature:
        return &ctd.temperatureDegC;
    case Quantity::Pressure:
        return &ctd.pressureDbar;
    case Quantity::Oxygen:
        return &ctd.oxygenUmolKg;
    default:
        return nullptr;
    }
}

bool ColumnReader::fits(const LineShape &shape) const
{
    if (m_profile.kind != FeedKind::Ctd || m_profile.timeFormat != TimeFormat::Iso8601 || m_width == 0 ||
        m_profile.decimalMark != '.' || m_profile.delimiter != shape.delimiter ||
        shape.columns.size() != m_width || m_profile.comment == '-' || std::isdigit(m_profile.comment) != 0 ||
        std::any_of(m_profile.missing.begin(), m_profile.missing.end(), looksLikeNumber))
        return false;
    bool anyValue = false;
    bool anyTime = false;
    for (std::size_t i = 0; i < std::min(m_columns.size(), m_width); ++i) {
        if (!m_columns[i].used)
            continue;
        const bool time = m_columns[i].quantity == Quantity::Time;
        if (time != shape.columns[i].time || (time && shape.columns[i].decimals > timeDecimals))
            return false;
        anyTime = anyTime || time;
        anyValue = anyValue || !time;
    }
    return anyTime && anyValue;
}

Done ColumnReader::pushTable(const LineTable &table)
{
    std::size_t row = 0;
    std::size_t textAt = 0;
    std::size_t line = 0;
    for (const std::int64_t exception : table.exceptions) {
        const std::size_t count = static_cast<std::size_t>(exception) - line;
        takeRegular(table, row, count);
        row += count;
        const std::size_t stop =
            std::min(table.exceptionText.find('\n', textAt), table.exceptionText.size() - 1) + 1;
        const std::string_view text(table.exceptionText);
        if (const Done pushed = push(text.substr(textAt, stop - textAt)); !pushed)
            return pushed;
        textAt = stop;
        line += count + 1;
    }
    takeRegular(table, row, table.regular() - row);
    return {};
}

void ColumnReader::takeRegular(const LineTable &table, std::size_t first, std::size_t count)
{
    if (count == 0)
        return;
    const std::size_t all = ctd.timeUs.size() + count;
    for (std::size_t i = 0; i < m_width; ++i) {
        const Column &column = m_columns[i];
        if (!column.used)
            continue;
        const std::span<const std::int64_t> numbers = std::span(table.columns[i]).subspan(first, count);
        const int decimals = table.shape.columns[i].decimals;
        if (column.quantity == Quantity::Time) {
            const auto unit = static_cast<std::int64_t>(std::llround(std::pow(10, timeDecimals - decimals)));
            for (const std::int64_t n : numbers)
                ctd.timeUs.push_back(n * unit);
        } else if (std::vector<double> *values = ctdColumn(column.quantity)) {
            // One rounding, as readNumber() has it: powers of ten up to 22 are exact.
            const double divisor = std::pow(10, std::max(0, decimals - column.shift10));
            const double multiplier = std::pow(10, std::max(0, column.shift10 - decimals));
            for (const std::int64_t n : numbers)
                values->push_back(static_cast<double>(n) / divisor * multiplier * column.factor +
                                  column.offset);
        }
    }
    for (const Quantity quantity :
         {Quantity::Conductivity, Quantity::Temperature, Quantity::Pressure, Quantity::Oxygen})
        ctdColumn(quantity)->resize(all, missingValue);
    for (std::size_t i = 0; i < count; ++i)
        ctd.line.push_back(++m_line);
    report.lines += static_cast<std::int64_t>(count);
    const ColumnShape &last = table.shape.columns.back();
    const std::int64_t number = table.columns.back()[first + count - 1];
    const std::size_t digits = std::to_string(std::abs(number)).size();
    const std::size_t decimals = last.decimals;
    if (last.time)
        rememberLast(20 + (decimals > 0 ? decimals + 1 : 0), decimals > 0 ? decimals + 1 : 0);
    else
        rememberLast(std::max(digits, decimals + 1) + (number < 0 ? 1 : 0) + (decimals > 0 ? 1 : 0),
                     decimals);
}

} // namespace holdfast
