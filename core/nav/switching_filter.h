// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// The motion and error model shared by the smooth track, its parameter search and the live track; private to
// core/nav.

#include <array>
#include <cstddef>

namespace holdfast::nav_detail
{

/// A remotely operated vehicle either keeps its place or is under way, and changes between the two without
/// warning. Under way its velocity on each axis is an Ornstein-Uhlenbeck process about zero; at every start,
/// stop and turn it is drawn anew. The error of an acoustic fix has a white part and a slow part, the latter
/// first-order Gauss-Markov with unit variance (scaled by each fix). Both axes share one covariance: the
/// model is isotropic.
struct MotionModel {
    std::array<double, 2> speedMs{
        0.012, 0.2}; ///< standard deviation of the velocity on one axis: at rest, under way
    std::array<double, 2> memoryS{20.0, 600.0}; ///< correlation time of the velocity
    double restS = 150.0;                       ///< mean time at rest
    double transitS = 150.0;                    ///< mean time under way before a stop
    double courseS = 300.0;                     ///< mean time under way before a turn
    double slowTimeS = 40.0;                    ///< correlation time of the slow error
};

inline constexpr std::size_t modes = 2;

/// A Gaussian over (position, velocity, slow error) on both axes with a common covariance, and its weight in
/// the mixture as a logarithm.
struct Gaussian {
    std::array<double, 3> x{}; ///< east: position m, velocity m/s, slow error (unit variance)
    std::array<double, 3> y{}; ///< north
    double pp = 0, pv = 0, pu = 0, vv = 0, vu = 0, uu = 0;
    double logWeight = 0;
};

using Mixture = std::array<Gaussian, modes>;

/// One measured position: z = position + slow * u + white noise.
struct Measurement {
    double x = 0;
    double y = 0;
    double slowM = 0;    ///< standard deviation of the slow part
    double whiteVar = 0; ///< variance of the white part, m²
};

enum class Direction { Forward, Backward };

/// The state before anything is known, except roughly where: one per mode.
[[nodiscard]] Mixture vague(const MotionModel &model, double x, double y);

/// Carries the mixture over `dt` > 0 seconds (up to some tens of seconds: one change of mode at most),
/// forward in time as a predictive density, or backward as the likelihood of the later measurements times the
/// stationary prior of velocity and slow error. `leapVar` (m²) is added where the vehicle was moved.
void advance(Mixture &mixture, const MotionModel &model, double dt, Direction direction,
             double leapVar = 0.0);

/// Conditions on a measurement; gives its log density under the mixture (weights taken as they are).
double update(Mixture &mixture, const Measurement &z);

/// Scales the weights to sum to one.
void normalize(Mixture &mixture);

/// The posterior at an instant from a forward mixture and a backward one at the same instant.
[[nodiscard]] Mixture combine(const Mixture &forward, const Mixture &backward, const MotionModel &model);

} // namespace holdfast::nav_detail
