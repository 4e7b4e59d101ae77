// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace holdfast
{

struct ColumnShape {
    bool time = false; ///< an ISO 8601 instant that ends in Z; else a number
    std::uint8_t decimals = 0;
    friend bool operator==(const ColumnShape &, const ColumnShape &) = default;
};

/// What the regular lines of a text have in common.
struct LineShape {
    char delimiter = ',';
    bool carriageReturn = false;
    std::vector<ColumnShape> columns; ///< none: the text has no regular lines
};

/// Lines of numbers and times as columns of whole numbers. A line is regular when it is written exactly as
/// putTogether() writes it: so many columns, so many decimals, no leading zero, no "-0.0", at most 15 digits,
/// times from 1900 to 2200. All other lines are exceptions and kept as they are.
struct LineTable {
    LineShape shape;
    /// A number for each regular line: times 10^decimals; times in units of 10^-decimals s since 1970.
    std::vector<std::vector<std::int64_t>> columns;
    std::vector<std::int64_t> exceptions; ///< indices of lines, from 0
    std::string exceptionText;            ///< those lines, with their ends
    std::size_t lines = 0;                ///< regular ones and exceptions

    [[nodiscard]] std::size_t regular() const { return lines - exceptions.size(); }
};

inline constexpr std::size_t mostTableColumns = 64;

/// Takes a text apart; its shape is that of the first line that has one, among the first sixteen. Pure.
[[nodiscard]] LineTable takeApart(std::string_view text, char delimiter);

/// The text that takeApart() was given, byte for byte. Pure.
[[nodiscard]] std::string putTogether(const LineTable &table);

} // namespace holdfast
