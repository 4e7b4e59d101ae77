// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/switching_smoother.h"

#include <cmath>

namespace holdfast::nav_detail
{
namespace
{

class SwitchingEstimator final : public Estimator
{
public:
    SwitchingEstimator(const std::vector<Fix> &fixes, const SwitchingParameters &p) : m_smoother(fixes, p)
    {
        m_smoother.run();
    }
    [[nodiscard]] SwitchingSmoother &smoother() { return m_smoother; }
    [[nodiscard]] Estimate at(double t) const override { return m_smoother.at(t); }

private:
    SwitchingSmoother m_smoother;
};

SwitchingParameters statedParameters(const TrackOptions &o)
{
    SwitchingParameters p;
    p.slowShare = std::max(o.slowShare, 0.001);
    p.motion.slowTimeS = o.slowTimeS;
    p.motion.speedMs[1] = o.transitSpeedMs;
    return p;
}

} // namespace

std::unique_ptr<const Estimator> makeSwitching(Track::Data &data)
{
    SwitchingParameters p = statedParameters(data.options);
    if (data.options.estimate)
        if (const auto found = searchParameters(data.fixes, p)) {
            p = *found;
            data.report.estimated = true;
        }
    auto estimator = std::make_unique<SwitchingEstimator>(data.fixes, p);
    for (int round = 0; round < 3; ++round) {
        if (estimator->smoother().judge(data.fixes, data.options.outlierShare) == 0)
            break;
        estimator->smoother().run();
    }
    settle(data);
    data.report.sigmaScale = p.sigmaScale;
    data.report.slowShare = p.slowShare;
    data.report.slowTimeS = p.motion.slowTimeS;
    data.report.transitSpeedMs = p.motion.speedMs[1];
    return estimator;
}

} // namespace holdfast::nav_detail
