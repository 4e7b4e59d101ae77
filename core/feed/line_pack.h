// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/packed_ints.h"

#include <QByteArray>
#include <functional>
#include <string_view>
#include <vector>

namespace holdfast
{

/// Lines of a feed as they arrived, each with the host's time of that moment.
struct ReceivedLines {
    std::vector<std::int64_t> receivedUs; ///< microseconds since 1970, UTC; may run backwards with the clock
    QByteArray text;                      ///< each line followed by a line feed

    void add(std::int64_t us, const QByteArray &line)
    {
        receivedUs.push_back(us);
        text.append(line);
        text.append('\n');
    }
    [[nodiscard]] bool empty() const { return receivedUs.empty(); }
};

/// One block of received lines, packed: what a row of table log_received holds.
struct PackedLines {
    std::int64_t firstUs = 0, lastUs = 0; ///< of the first and the last line as they came
    std::int64_t lines = 0;
    std::int64_t bytes = 0; ///< of the text, with a line feed after each line
    QByteArray data;
    QByteArray sha256; ///< 32 bytes, of data
};

/// Packs lines so that unpackLines() gives times and text back exactly. `delimiter` as in packText(). Errors:
/// Internal when times and lines differ in number or there are none. Pure.
///
/// Layout: byte version (1), varint lines, varint size and packInts of the times, then packText of the text.
[[nodiscard]] Result<PackedLines> packLines(const ReceivedLines &lines, char delimiter);

/// Error Malformed when the bytes are not what packLines() made. What it gives has at least one line, and
/// each its line feed.
[[nodiscard]] Result<ReceivedLines> unpackLines(const QByteArray &data);

} // namespace holdfast
