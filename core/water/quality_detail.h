// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// Parts of qualityReport(). Private to this folder.

#include "water/quality.h"

#include <optional>
#include <span>
#include <vector>

namespace holdfast::detail
{

/// Median, and 1.4826 x median absolute deviation (which is the standard deviation of normal noise). They
/// reorder the values. Not to be called without values; the median of an even number is the mean of the
/// middle two.
[[nodiscard]] double medianOf(std::span<double> values);
[[nodiscard]] double robustSpread(std::span<double> values, double median);

/// Where the instrument was when it wrote a scan, from good to bad.
enum class AirState : std::uint8_t { Water, Air, StartUp };

/// A row of zeros (conductivity, temperature, and pressure zero or less) is the instrument waking up; low
/// conductivity near zero pressure is the instrument in air.
[[nodiscard]] std::vector<AirState> airStates(std::span<const double> conductivity,
                                              std::span<const double> temperature,
                                              std::span<const double> pressure,
                                              const std::optional<AirLimits> &limits);

/// Stretches in air, start-up rows, pressure on deck before the first and after the last scan in water.
void summariseAir(std::span<const std::int64_t> timeUs, std::span<const double> pressure,
                  std::span<const AirState> states, QualitySummary &summary);

/// The sentences of the summary.
void addFindings(const CtdColumns &ctd, const QualityLimits &limits, std::span<const AirState> states,
                 QualitySummary &summary);

/// Navigation's depth, interpolated. Keeps only depths that are numbers, in order of time.
class DepthComparison
{
public:
    DepthComparison(const DepthReference &reference, double maxGapS);
    /// Depth at the time, between two records not too far apart. `cursor` remembers where the last search
    /// ended, so that a log in order of time costs linear time.
    [[nodiscard]] std::optional<double> at(std::int64_t timeUs, std::size_t &cursor) const;

private:
    std::vector<std::pair<std::int64_t, double>> m_records;
    std::int64_t m_maxGapUs;
};

} // namespace holdfast::detail
