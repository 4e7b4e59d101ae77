// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/quality_tests.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace holdfast
{

namespace
{

/// Place in the order of aggregation: 4, 3, 1, 2, 9 from the top. Comparisons rather than a switch or a
/// table, so that a loop over it uses vector instructions.
constexpr std::uint8_t rankOf(QcFlag flag) noexcept
{
    const auto v = static_cast<std::uint8_t>(flag);
    const std::uint8_t low = v == 1 ? 2 : v == 2 ? 1 : 0;
    return v == 3 || v == 4 ? v : low;
}

/// The flag of a rank.
constexpr QcFlag flagOfRank(std::uint8_t rank) noexcept
{
    const std::uint8_t low = rank == 2 ? 1 : rank == 1 ? 2 : 9;
    return static_cast<QcFlag>(rank >= 3 ? rank : low);
}

QcFlag graded(double size, double suspect, double fail) noexcept
{
    return size > fail ? QcFlag::Fail : size > suspect ? QcFlag::Suspect : QcFlag::Pass;
}

std::int64_t microseconds(double seconds) noexcept
{
    return std::llround(seconds * 1e6);
}

/// Indexes of the values that could still be the largest (or smallest) of a sliding window, oldest first:
/// each later one is smaller (larger). Every index enters and leaves once, so a whole log costs linear time.
class Extremes
{
public:
    void clear() noexcept
    {
        m_indexes.clear();
        m_front = 0;
    }
    void startWith(std::size_t index)
    {
        clear();
        m_indexes.push_back(index);
    }
    template <typename Beats>
    void push(std::size_t index, Beats beats)
    {
        while (m_indexes.size() > m_front && beats(index, m_indexes.back()))
            m_indexes.pop_back();
        m_indexes.push_back(index);
    }
    void dropUpTo(std::size_t index)
    {
        while (m_front < m_indexes.size() && m_indexes[m_front] <= index)
            ++m_front;
        if (m_front > 4096 && m_front * 2 > m_indexes.size()) { // give the spent part back now and then
            m_indexes.erase(m_indexes.begin(), m_indexes.begin() + static_cast<std::ptrdiff_t>(m_front));
            m_front = 0;
        }
    }
    [[nodiscard]] bool empty() const noexcept { return m_front == m_indexes.size(); }
    [[nodiscard]] std::size_t front() const noexcept { return m_indexes[m_front]; }

private:
    std::vector<std::size_t> m_indexes;
    std::size_t m_front = 0;
};

/// The longest stretch of values, ending at the newest, whose range is below the tolerance.
class FlatWindow
{
public:
    FlatWindow(std::span<const std::int64_t> timeUs, std::span<const double> values, double tolerance)
        : m_timeUs(timeUs), m_values(values), m_tolerance(tolerance)
    {
    }
    void restart(std::size_t at) noexcept
    {
        m_high.clear();
        m_low.clear();
        m_start = at;
        m_hasNewest = false;
        m_hasBreaker = false;
    }
    void add(std::size_t i)
    {
        m_hasPrevious = m_hasNewest;
        m_previous = m_newest;
        m_newest = i;
        m_hasNewest = true;
        if (m_hasPrevious && std::abs(m_values[i] - m_values[m_previous]) >= m_tolerance) {
            // The usual case in a live sensor: the last step alone ends whatever went before.
            m_breaker = m_previous;
            m_hasBreaker = true;
            m_high.startWith(i);
            m_low.startWith(i);
            return;
        }
        m_high.push(i, [this](std::size_t a, std::size_t b) { return m_values[a] >= m_values[b]; });
        m_low.push(i, [this](std::size_t a, std::size_t b) { return m_values[a] <= m_values[b]; });
        while (m_values[m_high.front()] - m_values[m_low.front()] >= m_tolerance) {
            m_breaker = std::min(m_high.front(), m_low.front());
            m_hasBreaker = true;
            m_high.dropUpTo(m_breaker);
            m_low.dropUpTo(m_breaker);
        }
    }
    /// Whether all values of the window that reaches `backUs` back from the newest stay within the tolerance,
    /// and the window is whole and holds at least two.
    [[nodiscard]] bool flatFor(std::int64_t backUs) const noexcept
    {
        const std::int64_t from = m_timeUs[m_newest] - backUs;
        return from >= m_timeUs[m_start] && m_hasPrevious && m_timeUs[m_previous] >= from &&
               (!m_hasBreaker || m_timeUs[m_breaker] < from);
    }

private:
    std::span<const std::int64_t> m_timeUs;
    std::span<const double> m_values;
    double m_tolerance;
    Extremes m_high, m_low;
    std::size_t m_start = 0, m_newest = 0, m_previous = 0, m_breaker = 0;
    bool m_hasNewest = false, m_hasPrevious = false, m_hasBreaker = false;
};

/// Flags the equal times that began at `first` and ended before `end`.
void flagRun(std::span<QcFlag> flags, std::size_t first, std::size_t end, const ClockLimits &limits)
{
    const std::size_t length = end - first;
    if (length < limits.repeatSuspect)
        return;
    const QcFlag flag = length >= limits.repeatFail ? QcFlag::Fail : QcFlag::Suspect;
    for (std::size_t i = first; i < end; ++i)
        flags[i] = worse(flags[i], flag);
}

} // namespace

QcFlag worse(QcFlag a, QcFlag b) noexcept
{
    return rankOf(a) >= rankOf(b) ? a : b;
}

void mergeFlags(std::span<QcFlag> flags, std::span<const QcFlag> more) noexcept
{
    QcFlag *__restrict into = flags.data();
    const QcFlag *__restrict from = more.data();
    const std::size_t count = flags.size();
    for (std::size_t i = 0; i < count; ++i)
        into[i] = flagOfRank(std::max(rankOf(into[i]), rankOf(from[i])));
}

void grossRangeTest(std::span<const double> values, const GrossRangeLimits &limits, std::span<QcFlag> flags)
{
    const double suspectMin = limits.suspectMin.value_or(limits.failMin);
    const double suspectMax = limits.suspectMax.value_or(limits.failMax);
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double v = values[i];
        QcFlag flag = QcFlag::Pass;
        if (std::isnan(v))
            flag = QcFlag::Missing;
        else if (v < limits.failMin || v > limits.failMax)
            flag = QcFlag::Fail;
        else if (v < suspectMin || v > suspectMax)
            flag = QcFlag::Suspect;
        flags[i] = flag;
    }
}

void spikeTest(std::span<const double> values, const SpikeLimits &limits, std::span<QcFlag> flags)
{
    const std::size_t count = values.size();
    for (std::size_t i = 0; i < count; ++i) {
        if (std::isnan(values[i])) {
            flags[i] = QcFlag::Missing;
        } else if (i == 0 || i + 1 == count || std::isnan(values[i - 1]) || std::isnan(values[i + 1])) {
            flags[i] = QcFlag::NotEvaluated;
        } else {
            const double off = std::abs(values[i] - (values[i - 1] + values[i + 1]) / 2.0);
            flags[i] = graded(off, limits.suspect, limits.fail);
        }
    }
}

namespace
{

/// Whether the median of the window lies more than `limit` from v: more than half of the window does, all on
/// one side. Stops as soon as that can no longer be.
bool farFromMedian(std::span<const double> window, double v, double limit) noexcept
{
    const std::size_t majority = window.size() / 2 + 1;
    std::size_t below = 0, above = 0, agreeing = 0;
    for (const double x : window) {
        if (x < v - limit)
            ++below;
        else if (x > v + limit)
            ++above;
        else if (++agreeing >= majority)
            return false;
    }
    return below >= majority || above >= majority;
}

/// Whether all values lie within `reach` of the first; not so when one is missing.
bool allNear(std::span<const double> values, double reach) noexcept
{
    const double first = values[0];
    int far = 0;
    for (const double v : values)
        far += std::abs(v - first) <= reach ? 0 : 1;
    return far == 0;
}

} // namespace

void burstTest(std::span<const double> values, const BurstLimits &limits, std::span<QcFlag> flags)
{
    constexpr std::size_t blockSize = 32;
    const auto half = static_cast<std::size_t>(std::clamp(limits.halfScans, 1, 8));
    const auto judge = [&](std::size_t i) {
        const double v = values[i];
        if (std::isnan(v))
            return QcFlag::Missing;
        if (values.size() < 2 * half + 1)
            return QcFlag::NotEvaluated;
        const std::size_t from = std::min(i < half ? 0 : i - half, values.size() - (2 * half + 1));
        const auto window = values.subspan(from, 2 * half + 1);
        if (!farFromMedian(window, v, limits.suspect))
            return QcFlag::Pass;
        return farFromMedian(window, v, limits.fail) ? QcFlag::Fail : QcFlag::Suspect;
    };
    for (std::size_t start = 0; start < values.size(); start += blockSize) {
        const std::size_t end = std::min(start + blockSize, values.size());
        // Where all scans that can play a part lie close together, none can be far from a median.
        if (start >= half && end + half <= values.size() &&
            allNear(values.subspan(start - half, end - start + 2 * half), 0.5 * limits.suspect)) {
            std::fill(flags.begin() + static_cast<std::ptrdiff_t>(start),
                      flags.begin() + static_cast<std::ptrdiff_t>(end), QcFlag::Pass);
            continue;
        }
        for (std::size_t i = start; i < end; ++i)
            flags[i] = judge(i);
    }
}

void rateTest(std::span<const std::int64_t> timeUs, std::span<const double> values, const RateLimits &limits,
              std::span<QcFlag> flags)
{
    const double fail = limits.failPerS.value_or(std::numeric_limits<double>::infinity());
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (std::isnan(values[i])) {
            flags[i] = QcFlag::Missing;
        } else if (i == 0 || std::isnan(values[i - 1]) || timeUs[i] <= timeUs[i - 1]) {
            flags[i] = QcFlag::NotEvaluated;
        } else {
            const double seconds = static_cast<double>(timeUs[i] - timeUs[i - 1]) / 1e6;
            flags[i] = graded(std::abs(values[i] - values[i - 1]) / seconds, limits.suspectPerS, fail);
        }
    }
}

void flatTest(std::span<const std::int64_t> timeUs, std::span<const double> values, const FlatLimits &limits,
              std::span<QcFlag> flags)
{
    const std::int64_t suspectUs = microseconds(limits.suspectS);
    const std::int64_t failUs = microseconds(limits.failS);
    const bool canFlag = limits.tolerance > 0;
    FlatWindow window(timeUs, values, limits.tolerance);
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (i > 0 && timeUs[i] < timeUs[i - 1])
            window.restart(i);
        if (std::isnan(values[i])) {
            flags[i] = QcFlag::Missing;
            continue;
        }
        flags[i] = QcFlag::Pass;
        if (!canFlag)
            continue;
        window.add(i);
        if (window.flatFor(failUs))
            flags[i] = QcFlag::Fail;
        else if (window.flatFor(suspectUs))
            flags[i] = QcFlag::Suspect;
    }
}

void gapTest(std::span<const std::int64_t> timeUs, double maxGapS, std::span<QcFlag> flags)
{
    const std::int64_t limit = microseconds(maxGapS);
    for (std::size_t i = 0; i < timeUs.size(); ++i) {
        if (i == 0)
            flags[i] = QcFlag::NotEvaluated;
        else
            flags[i] = timeUs[i] - timeUs[i - 1] > limit ? QcFlag::Fail : QcFlag::Pass;
    }
}

void clockTest(std::span<const std::int64_t> timeUs, const ClockLimits &limits, std::span<QcFlag> flags)
{
    if (timeUs.empty())
        return;
    const std::int64_t overlapUs = microseconds(limits.overlapS);
    std::int64_t furthest = timeUs[0];
    std::size_t runStart = 0;
    flags[0] = QcFlag::NotEvaluated;
    for (std::size_t i = 1; i < timeUs.size(); ++i) {
        flags[i] = QcFlag::Pass;
        if (timeUs[i] != timeUs[i - 1]) {
            flagRun(flags, runStart, i, limits);
            runStart = i;
        }
        if (timeUs[i] >= furthest) {
            furthest = timeUs[i];
        } else if (furthest - timeUs[i] <= overlapUs) {
            flags[i] = QcFlag::Suspect;
        } else { // the clock was set back by more than an overlap of two files: a new beginning
            flags[i] = QcFlag::Suspect;
            furthest = timeUs[i];
        }
    }
    flagRun(flags, runStart, timeUs.size(), limits);
}

} // namespace holdfast
