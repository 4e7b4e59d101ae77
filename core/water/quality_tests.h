// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

namespace holdfast
{

/// Quality flags of the QARTOD scheme (U.S. IOOS, Manual for Real-Time Quality Control of In-situ Temperature
/// and Salinity Data, version 2.0, 2016). The numbers are the scheme's own and are stored.
enum class QcFlag : std::uint8_t {
    Pass = 1,
    NotEvaluated = 2,
    Suspect = 3,
    Fail = 4,
    Missing = 9,
};

/// Which of two flags an aggregate takes: 4, then 3, then 1, then 2, then 9.
[[nodiscard]] QcFlag worse(QcFlag a, QcFlag b) noexcept;

/// Limits of each test. A value equal to a limit is on the good side everywhere.
struct GrossRangeLimits {
    double failMin, failMax;
    std::optional<double> suspectMin, suspectMax; ///< both or neither, inside the fail limits
};
struct SpikeLimits {
    double suspect; ///< unit of the value
    double fail;
};
struct BurstLimits {
    int halfScans; ///< 1 .. 8: the window is this many scans on each side
    double suspect;
    double fail;
};
struct RateLimits {
    double suspectPerS;
    std::optional<double> failPerS;
};
struct FlatLimits {
    double suspectS;
    double failS;
    double tolerance; ///< greater than 0, or the test can never flag
};

// The tests. Each takes columns of one length and fills `flags` of that length; a missing value (NaN) is
// always
// 9. Times are microseconds, in the order of the log. Linear time, no allocation except in flatTest.

/// Fail outside the fail limits, suspect outside the suspect limits.
void grossRangeTest(std::span<const double> values, const GrossRangeLimits &limits, std::span<QcFlag> flags);

/// |v(i) - (v(i-1) + v(i+1)) / 2| greater than the limit. The first, the last and a scan beside a missing
/// value are not evaluated. Neighbours in order, whatever their times. The neighbours of a spike are off by
/// half of it and may be flagged too: that is the test's definition.
void spikeTest(std::span<const double> values, const SpikeLimits &limits, std::span<QcFlag> flags);

/// Common practice rather than QARTOD, for spikes of several scans, whose middle the spike test cannot see,
/// and for the first and last scan, which it cannot judge: the value differs by more than the limit from the
/// median of the window of 2 halfScans + 1 scans around it; near the ends, of the first or last so many
/// scans. A ramp never flags away from the ends. A log shorter than the window is not evaluated; missing
/// neighbours count as agreeing.
void burstTest(std::span<const double> values, const BurstLimits &limits, std::span<QcFlag> flags);

/// |v(i) - v(i-1)| / (t(i) - t(i-1)) greater than the limit, per second. Not evaluated without a predecessor,
/// after a missing value, or when time does not rise. (The manual words the test with standard deviations; a
/// rate per second is the plain form.)
void rateTest(std::span<const std::int64_t> timeUs, std::span<const double> values, const RateLimits &limits,
              std::span<QcFlag> flags);

/// Largest less smallest value of the window that ends at i and reaches suspectS (failS) back, both ends
/// included, strictly less than the tolerance. Scans earlier than one whole window after the start pass.
/// Missing values are skipped. A window of one value (after a gap) is not flat: it takes two to compare.
/// Where time runs backwards the window starts anew.
void flatTest(std::span<const std::int64_t> timeUs, std::span<const double> values, const FlatLimits &limits,
              std::span<QcFlag> flags);

/// Time since the previous record greater than maxGapS: fail at the later record. The first is not evaluated.
void gapTest(std::span<const std::int64_t> timeUs, double maxGapS, std::span<QcFlag> flags);

/// A clock that stands still or runs backwards. `repeatSuspect` (`repeatFail`) equal times in a row make the
/// whole run suspect (fail); a time earlier than the one before it is suspect, and so are those that follow
/// until time has caught up, at most `overlapS` seconds of it. Logs whose times are whole seconds need limits
/// above their scans a second. Not QARTOD; common practice.
struct ClockLimits {
    std::size_t repeatSuspect = 48;
    std::size_t repeatFail = 240;
    double overlapS = 60;
};
void clockTest(std::span<const std::int64_t> timeUs, const ClockLimits &limits, std::span<QcFlag> flags);

/// flags(i) = worse(flags(i), more(i)).
void mergeFlags(std::span<QcFlag> flags, std::span<const QcFlag> more) noexcept;

} // namespace holdfast
