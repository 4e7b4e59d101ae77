// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/sample_window.h"

#include "water/quality_detail.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>

namespace holdfast
{

namespace
{

/// Scans [first, last) whose times may lie in a window. In a log whose times do not rise it is the whole log,
/// and each scan's own time decides.
struct Range {
    std::size_t first, last;
};

class Log
{
public:
    Log(UtcTime at, const CtdColumns &ctd, const ScanFlags &flags)
        : m_at(microsecondsOf(at)), m_timeUs(ctd.timeUs), m_flags(flags),
          m_rising(std::is_sorted(ctd.timeUs.begin(), ctd.timeUs.end()))
    {
        if (m_timeUs.empty())
            return;
        const auto [first, last] = std::minmax_element(m_timeUs.begin(), m_timeUs.end());
        m_spans = m_at >= *first && m_at <= *last;
    }

    /// Whether the log covers the time at all; if not, its nearest scans are not evidence from further away.
    [[nodiscard]] bool spansTheTime() const { return m_spans; }

    [[nodiscard]] Range around(double halfWidthS) const
    {
        if (!m_rising)
            return {0, m_timeUs.size()};
        const std::int64_t half = std::llround(halfWidthS * 1e6);
        const auto first = std::lower_bound(m_timeUs.begin(), m_timeUs.end(), m_at - half);
        const auto last = std::upper_bound(first, m_timeUs.end(), m_at + half);
        return {static_cast<std::size_t>(first - m_timeUs.begin()),
                static_cast<std::size_t>(last - m_timeUs.begin())};
    }

    [[nodiscard]] std::int64_t offsetUs(std::size_t i) const { return m_timeUs[i] - m_at; }

    /// The scan's time is in doubt, so it cannot be said to belong to the window.
    [[nodiscard]] bool clockInDoubt(std::size_t i) const
    {
        return i < m_flags.reasons.size() && (m_flags.reasons[i] & bitOf(QcTest::Clock)) != 0;
    }

private:
    std::int64_t m_at;
    std::span<const std::int64_t> m_timeUs;
    const ScanFlags &m_flags;
    bool m_rising;
    bool m_spans = false;
};

/// What one parameter's scans in a window amount to.
struct Gathered {
    std::vector<double> values;
    std::size_t rejected = 0;
    std::size_t notEvaluated = 0;
    bool before = false, after = false; ///< passing scans at or before, at or after the time
};

Gathered gather(const Log &log, std::span<const double> values, std::span<const QcFlag> flags,
                double halfWidthS)
{
    Gathered result;
    const Range range = log.around(halfWidthS);
    const std::int64_t half = std::llround(halfWidthS * 1e6);
    for (std::size_t i = range.first; i < range.last && i < values.size(); ++i) {
        const std::int64_t offset = log.offsetUs(i);
        if (offset < -half || offset > half || std::isnan(values[i]))
            continue;
        const QcFlag flag = i < flags.size() ? flags[i] : QcFlag::NotEvaluated;
        if (log.clockInDoubt(i) || flag == QcFlag::Suspect || flag == QcFlag::Fail ||
            !std::isfinite(values[i])) {
            ++result.rejected;
            continue;
        }
        result.values.push_back(values[i]);
        result.notEvaluated += flag != QcFlag::Pass;
        result.before |= offset <= 0;
        result.after |= offset >= 0;
    }
    return result;
}

QcFlag judge(const WaterValue &value, const Gathered &scans, const WindowOptions &options, double maxSpread)
{
    const bool few = value.used < options.minimumCount;
    const bool widened = value.halfWidthS > options.halfWidthS;
    const bool oneSided = !scans.before || !scans.after;
    const bool disputed = value.rejected >= value.used;
    const bool scattered = value.spread > maxSpread;
    if (few || widened || oneSided || disputed || scattered)
        return QcFlag::Suspect;
    return 2 * scans.notEvaluated > scans.values.size() ? QcFlag::NotEvaluated : QcFlag::Pass;
}

WaterValue measure(const Log &log, std::span<const double> values, std::span<const QcFlag> flags,
                   const WindowOptions &options, double maxSpread)
{
    WaterValue result;
    result.halfWidthS = options.halfWidthS;
    Gathered scans = gather(log, values, flags, options.halfWidthS);
    while (scans.values.size() < options.minimumCount && log.spansTheTime() &&
           result.halfWidthS < options.maxHalfWidthS) {
        const double wider = std::min(2.0 * result.halfWidthS, options.maxHalfWidthS);
        Gathered more = gather(log, values, flags, wider);
        result.halfWidthS = wider;
        scans = std::move(more);
    }
    result.used = scans.values.size();
    result.rejected = scans.rejected;
    if (scans.values.empty()) {
        result.flag = scans.rejected > 0 ? QcFlag::Fail : QcFlag::Missing;
        return result;
    }
    result.value = detail::medianOf(scans.values);
    result.spread = detail::robustSpread(scans.values, result.value);
    result.flag = judge(result, scans, options, maxSpread);
    return result;
}

/// A value computed from the sample's salinity, temperature and pressure.
template <typename Formula>
WaterValue compute(const WaterValues &of, WaterValue spreadFrom, SeawaterFormula formula, Formula evaluate)
{
    WaterValue result = spreadFrom;
    result.value = missingValue;
    result.flag = worse(of.practicalSalinity.flag, worse(of.temperatureDegC.flag, of.pressureDbar.flag));
    for (const WaterValue *input : {&of.practicalSalinity, &of.temperatureDegC, &of.pressureDbar}) {
        if (!input->has()) { // the lower of the two ways of having nothing
            result.flag = worse(input->flag, QcFlag::Missing);
            result.spread = missingValue;
            return result;
        }
        result.used = std::min(result.used, input->used);
        result.halfWidthS = std::max(result.halfWidthS, input->halfWidthS);
    }
    result.value =
        evaluate(formula, of.practicalSalinity.value, of.temperatureDegC.value, of.pressureDbar.value);
    result.note =
        noteFor(formula, of.practicalSalinity.value, of.temperatureDegC.value, of.pressureDbar.value);
    return result;
}

} // namespace

WaterValues waterAt(UtcTime at, const CtdColumns &ctd, const DerivedColumns &derived, const ScanFlags &flags,
                    const WindowOptions &options)
{
    constexpr double any = std::numeric_limits<double>::infinity();
    const Log log(at, ctd, flags);
    const auto measured = [&](const std::vector<double> &values, QcParameter parameter, double maxSpread) {
        return measure(log, values, flags.flags(parameter), options, maxSpread);
    };
    WaterValues result;
    result.at = at;
    result.methods = derived.methods;
    result.conductivityMsCm = measured(ctd.conductivityMsCm, QcParameter::Conductivity, any);
    result.temperatureDegC =
        measured(ctd.temperatureDegC, QcParameter::Temperature, options.maxTemperatureSpread);
    result.pressureDbar = measured(ctd.pressureDbar, QcParameter::Pressure, options.maxDepthSpreadM);
    result.oxygenUmolKg = measured(ctd.oxygenUmolKg, QcParameter::Oxygen, options.maxOxygenSpread);
    result.practicalSalinity =
        measured(derived.practicalSalinity, QcParameter::Salinity, options.maxSalinitySpread);
    result.depthM = measured(derived.depthM, QcParameter::Depth, options.maxDepthSpreadM);

    // The scans whose salinity passes are those whose three inputs pass: they tell the spread of what
    // follows.
    const WaterValue sigma0 = measured(derived.sigma0KgM3, QcParameter::Salinity, any);
    const WaterValue soundSpeed = measured(derived.soundSpeedMs, QcParameter::Salinity, any);
    result.sigma0KgM3 = compute(result, sigma0, derived.methods.sigma0, sigma0By);
    result.soundSpeedMs = compute(result, soundSpeed, derived.methods.soundSpeed, soundSpeedBy);

    if (result.practicalSalinity.has() && result.temperatureDegC.has() && result.pressureDbar.has())
        result.practicalSalinity.note =
            noteFor(SeawaterFormula::SalinityPss78, result.practicalSalinity.value,
                    result.temperatureDegC.value, result.pressureDbar.value);
    if (result.depthM.has() && result.pressureDbar.has())
        result.depthM.note =
            noteForDepth(derived.methods.depth, result.pressureDbar.value, derived.latitudeDeg);

    const Range window = log.around(options.halfWidthS);
    for (std::size_t i = window.first; i < window.last; ++i)
        result.scansInWindow += std::abs(log.offsetUs(i)) <= std::llround(options.halfWidthS * 1e6) ? 1U : 0U;
    for (const WaterValue *value : {&result.depthM, &result.temperatureDegC, &result.practicalSalinity}) {
        result.flag = worse(result.flag, value->flag);
        result.widened |= value->has() && value->halfWidthS > options.halfWidthS;
    }
    return result;
}

} // namespace holdfast
