// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "feed/nmea.h"

#include <array>
#include <chrono>
#include <optional>
#include <string_view>

namespace holdfast
{

/// How far the time written in a feed stands from the host's clock when the line arrives, in seconds: above
/// zero when the feed's clock is ahead. The way to us makes it a little too low. Median of the last 31 lines,
/// so that a late line or two do not count. Pure.
class OffsetWatch
{
public:
    void add(UtcTime written, UtcTime received);
    [[nodiscard]] std::optional<double> offsetS() const;
    void forget() { m_count = 0; }

private:
    static constexpr std::size_t kept = 31;
    std::array<double, kept> m_last{};
    std::size_t m_count = 0; ///< all that came
};

/// GPS time as NMEA sentences tell it, against the host's clock. ZDA counts before RMC, and RMC before GGA;
/// a lesser sentence counts only when no better one has come for a minute. Pure.
class GpsTimeWatch
{
public:
    using Instant = std::chrono::steady_clock::time_point;

    /// Looks at one line; anything but those sentences, with a right checksum, is passed over.
    void look(std::string_view line, UtcTime received, Instant at);
    /// Host clock minus GPS time, seconds; nothing while no such sentence came within the last minute.
    [[nodiscard]] std::optional<double> hostMinusGpsS(Instant at) const;
    [[nodiscard]] const char *sentence() const { return m_sentence; } ///< "ZDA"

private:
    OffsetWatch m_offset;
    int m_rank = 0;
    const char *m_sentence = "";
    Instant m_last{};
};

/// Finds steps of the host's clock by comparing it with one that never steps. Pure.
class StepWatch
{
public:
    using Instant = std::chrono::steady_clock::time_point;
    struct Step {
        UtcTime at{};       ///< by the new time
        double seconds = 0; ///< above zero: forward
    };
    /// Call a few times a second. A step is half a second or more between two calls.
    [[nodiscard]] std::optional<Step> look(UtcTime utc, Instant steady);

private:
    std::optional<UtcTime> m_utc;
    Instant m_steady{};
};

} // namespace holdfast
