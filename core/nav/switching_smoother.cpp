// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/switching_smoother.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace holdfast::nav_detail
{
namespace
{

constexpr double outlierReachM = 400.0; ///< typical reach of gross acoustic outliers (common practice)
/// On the variance where a velocity log covers the time: its faults are estimated, not known. Set on invented
/// dives.
constexpr double faultAllowance = 1.02;
constexpr double mergingFactor = 0.955; ///< merging the histories of a mode into one makes the whole a little
                                        ///< too wide; measured on invented dives (tests/bench/README.md)
constexpr double surprising = 4.0;      ///< Agreement::surprise above this calls for a closer look

/// Log density of a gross outlier at a distance from where the vehicle is: any direction alike, any distance
/// up to the reach alike, so that it thins out with the distance.
double logOutlierDensity(double metres)
{
    return -std::log(2.0 * std::numbers::pi * std::max(1.0, metres) * std::max(outlierReachM, metres));
}

double share(double part, double whole)
{
    return whole > 0.0 ? std::clamp(part / whole, 0.0, 1.0) : 1.0;
}

} // namespace

double mixtureRadius95(const Mixture &mixture, const Estimate &mean)
{
    std::array<double, modes> share{}, inverse{};
    double sum = 0, variance = 0;
    for (const Gaussian &g : mixture)
        sum += g.weight;
    for (std::size_t k = 0; k < modes; ++k) {
        const double dx = mixture[k].x[0] - mean.x, dy = mixture[k].y[0] - mean.y;
        const double ownVariance = mixture[k].pp + 0.5 * (dx * dx + dy * dy);
        share[k] = mixture[k].weight / sum;
        inverse[k] = 0.5 / ownVariance;
        variance += share[k] * ownVariance;
    }
    // solves for the squared radius; the share outside is convex in it, so Newton's steps from below never
    // overshoot
    double squared = 0;
    for (int round = 0; round < 12; ++round) {
        double outside = 0, slope = 0;
        for (std::size_t k = 0; k < modes; ++k) {
            const double part = share[k] * std::exp(-squared * inverse[k]);
            outside += part;
            slope += part * inverse[k];
        }
        const double step = (outside - 0.05) / slope;
        squared += step;
        if (step < 1e-3 * variance)
            break;
    }
    return std::sqrt(squared);
}

Estimate momentsOf(const Mixture &mixture)
{
    Estimate e;
    double sum = 0;
    for (const Gaussian &g : mixture) {
        sum += g.weight;
        e.x += g.weight * g.x[0];
        e.y += g.weight * g.y[0];
    }
    e.x /= sum;
    e.y /= sum;
    for (const Gaussian &g : mixture) {
        const double w = g.weight / sum, dx = g.x[0] - e.x, dy = g.y[0] - e.y;
        e.xx += w * (g.pp + dx * dx);
        e.xy += w * dx * dy;
        e.yy += w * (g.pp + dy * dy);
    }
    return e;
}

SwitchingSmoother::SwitchingSmoother(const SwitchingParameters &parameters, const VelocityAid &aid)
    : m_parameters(parameters), m_aid(aid),
      m_slowFactor(parameters.sigmaScale * std::sqrt(parameters.slowShare)),
      m_whiteFactor(parameters.sigmaScale * parameters.sigmaScale * (1.0 - parameters.slowShare))
{
}

void SwitchingSmoother::run(const std::vector<Fix> &fixes)
{
    const MotionModel &model = m_parameters.motion;
    m_nodes = nodesOf(fixes, m_aid);
    const std::size_t n = m_nodes.size();
    m_times.resize(n);
    m_forward.resize(n);
    m_backward.resize(n);
    m_surprising.assign(n, false);
    const auto take = [this](Mixture &mixture, std::size_t i) {
        if (m_nodes[i].count > 0.0 &&
            update(mixture, measurementOf(m_nodes[i], m_slowFactor, m_whiteFactor)).surprise > surprising)
            m_surprising[i] = true;
    };
    const auto measured = [](const Node &node) { return node.count > 0.0; };
    const auto first = std::ranges::find_if(m_nodes, measured);
    const auto last = std::find_if(m_nodes.rbegin(), m_nodes.rend(), measured);
    Mixture mixture = vague(model, m_nodes.front().aid, first->x, first->y);
    for (std::size_t i = 0; i < n; ++i) {
        const Node &node = m_nodes[i];
        m_times[i] = node.t;
        if (i > 0) {
            if (node.aid != m_nodes[i - 1].aid)
                enter(mixture, model, node.aid);
            advance(mixture, model, node.t - m_nodes[i - 1].t, Direction::Forward, node.aid, node.leapVar);
        }
        take(mixture, i);
        m_forward[i] = mixture;
    }
    mixture = vague(model, m_nodes.back().aid, last->x, last->y);
    for (std::size_t i = n; i-- > 0;) {
        if (i + 1 < n) {
            const Node &later = m_nodes[i + 1];
            if (i + 2 < n && later.aid != m_nodes[i + 2].aid)
                enter(mixture, model, later.aid);
            advance(mixture, model, later.t - m_nodes[i].t, Direction::Backward, later.aid, later.leapVar);
        }
        take(mixture, i);
        m_backward[i] = mixture;
    }
}

SwitchingSmoother::Pair SwitchingSmoother::around(double t, std::size_t before, std::size_t after) const
{
    const MotionModel &model = m_parameters.motion;
    const std::size_t n = m_nodes.size();
    Pair pair;
    pair.aid = after < n ? m_nodes[after].aid : Aid::None;
    if (before > 0) {
        const Node &node = m_nodes[before - 1];
        pair.before = m_forward[before - 1];
        if (node.aid != pair.aid)
            enter(pair.before, model, pair.aid);
        const double leap =
            before < n ? m_nodes[before].leapVar * share(t - node.t, m_nodes[before].t - node.t) : 0.0;
        advance(pair.before, model, t - node.t, Direction::Forward, pair.aid, leap);
    }
    if (after < n) {
        const Node &node = m_nodes[after];
        pair.after = m_backward[after];
        if (after + 1 < n && m_nodes[after + 1].aid != pair.aid)
            enter(pair.after, model, pair.aid);
        const double leap = after > 0 ? node.leapVar * share(node.t - t, node.t - m_nodes[after - 1].t) : 0.0;
        advance(pair.after, model, node.t - t, Direction::Backward, pair.aid, leap);
    }
    if (before == 0)
        pair.before = vague(model, pair.aid, pair.after[0].x[0], pair.after[0].y[0]);
    if (after >= n)
        pair.after = vague(model, pair.aid, pair.before[0].x[0], pair.before[0].y[0]);
    return pair;
}

std::size_t SwitchingSmoother::judge(std::vector<Fix> &fixes, double outlierShare) const
{
    const double odds = std::log((1.0 - outlierShare) / outlierShare);
    const auto isInlier = [&](const Fix &fix, std::size_t before, std::size_t after) {
        const Pair pair = around(fix.t, before, after);
        Mixture others = combine(pair.before, pair.after, m_parameters.motion, pair.aid);
        const Displacement moved = m_aid.displacement(fix.t);
        Node alone;
        alone.x = fix.x - moved.x;
        alone.y = fix.y - moved.y;
        alone.sigmaM = fix.sigmaM;
        alone.count = 1.0;
        const Estimate e = momentsOf(others);
        const double inlier = update(others, measurementOf(alone, m_slowFactor, m_whiteFactor)).logDensity;
        // an outlier is off from a place that is itself known only so well
        const double dx = alone.x - e.x, dy = alone.y - e.y;
        return inlier + odds > logOutlierDensity(std::sqrt(dx * dx + dy * dy + e.xx + e.yy));
    };
    std::size_t changed = 0, kept = 0;
    std::vector<bool> judged(fixes.size());
    for (std::size_t i = 0; i < fixes.size(); ++i)
        judged[i] = fixes[i].accepted;
    for (std::size_t k = 0; k < m_nodes.size(); ++k)
        for (std::uint32_t i = m_nodes[k].firstFix; i < m_nodes[k].endFix; ++i)
            if (m_nodes[k].acoustic && fixes[i].accepted && (m_surprising[k] || standsOut(fixes[i], k)))
                judged[i] = isInlier(fixes[i], k, k + 1);
    for (std::size_t i = 0; i < fixes.size(); ++i) {
        if (!fixes[i].accepted) {
            const auto next =
                static_cast<std::size_t>(std::ranges::upper_bound(m_times, fixes[i].t) - m_times.begin());
            judged[i] = isInlier(fixes[i], next, next);
        }
        kept += judged[i] ? 1U : 0U;
        changed += judged[i] != fixes[i].accepted ? 1U : 0U;
    }
    if (kept == 0)
        return 0; // fixes that all contradict each other: the first judgement stands
    for (std::size_t i = 0; i < fixes.size(); ++i)
        fixes[i].accepted = judged[i];
    return changed;
}

bool SwitchingSmoother::standsOut(const Fix &fix, std::size_t k) const
{
    const Node &node = m_nodes[k];
    if (node.count < 2.0)
        return false;
    const Displacement moved = m_aid.displacement(fix.t);
    const double dx = fix.x - moved.x - node.x, dy = fix.y - moved.y - node.y;
    const double usual = 3.0 * m_parameters.sigmaScale * fix.sigmaM + 0.3;
    return dx * dx + dy * dy > usual * usual;
}

double SwitchingSmoother::satelliteSigma(std::size_t next) const
{
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t k = next > 0 ? next - 1 : 0; k < std::min(m_nodes.size(), next + 1); ++k)
        if (m_nodes[k].count > 0.0)
            least = std::min(least, m_nodes[k].acoustic ? 0.0 : m_nodes[k].statedM);
    return std::isfinite(least) ? least : 0.0;
}

Estimate SwitchingSmoother::at(double t) const
{
    const auto next = static_cast<std::size_t>(std::ranges::upper_bound(m_times, t) - m_times.begin());
    const Pair pair = around(t, next, next);
    const Mixture posterior = combine(pair.before, pair.after, m_parameters.motion, pair.aid);
    Estimate e = momentsOf(posterior);
    if (pair.aid == Aid::None)
        e.radius95M = mergingFactor *
                      std::min(mixtureRadius95(posterior, e), radius95 * std::sqrt(0.5 * (e.xx + e.yy)));
    else
        for (double *part : {&e.xx, &e.xy, &e.yy})
            *part *= faultAllowance * m_aidedRatio;
    // A receiver's error goes over many minutes, so that its neighbours do not average it away (common
    // practice).
    if (const double least = satelliteSigma(next); least * least > std::min(e.xx, e.yy)) {
        e.xx = std::max(e.xx, least * least);
        e.yy = std::max(e.yy, least * least);
        e.radius95M = std::max(e.radius95M, radius95 * least);
    }
    const Displacement moved = m_aid.displacement(t);
    e.x += moved.x;
    e.y += moved.y;
    return e;
}

} // namespace holdfast::nav_detail
