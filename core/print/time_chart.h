// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "print/page_document.h"

#include <optional>
#include <vector>

namespace holdfast
{

struct ChartPoint {
    UtcTime time{};
    double value = 0; ///< NaN breaks the line
};

/// A value over the time of a dive.
struct TimeChart {
    QString title = {}; ///< with the unit: "Temperature (°C)"
    UtcTime from{};
    UtcTime to{};
    std::vector<ChartPoint> points = {}; ///< in order of time; any number
    bool downwards = false;              ///< larger values lie lower, for depth
    bool compact = false;                ///< for low strips: the title stands inside the frame
    bool times = true;                   ///< the hours below the frame
    bool broken = false; ///< gaps are marked by NaN already (decimate.h); else they are found from the steps
    /// The axis spans at least so much, in the unit of the values: noise at rest must not look like a course.
    double leastSpan = 0;
    std::optional<UtcTime> provisionalFrom = {}; ///< from there on the line is dashed, and the title says why
    struct Sign {
        UtcTime time{};
        double value = 0; ///< NaN: a line from top to bottom instead of a circle
        QString label = {};
        enum class Look { Ring, Filled, Cross };
        Look look = Look::Ring;
    };
    std::vector<Sign> signs = {}; ///< the samples
};

/// Round numbers between `least` and `most`: 1, 2 or 5 times a power of ten apart, at most `count`.
[[nodiscard]] std::vector<double> roundTicks(double least, double most, int count);

/// The value of a course at a time, on the line between the points about it; NaN outside them or in a gap.
[[nodiscard]] double valueAt(const std::vector<ChartPoint> &points, UtcTime time);

/// The chart in `areaMm`: title, axes with round numbers, the line, the samples. Thousands of points become
/// what the paper can show: the least and greatest of each 0.15 mm, so that a spike stays. A line is not
/// drawn across a gap of more than 20 times the usual step. An area without any finite value says so. Needs a
/// QGuiApplication.
[[nodiscard]] std::vector<PageMark> drawTimeChart(const TimeChart &chart, const QRectF &areaMm);

} // namespace holdfast
