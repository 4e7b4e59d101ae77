// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"

#include <QByteArray>
#include <QString>
#include <QStringList>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

namespace holdfast
{

/// How often one thing happened and the line where it happened first.
struct ReasonCount {
    QString reason;
    std::int64_t count = 0;
    std::uint32_t firstLine = 0;
};

/// A line that was not used, as it stands in the log (cut at 200 bytes).
struct LineAside {
    std::uint32_t line = 0; ///< counted from 1
    QString reason;
    QByteArray text;
};

/// What became of the lines of one log.
/// `accepted` counts the records in the data. `repaired` counts what was put right on the way: records moved
/// to their place in time, repeated records dropped, sentences dug out of other bytes; `repairs` says which.
/// `rejected` counts the lines (NMEA: sentences and stretches of other bytes) that were kept aside.
struct IntakeReport {
    std::int64_t lines = 0; ///< all lines, blank ones and header too
    std::int64_t accepted = 0;
    std::int64_t repaired = 0;
    std::int64_t rejected = 0;
    std::vector<ReasonCount> repairs;
    std::vector<ReasonCount> rejects;
    std::vector<ReasonCount> notes; ///< counted and harmless: sentences not used, records of equal time, ...
    std::vector<LineAside> aside;   ///< the first maxAside of them; the log itself keeps the rest
    QStringList warnings;           ///< sentences for a person: what looks wrong with the log as a whole
    std::optional<UtcTime> firstTime;
    std::optional<UtcTime> lastTime;

    static constexpr std::size_t maxAside = 5000;

    void repair(const QString &reason, std::uint32_t line, std::int64_t count = 1);
    void reject(const QString &reason, std::uint32_t line, std::string_view text);
    void note(const QString &reason, std::uint32_t line, std::int64_t count = 1);
};

} // namespace holdfast
