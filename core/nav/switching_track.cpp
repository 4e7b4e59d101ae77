// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/switching_smoother.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdfast::nav_detail
{
namespace
{

class SwitchingEstimator final : public Estimator
{
public:
    SwitchingEstimator(const SwitchingParameters &p, const VelocityAid &aid) : m_smoother(p, aid) {}
    [[nodiscard]] SwitchingSmoother &smoother() { return m_smoother; }
    [[nodiscard]] Estimate at(double t) const override { return m_smoother.at(t); }

private:
    SwitchingSmoother m_smoother;
};

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
    fitAid();
    auto estimator = std::make_unique<SwitchingEstimator>(p, aid);
    estimator->smoother().run(data.fixes);
    for (int round = 0; round < 3; ++round) {
        if (estimator->smoother().judge(data.fixes, data.options.outlierShare) == 0)
            break;
        estimator->smoother().run(data.fixes);
    }
    settle(data);
    report(data.report, p, aid);
    return estimator;
}

} // namespace holdfast::nav_detail
