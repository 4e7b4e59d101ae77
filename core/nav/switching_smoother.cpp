// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/switching_smoother.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdfast::nav_detail
{
namespace
{

constexpr double longestStepS = 15.0;
constexpr double outlierReachM = 400.0; ///< typical reach of gross acoustic outliers (common practice)

/// Log density of a measurement under a mixture with normalized weights.
double logDensity(const Mixture &mixture, const Measurement &z)
{
    Mixture copy = mixture;
    return update(copy, z);
}

/// Log density of a gross outlier at a distance from where the vehicle is: any direction alike, any distance
/// up to the reach alike, so that it thins out with the distance.
double logOutlierDensity(double metres)
{
    return -std::log(2.0 * std::numbers::pi * std::max(1.0, metres) * std::max(outlierReachM, metres));
}

/// Mean and covariance of the position.
Estimate momentsOf(const Mixture &mixture)
{
    Estimate e;
    for (const Gaussian &g : mixture) {
        const double w = std::exp(g.logWeight);
        e.x += w * g.x[0];
        e.y += w * g.y[0];
    }
    for (const Gaussian &g : mixture) {
        const double w = std::exp(g.logWeight), dx = g.x[0] - e.x, dy = g.y[0] - e.y;
        e.xx += w * (g.pp + dx * dx);
        e.xy += w * dx * dy;
        e.yy += w * (g.pp + dy * dy);
    }
    return e;
}

} // namespace

Measurement measurementOf(const Fix &fix, const SwitchingParameters &p)
{
    if (fix.source != PositionSource::Acoustic)
        return {fix.x, fix.y, 0.0, fix.sigmaM * fix.sigmaM};
    const double sigma = p.sigmaScale * fix.sigmaM;
    return {fix.x, fix.y, sigma * std::sqrt(p.slowShare), sigma * sigma * (1.0 - p.slowShare)};
}

void advanceOver(Mixture &mixture, const MotionModel &model, double dt, Direction direction, double leapVar)
{
    if (dt <= 0.0) {
        for (Gaussian &g : mixture)
            g.pp += leapVar;
        return;
    }
    const int steps = std::clamp(static_cast<int>(std::ceil(dt / longestStepS)), 1, 240);
    for (int i = 0; i < steps; ++i)
        advance(mixture, model, dt / steps, direction, leapVar / steps);
}

double leapVariance(double metres)
{
    return metres * metres + 1e4;
}

SwitchingSmoother::SwitchingSmoother(const std::vector<Fix> &fixes, const SwitchingParameters &parameters)
    : m_fixes(fixes), m_parameters(parameters)
{
    m_times.reserve(fixes.size());
    for (const Fix &fix : fixes)
        m_times.push_back(fix.t);
}

double SwitchingSmoother::leapBetween(std::size_t before, std::size_t after) const
{
    // the mark is on the first accepted fix after the leap; rejected fixes between do not carry it
    if (!m_fixes[after].leapBefore)
        return 0.0;
    return leapVariance(
        std::hypot(m_fixes[after].x - m_fixes[before].x, m_fixes[after].y - m_fixes[before].y));
}

void SwitchingSmoother::run()
{
    const std::size_t n = m_fixes.size();
    const MotionModel &model = m_parameters.motion;
    m_forward.resize(n);
    m_backward.resize(n);
    const auto isAccepted = [](const Fix &f) { return f.accepted; };
    const auto first = std::ranges::find_if(m_fixes, isAccepted);
    const auto last = std::find_if(m_fixes.rbegin(), m_fixes.rend(), isAccepted);
    Mixture mixture = vague(model, first->x, first->y);
    for (std::size_t i = 0; i < n; ++i) {
        if (i > 0)
            advanceOver(mixture, model, m_times[i] - m_times[i - 1], Direction::Forward,
                        leapBetween(i - 1, i));
        if (m_fixes[i].accepted)
            update(mixture, measurementOf(m_fixes[i], m_parameters));
        m_forward[i] = mixture;
    }
    mixture = vague(model, last->x, last->y);
    for (std::size_t i = n; i-- > 0;) {
        if (i + 1 < n)
            advanceOver(mixture, model, m_times[i + 1] - m_times[i], Direction::Backward,
                        leapBetween(i, i + 1));
        if (m_fixes[i].accepted)
            update(mixture, measurementOf(m_fixes[i], m_parameters));
        m_backward[i] = mixture;
    }
}

std::size_t SwitchingSmoother::judge(std::vector<Fix> &fixes, double outlierShare) const
{
    const MotionModel &model = m_parameters.motion;
    const double odds = std::log((1.0 - outlierShare) / outlierShare);
    const std::size_t n = fixes.size();
    std::size_t changed = 0;
    for (std::size_t i = 0; i < n; ++i) {
        if (fixes[i].source != PositionSource::Acoustic)
            continue;
        Mixture before = i > 0 ? m_forward[i - 1] : vague(model, fixes[i].x, fixes[i].y);
        Mixture after = i + 1 < n ? m_backward[i + 1] : vague(model, fixes[i].x, fixes[i].y);
        if (i > 0)
            advanceOver(before, model, m_times[i] - m_times[i - 1], Direction::Forward,
                        leapBetween(i - 1, i));
        if (i + 1 < n)
            advanceOver(after, model, m_times[i + 1] - m_times[i], Direction::Backward,
                        leapBetween(i, i + 1));
        const Mixture others = combine(before, after, model);
        const Estimate e = momentsOf(others);
        const double inlier = logDensity(others, measurementOf(fixes[i], m_parameters));
        // an outlier is off from a place that is itself known only so well
        const double off = std::hypot(fixes[i].x - e.x, fixes[i].y - e.y);
        const double outlier = logOutlierDensity(std::sqrt(off * off + e.xx + e.yy));
        const bool accepted = inlier + odds > outlier;
        changed += accepted != fixes[i].accepted ? 1U : 0U;
        fixes[i].accepted = accepted;
    }
    return changed;
}

Estimate SwitchingSmoother::at(double t) const
{
    const MotionModel &model = m_parameters.motion;
    const auto next = static_cast<std::size_t>(std::ranges::upper_bound(m_times, t) - m_times.begin());
    const std::size_t n = m_times.size();
    Mixture before, after;
    double leap = 0.0;
    if (next > 0 && next < n)
        leap = leapBetween(next - 1, next) / std::max(1e-9, m_times[next] - m_times[next - 1]);
    if (next > 0) {
        before = m_forward[next - 1];
        advanceOver(before, model, t - m_times[next - 1], Direction::Forward, leap * (t - m_times[next - 1]));
    }
    if (next < n) {
        after = m_backward[next];
        advanceOver(after, model, m_times[next] - t, Direction::Backward, leap * (m_times[next] - t));
    }
    if (next == 0)
        before = vague(model, after[0].x[0], after[0].y[0]);
    if (next == n)
        after = vague(model, before[0].x[0], before[0].y[0]);
    return momentsOf(combine(before, after, model));
}

} // namespace holdfast::nav_detail
