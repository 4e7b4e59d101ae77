// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// Forward and backward pass of the switching model over a dive; private to core/nav.

#include "nav/switching_filter.h"
#include "nav/track_detail.h"
#include "nav/velocity_aid.h"

#include <optional>
#include <span>
#include <vector>

namespace holdfast::nav_detail
{

/// The model with the scales of the fixes' errors: what the parameter search looks for.
struct SwitchingParameters {
    MotionModel motion;
    double sigmaScale = 1; ///< on the stated deviations of acoustic fixes
    double slowShare = 0.3;
};

/// The defaults that the options state.
[[nodiscard]] SwitchingParameters statedParameters(const TrackOptions &options);

/// Mean and covariance of the position.
[[nodiscard]] Estimate momentsOf(const Mixture &mixture);

/// Radius about the mean that holds 95 % of a mixture, each part taken as round about the mean.
[[nodiscard]] double mixtureRadius95(const Mixture &mixture, const Estimate &mean);

/// A moment at which the filter stops: a measured place, or a border of the velocity log.
struct Node {
    double t = 0;
    double x = 0, y = 0; ///< mean of its fixes, less the displacement that the velocity log tells
    double sigmaM = 0;   ///< stated deviation of one fix
    double statedM = 0;  ///< the least of a row by itself
    double count = 0;    ///< fixes in it; 0: a border
    double depthM = 0;   ///< mean of its fixes; NaN where one has none
    bool acoustic = true;
    double leapVar = 0;  ///< added on the way here from the node before
    Aid aid = Aid::None; ///< on the way here from the node before
    std::uint32_t firstFix = 0,
                  endFix = 0; ///< its fixes lie in this range of indices (rejected ones among them)
};

/// The accepted fixes, those of a dense log grouped over up to 4 s (within which all motion is straight and
/// the slow error one), and the borders of the velocity log.
[[nodiscard]] std::vector<Node> nodesOf(const std::vector<Fix> &fixes, const VelocityAid &aid);

/// A node as the filter takes it: only acoustic errors have a slow part.
[[nodiscard]] inline Measurement measurementOf(const Node &node, double slowFactor, double whiteFactor)
{
    const double var = node.sigmaM * node.sigmaM / node.count;
    if (!node.acoustic)
        return {node.x, node.y, 0.0, var};
    return {node.x, node.y, node.sigmaM * slowFactor, var * whiteFactor};
}

/// Both passes over the fixes and the posterior at any instant.
class SwitchingSmoother
{
public:
    SwitchingSmoother(const SwitchingParameters &parameters, const VelocityAid &aid);

    /// Runs both passes for the fixes as judged.
    void run(const std::vector<Fix> &fixes);

    /// On the variance where a velocity log covers the time (aidedVarianceRatio()).
    void setAidedRatio(double ratio) { m_aidedRatio = ratio; }

    /// Judges each acoustic fix by what all the others say of its place, against gross outliers of the stated
    /// share; gives how many judgements changed. Needs run() before, and again after.
    std::size_t judge(std::vector<Fix> &fixes, double outlierShare) const;

    [[nodiscard]] Estimate at(double t) const;

private:
    struct Pair {
        Mixture before, after;
        Aid aid = Aid::None;
    };
    /// What the nodes up to `before` (its index + 1; 0: none) and from `after` on say of time t.
    [[nodiscard]] Pair around(double t, std::size_t before, std::size_t after) const;
    /// The smaller stated deviation of the nodes before and after, if they are satellite positions; else 0.
    [[nodiscard]] double satelliteSigma(std::size_t next) const;
    [[nodiscard]] bool standsOut(const Fix &fix, std::size_t node) const;

    SwitchingParameters m_parameters;
    VelocityAid m_aid;
    double m_slowFactor, m_whiteFactor;
    double m_aidedRatio = 1;
    std::vector<Node> m_nodes;
    std::vector<double> m_times;
    std::vector<Mixture> m_forward;  ///< after each node
    std::vector<Mixture> m_backward; ///< before each node, it and the later ones included
    std::vector<bool> m_surprising;  ///< the node's measurement was unlikely from one side
};

/// Maximum a posteriori values of scale, slow share and time, and motion, from the accepted acoustic fixes.
/// Gives nothing with too few of them.
[[nodiscard]] std::optional<SwitchingParameters> searchParameters(std::span<const Node> nodes,
                                                                  const SwitchingParameters &start);

/// The faults of the velocity log that fit the positions best (generalised least squares through the filter,
/// with priors of 1 %, 1.5 degrees and 1 cm/s).
[[nodiscard]] VelocityFault fitVelocityFault(std::span<const Node> nodes, const VelocityAid &aid,
                                             const SwitchingParameters &parameters);

/// Variance of the error where the velocity log covers the time, over what the model makes of it. There the
/// track drifts so slowly that the slow error is averaged over many of its times, and what is left of it
/// depends on how it goes: one that changes smoothly leaves less than the first-order model says. Both kinds
/// are fitted to the data and weighed by their likelihood.
[[nodiscard]] double aidedVarianceRatio(std::span<const Node> nodes, const SwitchingParameters &parameters,
                                        const SwitchingParameters &stated);

} // namespace holdfast::nav_detail
