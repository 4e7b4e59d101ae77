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

/// A difference of two clocks, and how sure it is.
struct ClockOffset {
    double seconds = 0;
    /// Half the width of the span that holds the middle difference 95 times in 100 when the differences
    /// scatter alike. What is the same in all of them, the way of the line, it does not know.
    double uncertainty95S = 0;
};
/// a - b of two differences that do not depend on each other.
[[nodiscard]] ClockOffset between(const ClockOffset &a, const ClockOffset &b);

/// How far the time written in a feed stands from the host's clock when the line arrives, in seconds: above
/// zero when the feed's clock is ahead. The way to us makes it a little too low. Median of the last 31 lines,
/// so that a late line or two do not count. Pure.
class OffsetWatch
{
public:
    void add(UtcTime written, UtcTime received);
    [[nodiscard]] std::optional<double> offsetS() const;
    /// The same with its uncertainty; nothing before five lines, of which nobody can tell the scatter. The
    /// standard error of a median of n normal values is sqrt(pi / 2) sigma / sqrt(n), and sigma is 1.4826
    /// times the middle distance from it (1 / the upper quartile of the normal distribution): text-book
    /// results for large n.
    [[nodiscard]] std::optional<ClockOffset> offset() const;
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
    [[nodiscard]] std::optional<ClockOffset> hostMinusGps(Instant at) const;
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
