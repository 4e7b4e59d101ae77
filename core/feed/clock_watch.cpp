// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/clock_watch.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace holdfast
{

namespace
{

constexpr double stepS = 0.5;
constexpr auto gpsTrustedFor = std::chrono::seconds(60);

struct TimeSentence {
    const char *type;
    int rank;
};
constexpr std::size_t fewestForScatter = 5;

double middleOf(std::vector<double> values)
{
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

constexpr TimeSentence timeSentences[] = {{"ZDA", 3}, {"RMC", 2}, {"GGA", 1}};

} // namespace

void OffsetWatch::add(UtcTime written, UtcTime received)
{
    m_last[m_count % kept] = secondsBetween(received, written);
    ++m_count;
}

std::optional<double> OffsetWatch::offsetS() const
{
    const std::size_t n = std::min(m_count, kept);
    if (n == 0)
        return {};
    return middleOf({m_last.begin(), m_last.begin() + static_cast<std::ptrdiff_t>(n)});
}

std::optional<ClockOffset> OffsetWatch::offset() const
{
    const std::size_t n = std::min(m_count, kept);
    if (n < fewestForScatter)
        return {};
    std::vector<double> distances(m_last.begin(), m_last.begin() + static_cast<std::ptrdiff_t>(n));
    const double middle = middleOf(distances);
    for (double &d : distances)
        d = std::abs(d - middle);
    const double sigma = 1.4826 * middleOf(std::move(distances));
    constexpr double factor95 = 1.96;
    return ClockOffset{middle, factor95 * std::sqrt(std::numbers::pi / 2) * sigma /
                                   std::sqrt(static_cast<double>(n))};
}

ClockOffset between(const ClockOffset &a, const ClockOffset &b)
{
    return {a.seconds - b.seconds, std::hypot(a.uncertainty95S, b.uncertainty95S)};
}

void GpsTimeWatch::look(std::string_view line, UtcTime received, Instant at)
{
    for (const TimeSentence &known : timeSentences) {
        const std::size_t found = line.find(known.type);
        if (found == std::string_view::npos || found < 3)
            continue;
        const bool fresh = m_rank > 0 && at - m_last <= gpsTrustedFor;
        if (fresh && known.rank < m_rank)
            continue;
        const std::size_t start = line.rfind('$', found);
        if (start == std::string_view::npos)
            continue;
        const NmeaSentence sentence = readNmea(line.substr(start));
        if (sentence.checksumState != ChecksumState::Ok || sentence.type != known.type ||
            sentence.outcome == NmeaOutcome::Reject || sentence.outcome == NmeaOutcome::NoFix)
            continue;
        if (sentence.time && sentence.time->leap())
            continue;              // the host's clock has no such second to be compared with
        NmeaClock clock(received); // the day nearest to ours, where the sentence has none
        const auto instant = clock.instantOf(sentence);
        if (!instant)
            continue;
        if (!fresh || known.rank != m_rank)
            m_offset.forget();
        m_rank = known.rank;
        m_sentence = known.type;
        m_last = at;
        m_offset.add(*instant, received);
        return;
    }
}

std::optional<double> GpsTimeWatch::hostMinusGpsS(Instant at) const
{
    const auto offset = m_offset.offsetS();
    if (!offset || at - m_last > gpsTrustedFor)
        return {};
    return -*offset;
}

std::optional<ClockOffset> GpsTimeWatch::hostMinusGps(Instant at) const
{
    auto offset = m_offset.offset();
    if (!offset || at - m_last > gpsTrustedFor)
        return {};
    offset->seconds = -offset->seconds;
    return offset;
}

std::optional<StepWatch::Step> StepWatch::look(UtcTime utc, Instant steady)
{
    std::optional<Step> step;
    if (m_utc) {
        const double gone = std::chrono::duration<double>(steady - m_steady).count();
        const double seconds = secondsBetween(*m_utc, utc) - gone;
        if (std::abs(seconds) >= stepS)
            step = Step{utc, seconds};
    }
    m_utc = utc;
    m_steady = steady;
    return step;
}

} // namespace holdfast
