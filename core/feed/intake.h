// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"
#include "feed/feed_profile.h"
#include "feed/intake_report.h"
#include "feed/records.h"

#include <functional>
#include <optional>
#include <span>
#include <stop_token>
#include <vector>

namespace holdfast
{

/// What the caller knows and wants when a log is read.
struct IntakeOptions {
    std::optional<UtcTime> windowStart; ///< the dive's time: records outside are counted and reported, not
    std::optional<UtcTime> windowEnd;   ///< dropped or shifted
    std::optional<UtcTime> dateHint; ///< an instant near the log's first record, for NMEA logs without date
    std::function<void(std::int64_t done, std::int64_t total)> progress; ///< bytes; from the calling thread
    std::stop_token stop; ///< asked about every megabyte; gives Error Cancelled
};

/// A log's own bytes, packed; see feed/text_pack.h.
struct PackedText {
    std::int64_t bytes = 0;           ///< of the text in this block
    std::vector<std::uint8_t> packed; ///< unpackText() gives the text back byte for byte
};

/// One log, read. Only the member that fits the profile's kind is filled; records are in order of time.
struct IntakeData {
    FeedProfile profile;
    QString fileName; ///< without folder
    QString sha256;   ///< of the whole file, 64 hexadecimal digits
    std::int64_t bytes = 0;
    IntakeReport report;
    std::vector<PositionRecord> positions;
    std::vector<VelocityRecord> velocities;
    std::vector<AcousticRecord> acoustics;
    CtdColumns ctd;
    std::vector<PackedText> text; ///< the whole file, in order
};

/// Reads a log file. Errors (one sentence each): missing, a folder, empty, unreadable, binary, not what the
/// profile describes (names the columns found and expected), or no line of it usable. Bad lines are no
/// errors: see IntakeReport. Reads in chunks; memory is the records and the packed text. Uses one thread of
/// its own.
[[nodiscard]] Result<IntakeData> intakeFile(const QString &path, const FeedProfile &profile,
                                            const IntakeOptions &options = {});

/// The same of bytes in memory; `name` stands in sentences where a file's name would.
[[nodiscard]] Result<IntakeData> intakeBytes(std::string_view bytes, const QString &name,
                                             const FeedProfile &profile, const IntakeOptions &options = {});

} // namespace holdfast
