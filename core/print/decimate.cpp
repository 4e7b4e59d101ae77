// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/decimate.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace holdfast
{

namespace
{

/// What is kept of the points of one column.
class Column
{
public:
    void take(const ChartPoint &p)
    {
        if (m_count == 0)
            m_first = m_least = m_most = p;
        if (p.value < m_least.value)
            m_least = p;
        if (p.value > m_most.value)
            m_most = p;
        m_last = p;
        ++m_count;
    }

    /// Gives the points in order of time, each once, and is empty again.
    void give(std::vector<ChartPoint> &out)
    {
        if (m_count == 0)
            return;
        std::array<ChartPoint, 4> kept{m_first, m_least, m_most, m_last};
        std::sort(kept.begin(), kept.end(),
                  [](const ChartPoint &a, const ChartPoint &b) { return a.time < b.time; });
        for (std::size_t i = 0; i < kept.size(); ++i) {
            if (i == 0 || kept[i].time != kept[i - 1].time || kept[i].value != kept[i - 1].value)
                out.push_back(kept[i]);
        }
        m_count = 0;
    }

private:
    ChartPoint m_first, m_least, m_most, m_last;
    std::size_t m_count = 0;
};

} // namespace

double usualStepS(std::span<const ChartPoint> points)
{
    if (points.size() < 2)
        return 0;
    // A few thousand steps tell the middle as well as a million.
    const std::size_t every = std::max<std::size_t>(1, points.size() / 4096);
    std::vector<double> steps;
    for (std::size_t i = 1; i < points.size(); i += every)
        steps.push_back(secondsBetween(points[i - 1].time, points[i].time));
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    return *middle;
}

std::vector<ChartPoint> decimate(std::span<const ChartPoint> points, UtcTime from, UtcTime to, int columns,
                                 double longestStepS)
{
    std::vector<ChartPoint> out;
    if (to <= from || columns < 1)
        return out;
    const auto begin = std::lower_bound(points.begin(), points.end(), from,
                                        [](const ChartPoint &p, UtcTime t) { return p.time < t; });
    const auto end =
        std::upper_bound(begin, points.end(), to, [](UtcTime t, const ChartPoint &p) { return t < p.time; });
    out.reserve(
        static_cast<std::size_t>(std::min<std::ptrdiff_t>(end - begin, std::ptrdiff_t{4} * columns + 16)));
    const std::int64_t span = (to - from).count();
    const std::int64_t longest = longestStepS > 0 ? static_cast<std::int64_t>(longestStepS * 1e6)
                                                  : std::numeric_limits<std::int64_t>::max();
    Column column;
    std::int64_t columnAt = -1;
    std::int64_t columnEnd = std::numeric_limits<std::int64_t>::min();
    bool broken = true; // nothing to break before the first value
    std::int64_t last = 0;
    const auto breakAt = [&](UtcTime t) {
        column.give(out);
        columnEnd = std::numeric_limits<std::int64_t>::min();
        if (!broken)
            out.push_back({t, std::numeric_limits<double>::quiet_NaN()});
        broken = true;
    };
    for (auto p = begin; p != end; ++p) {
        const std::int64_t at = (p->time - from).count();
        if (!std::isfinite(p->value)) {
            breakAt(p->time);
            continue;
        }
        if (!broken && at - last > longest)
            breakAt(p->time);
        if (at >= columnEnd) {
            column.give(out);
            columnAt =
                static_cast<std::int64_t>(static_cast<double>(at) * columns / static_cast<double>(span));
            columnEnd = static_cast<std::int64_t>(
                std::ceil(static_cast<double>(columnAt + 1) * static_cast<double>(span) / columns));
        }
        column.take(*p);
        broken = false;
        last = at;
    }
    column.give(out);
    return out;
}

} // namespace holdfast
