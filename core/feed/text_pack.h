// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/line_table.h"
#include "feed/packed_ints.h"

#include <string>
#include <string_view>

namespace holdfast
{

/// Packs a piece of a log so that unpackText() gives it back byte for byte. Lines of numbers and ISO 8601
/// times become columns of whole numbers; lines that would not come back exactly as they were (a header, a
/// remark, "007", "-0.0") are kept as text; a piece with many of those is compressed as a whole. The result
/// is unpacked and compared before it is returned, so what comes out of this function is known to be right.
///
/// Layout: byte kind, then
///   0  varint size, zstd frame
///   1  byte delimiter, byte line end (1: LF, 2: CR LF), varint columns, for each: byte type (0 number,
///      1 time), byte decimals; varint lines, varint exceptions, packInts of their line indices, varint size
///      and varint packed size and zstd frame of their texts with line ends; for each column packInts of its
///      numbers times 10^decimals (times: seconds since 1970)
[[nodiscard]] Result<Bytes> packText(std::string_view text, char delimiter);
/// The same when the text has been taken apart already.
[[nodiscard]] Result<Bytes> packText(std::string_view text, const LineTable &table);

/// Error Malformed when the bytes are not what packText() made.
[[nodiscard]] Result<std::string> unpackText(std::span<const std::uint8_t> packed);

} // namespace holdfast
