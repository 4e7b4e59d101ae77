// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/switching_smoother.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

namespace holdfast::nav_detail
{
namespace
{

constexpr std::size_t fewest = 60;
constexpr std::size_t dimensions = 6;
using Point = std::array<double, dimensions>;

/// The searched values on scales where a unit step means much the same everywhere.
Point pointOf(const SwitchingParameters &p)
{
    return {std::log(p.sigmaScale),       std::log(p.slowShare / (1.0 - p.slowShare)),
            std::log(p.motion.slowTimeS), std::log(p.motion.speedMs[1]),
            std::log(p.motion.restS),     std::log(p.motion.transitS)};
}

SwitchingParameters parametersAt(const Point &at, const SwitchingParameters &start)
{
    SwitchingParameters p = start;
    p.sigmaScale = std::exp(at[0]);
    p.slowShare = 1.0 / (1.0 + std::exp(-at[1]));
    p.motion.slowTimeS = std::exp(at[2]);
    p.motion.speedMs[1] = std::exp(at[3]);
    p.motion.restS = std::exp(at[4]);
    p.motion.transitS = std::exp(at[5]);
    p.motion.courseS = 2.0 * p.motion.transitS;
    return p;
}

/// How sure the stated values are before the data speak: standard deviations on the scales of Point.
constexpr Point priorSpread{1.0, 1.5, 0.9, 0.03, 0.2, 0.2};

double logPrior(const Point &at, const Point &start)
{
    double sum = 0;
    for (std::size_t k = 0; k < dimensions; ++k) {
        const double d = (at[k] - start[k]) / priorSpread[k];
        sum -= 0.5 * d * d;
    }
    return sum;
}

/// Log likelihood of the accepted fixes by the forward filter.
double logLikelihood(std::span<const Fix> fixes, const SwitchingParameters &p)
{
    Mixture mixture = vague(p.motion, fixes.front().x, fixes.front().y);
    double sum = 0, before = fixes.front().t;
    for (const Fix &fix : fixes) {
        advanceOver(mixture, p.motion, fix.t - before, Direction::Forward,
                    fix.leapBefore ? leapVariance(1e4) : 0.0);
        before = fix.t;
        sum += update(mixture, measurementOf(fix, p));
    }
    return sum;
}

} // namespace

std::optional<SwitchingParameters> searchParameters(const std::vector<Fix> &fixes,
                                                    const SwitchingParameters &start)
{
    std::vector<Fix> used;
    for (const Fix &fix : fixes)
        if (fix.accepted)
            used.push_back(fix);
    if (used.size() < fewest)
        return std::nullopt;
    const Point origin = pointOf(start);
    const auto value = [&](const Point &at) {
        return logLikelihood(used, parametersAt(at, start)) + logPrior(at, origin);
    };
    Point best = origin;
    double bestValue = value(best);
    Point step;
    step.fill(0.6);
    for (int round = 0; round < 12; ++round)
        for (std::size_t k = 0; k < dimensions; ++k) {
            if (std::abs(step[k]) < 0.08)
                continue;
            bool improved = false;
            for (const double sign : {1.0, -1.0}) {
                Point tried = best;
                tried[k] += sign * step[k];
                const double v = value(tried);
                if (v > bestValue) {
                    bestValue = v;
                    best = tried;
                    step[k] *= sign; // the same way first next time
                    improved = true;
                    break;
                }
            }
            step[k] *= improved ? 1.3 : 0.5;
        }
    return parametersAt(best, start);
}

} // namespace holdfast::nav_detail
