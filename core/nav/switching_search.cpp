// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/switching_smoother.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace holdfast::nav_detail
{
namespace
{

constexpr std::size_t fewest = 60;      ///< nodes; with less the stated defaults are better than a guess
constexpr std::size_t mostNodes = 3600; ///< looked at, in blocks spread over the dive
constexpr std::size_t blocks = 6;
constexpr std::size_t dimensions = 7;
using Point = std::array<double, dimensions>;
enum Dimension : std::size_t { White, SlowRate, Slow, Speed, RestSpeed, Pace, AidedSpeed };

/// The searched values as logarithms. Of the errors the fixes tell the white deviation and the rate at which
/// the slow part wanders (its variance over its time) sharply, its whole deviation only vaguely; these three
/// are looked for.
Point pointOf(const SwitchingParameters &p)
{
    const double scale = std::log(p.sigmaScale), slow = scale + 0.5 * std::log(p.slowShare);
    return {scale + 0.5 * std::log(1.0 - p.slowShare),
            2.0 * slow - std::log(p.motion.slowTimeS),
            slow,
            std::log(p.motion.speedMs[1]),
            std::log(p.motion.speedMs[0]),
            std::log(p.motion.restS),
            std::log(p.motion.aidedSpeedMs)};
}

SwitchingParameters parametersAt(const Point &at, const SwitchingParameters &start)
{
    SwitchingParameters p = start;
    const double white = std::exp(2.0 * at[White]), slow = std::exp(2.0 * at[Slow]);
    p.sigmaScale = std::sqrt(white + slow);
    p.slowShare = slow / (white + slow);
    p.motion.slowTimeS = std::clamp(std::exp(2.0 * at[Slow] - at[SlowRate]), 1.0, 3600.0);
    p.motion.speedMs[1] = std::exp(at[Speed]);
    p.motion.speedMs[0] = std::exp(at[RestSpeed]);
    p.motion.restS = std::exp(at[Pace]);
    const double pace = p.motion.restS / start.motion.restS;
    p.motion.transitS = pace * start.motion.transitS;
    p.motion.courseS = pace * start.motion.courseS;
    p.motion.aidedSpeedMs = std::exp(at[AidedSpeed]);
    return p;
}

double penalty(double deviation, double below, double above)
{
    const double d = deviation / (deviation < 0.0 ? below : above);
    return 0.5 * d * d;
}

/// How sure the stated values are before the data speak, as standard deviations of logarithms. Without the
/// data against it, much of the error is slow: a slow error mistaken for motion makes a false radius, the
/// opposite only a wide one. The speed hardly gives way downward: a dive's long slow descent must not make
/// its short transits improbable.
double logPrior(const Point &at, const Point &start)
{
    Point d{};
    for (std::size_t k = 0; k < dimensions; ++k)
        d[k] = at[k] - start[k];
    const auto total = [](const Point &p) {
        return 0.5 * std::log(std::exp(2.0 * p[White]) + std::exp(2.0 * p[Slow]));
    };
    const double logTime = 2.0 * d[Slow] - d[SlowRate];
    const double off = (total(at) - total(start)) / (total(at) < total(start) ? 0.03 : 0.3);
    return -2.0 * std::log1p(off * off) - penalty(d[Slow] - d[White], 2.0, 0.3) - penalty(logTime, 0.6, 0.4) -
           penalty(d[Speed], 0.05, 0.7) - penalty(d[RestSpeed], 0.4, 0.3) - penalty(d[Pace], 0.2, 0.7) -
           penalty(d[AidedSpeed], 0.7, 0.7);
}

/// Log likelihood of a stretch of nodes by the forward filter.
double logLikelihood(std::span<const Node> nodes, const SwitchingParameters &p)
{
    const double slow = p.sigmaScale * std::sqrt(p.slowShare);
    const double white = p.sigmaScale * p.sigmaScale * (1.0 - p.slowShare);
    const auto first = std::ranges::find_if(nodes, [](const Node &node) { return node.count > 0.0; });
    if (first == nodes.end())
        return 0.0;
    Mixture mixture = vague(p.motion, nodes.front().aid, first->x, first->y);
    double sum = 0;
    for (std::size_t i = 0; i < nodes.size(); ++i) {
        if (i > 0) {
            if (nodes[i].aid != nodes[i - 1].aid)
                enter(mixture, p.motion, nodes[i].aid);
            advance(mixture, p.motion, nodes[i].t - nodes[i - 1].t, Direction::Forward, nodes[i].aid,
                    nodes[i].leapVar);
        }
        if (nodes[i].count > 0.0)
            sum += update(mixture, measurementOf(nodes[i], slow, white)).logDensity;
    }
    return sum;
}

/// The slow deviation is told so vaguely that its most probable value is a poor one to state a radius by: the
/// root of the posterior mean of the variance, along the line where its rate stays.
template <typename Value>
double meanSlow(const Value &value, const Point &best, double bestValue)
{
    double sum = 0, mean = 0;
    for (int k = -4; k <= 4; ++k) {
        Point tried = best;
        tried[Slow] += 0.15 * k;
        const double weight = k == 0 ? 1.0 : std::exp(value(tried) - bestValue);
        sum += weight;
        mean += weight * std::exp(2.0 * tried[Slow]);
    }
    return 0.5 * std::log(mean / sum);
}

/// Whether the vehicle keeps its depth about node i, so that it is at work and not on its way down or up: the
/// means over half a minute before and after differ by less than 0.15 m/s. True where depths are missing.
bool isLevel(std::span<const Node> nodes, std::size_t i)
{
    constexpr double reachS = 60.0;
    const auto half = [&](std::ptrdiff_t way) {
        double t = 0, depth = 0, n = 0;
        for (auto k = static_cast<std::ptrdiff_t>(i) + (way > 0 ? 1 : 0);
             k >= 0 && k < std::ssize(nodes) &&
             std::abs(nodes[static_cast<std::size_t>(k)].t - nodes[i].t) <= reachS;
             k += way)
            if (const Node &node = nodes[static_cast<std::size_t>(k)]; node.count > 0.0) {
                t += node.t;
                depth += node.depthM;
                n += 1.0;
            }
        return std::pair{t / n, depth / n};
    };
    const auto [tBefore, before] = half(-1);
    const auto [tAfter, after] = half(1);
    return !(std::abs(after - before) > 0.15 * (tAfter - tBefore));
}

/// The stretches to look at: where the vehicle is level, in blocks spread over the dive if that is more than
/// needed.
std::vector<std::span<const Node>> sampled(std::span<const Node> nodes)
{
    constexpr std::size_t length = mostNodes / blocks, apart = 8;
    std::vector<std::span<const Node>> stretches;
    std::size_t total = 0;
    for (std::size_t from = 0; from < nodes.size();) {
        std::size_t end = from;
        const bool level = isLevel(nodes, from);
        while (end < nodes.size() && end - from < length && isLevel(nodes, end) == level)
            end += apart;
        end = std::min(end, nodes.size());
        if (level && end - from > apart) {
            stretches.push_back(nodes.subspan(from, end - from));
            total += end - from;
        }
        from = end;
    }
    if (total < fewest)
        return {nodes.first(std::min(nodes.size(), mostNodes))};
    if (total <= mostNodes)
        return stretches;
    std::vector<std::span<const Node>> chosen;
    for (std::size_t b = 0; b < blocks; ++b)
        chosen.push_back(stretches[b * (stretches.size() - 1) / (blocks - 1)]);
    return chosen;
}

} // namespace

std::optional<SwitchingParameters> searchParameters(std::span<const Node> nodes,
                                                    const SwitchingParameters &start)
{
    const auto isAided = [](const Node &node) { return node.count > 0.0 && node.aid == Aid::Velocity; };
    const auto isAcoustic = [](const Node &node) { return node.count > 0.0 && node.acoustic; };
    if (static_cast<std::size_t>(std::ranges::count_if(nodes, isAcoustic)) < fewest)
        return std::nullopt;
    const auto aided = static_cast<std::size_t>(std::ranges::count_if(nodes, isAided));
    const auto stretches = sampled(nodes);
    const Point origin = pointOf(start);
    const auto value = [&](const Point &at) {
        const SwitchingParameters p = parametersAt(at, start);
        double sum = logPrior(at, origin);
        for (const auto &stretch : stretches)
            sum += logLikelihood(stretch, p);
        return sum;
    };
    Point best = origin, step{0.2, 0.8, 0.4, 0.4, 0.4, 0.5, 0.5};
    if (aided < fewest)
        step[AidedSpeed] = 0.0;
    double bestValue = value(best);
    for (int round = 0; round < 8; ++round)
        for (std::size_t k = 0; k < dimensions; ++k) {
            if (std::abs(step[k]) < (k == White ? 0.01 : 0.1))
                continue;
            bool improved = false;
            for (const double sign : {1.0, -1.0}) {
                Point tried = best;
                tried[k] += sign * step[k];
                if (const double v = value(tried); v > bestValue) {
                    bestValue = v;
                    best = tried;
                    step[k] *= sign; // the same way first next time
                    improved = true;
                    break;
                }
            }
            step[k] *= improved ? 1.2 : 0.45;
        }
    best[Slow] = meanSlow(value, best, bestValue);
    return parametersAt(best, start);
}

} // namespace holdfast::nav_detail
