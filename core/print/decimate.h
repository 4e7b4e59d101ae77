// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "print/time_chart.h"

#include <span>

namespace holdfast
{

/// The middle of the steps between points, seconds: how often a feed usually speaks. 0 for fewer than two
/// points.
[[nodiscard]] double usualStepS(std::span<const ChartPoint> points);

/// Thins a course to what a picture of `columns` columns between `from` and `to` can show. Of each column the
/// first, the least, the greatest and the last value are kept, in order of time: a line through them covers
/// the same pixels as a line through all of them, and no spike is lost. At most four points a column, and one
/// that breaks the line (NaN) wherever two points are further apart than `longestStepS` or a value is
/// missing. Points outside the span are left out; all times are real ones. Pure.
[[nodiscard]] std::vector<ChartPoint> decimate(std::span<const ChartPoint> points, UtcTime from, UtcTime to,
                                               int columns, double longestStepS);

} // namespace holdfast
