// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// Forward and backward pass of the switching model over a dive; private to core/nav.

#include "nav/switching_filter.h"
#include "nav/track_detail.h"

#include <vector>

namespace holdfast::nav_detail
{

/// The model with the scales of the fixes' errors: what the parameter search looks for.
struct SwitchingParameters {
    MotionModel motion;
    double sigmaScale = 1; ///< on the stated deviations of acoustic fixes
    double slowShare = 0.3;
};

/// A fix as the filter takes it: only acoustic errors have a slow part.
[[nodiscard]] Measurement measurementOf(const Fix &fix, const SwitchingParameters &p);

/// advance() in steps short enough for its single change of mode.
void advanceOver(Mixture &mixture, const MotionModel &model, double dt, Direction direction,
                 double leapVar = 0.0);

/// The added variance, m², that lets the filter follow a vehicle that was moved by `metres`.
[[nodiscard]] double leapVariance(double metres);

/// Both passes over the fixes and the posterior at any instant.
class SwitchingSmoother
{
public:
    /// `fixes` must outlive the smoother and not change in place or time; those not accepted are passed over.
    SwitchingSmoother(const std::vector<Fix> &fixes, const SwitchingParameters &parameters);

    /// Runs both passes for the fixes as judged.
    void run();

    /// Judges each acoustic fix by what all the others say of its place, against gross outliers of the stated
    /// share; gives how many judgements changed. Needs run() before, and again after.
    std::size_t judge(std::vector<Fix> &fixes, double outlierShare) const;

    [[nodiscard]] Estimate at(double t) const;

private:
    [[nodiscard]] double leapBetween(std::size_t before, std::size_t after) const;

    const std::vector<Fix> &m_fixes;
    SwitchingParameters m_parameters;
    std::vector<double> m_times;
    std::vector<Mixture> m_forward;  ///< after each fix
    std::vector<Mixture> m_backward; ///< before each fix, it and the later ones included
};

/// Maximum a posteriori values of scale, slow share and time, and motion, from the accepted acoustic fixes.
/// Gives nothing with too few of them.
[[nodiscard]] std::optional<SwitchingParameters> searchParameters(const std::vector<Fix> &fixes,
                                                                  const SwitchingParameters &start);

} // namespace holdfast::nav_detail
