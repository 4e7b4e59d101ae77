// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/switching_smoother.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <utility>

namespace holdfast::nav_detail
{
namespace
{

class SwitchingEstimator final : public Estimator
{
public:
    SwitchingEstimator(const SwitchingParameters &p, const VelocityAid &aid) : m_smoother(p, aid) {}
    [[nodiscard]] SwitchingSmoother &smoother() { return m_smoother; }
    /// Another opinion, whose error is stated where it is the larger; the place stays this one's.
    void setCautious(SwitchingSmoother other) { m_cautious.emplace(std::move(other)); }
    [[nodiscard]] Estimate at(double t) const override
    {
        Estimate e = m_smoother.at(t);
        if (!m_cautious)
            return e;
        const Estimate other = m_cautious->at(t);
        const double apart = std::hypot(other.x - e.x, other.y - e.y);
        // if the other is right, the truth scatters about its place
        const double radius =
            std::hypot(shapeAllowance * other.radius95M, apart * radius95 / std::numbers::sqrt2);
        if (radius > e.radius95M) {
            e.radius95M = radius;
            e.xx = other.xx;
            e.xy = other.xy;
            e.yy = other.yy;
        }
        return e;
    }

private:
    /// An error that looks like motion is smoother than the first-order model has it. Set on invented dives.
    static constexpr double shapeAllowance = 1.15;

    SwitchingSmoother m_smoother;
    std::optional<SwitchingSmoother> m_cautious;
};

/// A slow and smooth error looks like a slow vehicle: then the fixes seem to scatter by less than they are
/// said to. Without a velocity log nothing tells the two apart: the same fixes with what is missing taken as
/// slow error. The place is better without that, the radius only honest with it.
std::optional<SwitchingParameters> withStatedDeviation(SwitchingParameters p, const TrackOptions &options)
{
    constexpr double plainlyLess = 0.85;
    if (p.sigmaScale >= plainlyLess)
        return std::nullopt;
    const double white = p.sigmaScale * p.sigmaScale * (1.0 - p.slowShare);
    p.slowShare = 1.0 - white;
    p.sigmaScale = 1.0;
    p.motion.slowTimeS = std::max(p.motion.slowTimeS, 2.0 * options.slowTimeS);
    return p;
}

/// The motion of a vehicle that is known by satellite positions only: they are too few for the search and too
/// good to be mistaken for scatter, so the ways between them tell it. The quarter that goes fastest gives the
/// speed; where even the slowest tenth is under way, the vehicle drifts at the surface and never rests.
void takeMotionBySatellite(MotionModel &motion, const Track::Data &data)
{
    if (data.report.medianSpacingS <= motion.memoryS[0])
        return; // between positions so near in time their scatter looks like speed
    constexpr std::size_t fewestWays = 10;
    constexpr double rayleigh75 = 1.6651; ///< three quarters of a Rayleigh distribution are below this
    constexpr double everS = 1e6;
    std::vector<double> speeds;
    for (std::size_t k = 1; k < data.accepted.size(); ++k) {
        const Fix &a = data.fixes[data.accepted[k - 1]], &b = data.fixes[data.accepted[k]];
        if (a.source != PositionSource::Satellite || b.source != PositionSource::Satellite)
            return;
        if (b.t > a.t && !b.leapBefore && (a.x != b.x || a.y != b.y)) // a repeated place says nothing
            speeds.push_back(std::hypot(b.x - a.x, b.y - a.y) / (b.t - a.t));
    }
    if (speeds.size() < fewestWays)
        return;
    std::ranges::sort(speeds);
    motion.speedMs[1] = std::clamp(speeds[3 * speeds.size() / 4] / rayleigh75, motion.speedMs[1], 3.0);
    if (speeds[speeds.size() / 10] > 5.0 * motion.speedMs[0])
        motion.transitS = everS;
}

void report(TrackReport &r, const SwitchingParameters &p, const VelocityAid &aid)
{
    r.sigmaScale = p.sigmaScale;
    r.slowShare = p.slowShare;
    r.slowTimeS = p.motion.slowTimeS;
    r.transitSpeedMs = p.motion.speedMs[1];
    if (aid.empty())
        return;
    r.velocitiesUsed = aid.used();
    r.velocityScale = 1.0 / (1.0 + aid.fault().scale);
    r.velocityMisalignmentDeg = aid.fault().misalignmentRad * 180.0 / std::numbers::pi;
    r.velocityForwardBiasMs = aid.fault().forwardBiasMs;
    r.velocityStarboardBiasMs = aid.fault().starboardBiasMs;
}

} // namespace

SwitchingParameters statedParameters(const TrackOptions &o)
{
    SwitchingParameters p;
    p.slowShare = std::max(o.slowShare, 0.001);
    p.motion.slowTimeS = o.slowTimeS;
    p.motion.speedMs[1] = o.transitSpeedMs;
    return p;
}

std::unique_ptr<const Estimator> makeSwitching(Track::Data &data)
{
    SwitchingParameters p = statedParameters(data.options);
    VelocityAid aid(data);
    const auto fitAid = [&] {
        if (!aid.empty())
            aid.correct(fitVelocityFault(nodesOf(data.fixes, aid), aid, p));
    };
    fitAid();
    if (data.options.estimate)
        if (const auto found = searchParameters(nodesOf(data.fixes, aid), p)) {
            p = *found;
            data.report.estimated = true;
        }
    if (data.options.estimate && !data.report.estimated)
        takeMotionBySatellite(p.motion, data);
    fitAid();
    auto estimator = std::make_unique<SwitchingEstimator>(p, aid);
    estimator->smoother().run(data.fixes);
    for (int round = 0; round < 3; ++round) {
        if (estimator->smoother().judge(data.fixes, data.options.outlierShare) == 0)
            break;
        estimator->smoother().run(data.fixes);
    }
    if (!aid.empty() && data.report.estimated)
        estimator->smoother().setAidedRatio(
            aidedVarianceRatio(nodesOf(data.fixes, aid), p, statedParameters(data.options)));
    settle(data);
    report(data.report, p, aid);
    if (const auto cautious = withStatedDeviation(p, data.options);
        cautious && aid.empty() && data.report.estimated) {
        SwitchingSmoother other(*cautious, aid);
        other.run(data.fixes);
        estimator->setCautious(std::move(other));
        data.report.sentences
            << QStringLiteral(
                   "The positions scatter by %1 of their stated deviation: the rest may be an error "
                   "that changes slowly, which looks like motion, and the uncertainties allow for "
                   "it. If the profile states too much, they are too large.")
                   .arg(p.sigmaScale, 0, 'f', 2);
    }
    return estimator;
}

} // namespace holdfast::nav_detail
