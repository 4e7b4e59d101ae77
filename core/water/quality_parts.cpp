// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/quality_detail.h"

#include <algorithm>
#include <cmath>

namespace holdfast::detail
{

double medianOf(std::span<double> values)
{
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    if (values.size() % 2 == 1)
        return *middle;
    return (*std::max_element(values.begin(), middle) + *middle) / 2.0;
}

double robustSpread(std::span<double> values, double median)
{
    for (double &value : values)
        value = std::abs(value - median);
    return 1.4826 * medianOf(values);
}

std::vector<AirState> airStates(std::span<const double> conductivity, std::span<const double> temperature,
                                std::span<const double> pressure, const std::optional<AirLimits> &limits)
{
    std::vector<AirState> states(pressure.size(), AirState::Water);
    for (std::size_t i = 0; i < states.size(); ++i) {
        if (conductivity[i] == 0.0 && temperature[i] == 0.0 && pressure[i] <= 0.0)
            states[i] = AirState::StartUp;
        else if (limits && conductivity[i] < limits->conductivityBelowMsCm &&
                 pressure[i] < limits->pressureBelowDbar)
            states[i] = AirState::Air;
    }
    return states;
}

namespace
{

std::optional<DeckPressure> deckPressure(std::span<const double> pressure, std::span<const AirState> states)
{
    std::vector<double> inAir;
    for (std::size_t i = 0; i < states.size(); ++i) {
        if (states[i] == AirState::Air && std::isfinite(pressure[i]))
            inAir.push_back(pressure[i]);
    }
    if (inAir.empty())
        return std::nullopt;
    DeckPressure deck;
    deck.count = inAir.size();
    deck.medianDbar = medianOf(inAir);
    deck.spreadDbar = robustSpread(inAir, deck.medianDbar);
    return deck;
}

} // namespace

void summariseAir(std::span<const std::int64_t> timeUs, std::span<const double> pressure,
                  std::span<const AirState> states, QualitySummary &summary)
{
    // A dive is the longest stretch in water; a row of rubbish before it, which looks like water, is none.
    std::size_t diveFirst = 0, diveEnd = 0, runFirst = 0;
    for (std::size_t i = 0; i < states.size(); ++i) {
        summary.startUpScans += states[i] == AirState::StartUp;
        const bool goesOn = i > 0 && (states[i - 1] == AirState::Water) == (states[i] == AirState::Water);
        if (!goesOn)
            runFirst = i;
        if (states[i] == AirState::Water) {
            if (i + 1 - runFirst > diveEnd - diveFirst) {
                diveFirst = runFirst;
                diveEnd = i + 1;
            }
            continue;
        }
        if (!goesOn)
            summary.airStretches.push_back({i, i, utcFromMicroseconds(timeUs[i]), {}});
        summary.airStretches.back().last = i;
        summary.airStretches.back().to = utcFromMicroseconds(timeUs[i]);
    }
    const std::size_t before = diveEnd > 0 ? diveFirst : states.size();
    summary.deckBefore = deckPressure(pressure.first(before), states.first(before));
    if (diveEnd > 0)
        summary.deckAfter = deckPressure(pressure.subspan(diveEnd), states.subspan(diveEnd));
}

DepthComparison::DepthComparison(const DepthReference &reference, double maxGapS)
    : m_maxGapUs(std::llround(maxGapS * 1e6))
{
    const std::size_t count = std::min(reference.timeUs.size(), reference.depthM.size());
    m_records.reserve(count);
    for (std::size_t i = 0; i < count; ++i) {
        if (std::isfinite(reference.depthM[i]))
            m_records.emplace_back(reference.timeUs[i], reference.depthM[i]);
    }
    const auto byTime = [](const auto &a, const auto &b) { return a.first < b.first; };
    if (!std::is_sorted(m_records.begin(), m_records.end(), byTime))
        std::stable_sort(m_records.begin(), m_records.end(), byTime);
}

std::optional<double> DepthComparison::at(std::int64_t timeUs, std::size_t &cursor) const
{
    // cursor is the first record later than the time.
    if (cursor > 0 && m_records[cursor - 1].first > timeUs) {
        const auto later = std::upper_bound(m_records.begin(), m_records.end(), timeUs,
                                            [](std::int64_t t, const auto &r) { return t < r.first; });
        cursor = static_cast<std::size_t>(later - m_records.begin());
    }
    while (cursor < m_records.size() && m_records[cursor].first <= timeUs)
        ++cursor;
    if (cursor == 0)
        return std::nullopt;
    const auto &[before, depthBefore] = m_records[cursor - 1];
    if (before == timeUs)
        return depthBefore;
    if (cursor == m_records.size() || m_records[cursor].first - before > m_maxGapUs)
        return std::nullopt;
    const auto &[after, depthAfter] = m_records[cursor];
    const double share = static_cast<double>(timeUs - before) / static_cast<double>(after - before);
    return depthBefore + share * (depthAfter - depthBefore);
}

} // namespace holdfast::detail
