// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <cstdint>
#include <span>
#include <vector>

namespace holdfast
{

using Bytes = std::vector<std::uint8_t>;

/// Reads a packed block from front to back and never beyond its end.
class ByteReader
{
public:
    explicit ByteReader(std::span<const std::uint8_t> bytes) : m_bytes(bytes) {}

    [[nodiscard]] std::size_t left() const { return m_bytes.size(); }
    /// The next `count` bytes; Error Malformed when fewer are left.
    [[nodiscard]] Result<std::span<const std::uint8_t>> take(std::size_t count);
    [[nodiscard]] Result<std::uint8_t> takeByte();
    [[nodiscard]] Result<std::uint64_t> takeVarint();

private:
    std::span<const std::uint8_t> m_bytes;
};

/// Appends a number in 7-bit groups, lowest first, the top bit set on all but the last.
void putVarint(std::uint64_t value, Bytes &out);

/// Packs whole numbers losslessly, small for numbers that change little from one to the next.
///
/// Layout: nothing for no values; else a varint, the start of the differences, zigzag (0, -1, 1, -2 … as
/// 0, 1, 2, 3 …), and for every 128 values (the last group may be shorter):
///   byte    bit 7: the values are differences to the value before; bits 0 to 6: width, 0..64
///   varint  the group's least number, zigzag
///   bits    each number less the least, `width` bits, lowest bit first, filled up to a whole byte
/// Differences wrap around at 64 bits, so every number can be stored. How many values there are is not
/// stored.
void packInts(std::span<const std::int64_t> values, Bytes &out);

/// Reads `count` values that packInts() wrote. Error Malformed when the bytes are not such a block.
[[nodiscard]] Result<std::vector<std::int64_t>> unpackInts(ByteReader &in, std::size_t count);

} // namespace holdfast
