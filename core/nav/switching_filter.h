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
/// stop and turn it is drawn anew. Where a velocity log is known the filter works on what is left of the
/// track after taking its displacement away: that drifts slowly, whatever the vehicle does. The error of an
/// acoustic fix has a white part and a slow part, the latter first-order Gauss-Markov with unit variance
/// (scaled by each fix). Both axes share one covariance: the model is isotropic.
struct MotionModel {
    std::array<double, 2> speedMs{
        0.012, 0.17}; ///< standard deviation of the velocity on one axis: at rest, under way
    std::array<double, 2> memoryS{20.0, 600.0}; ///< correlation time of the velocity
    double restS = 150.0;                       ///< mean time at rest
    double transitS = 150.0;                    ///< mean time under way before a stop
    double courseS = 300.0;                     ///< mean time under way before a turn
    double aidedSpeedMs = 0.0015;               ///< as speedMs, of the remaining error of a velocity log
    double aidedMemoryS = 300.0;
    double slowTimeS = 60.0; ///< correlation time of the slow error
};

inline constexpr std::size_t modes = 2;

/// A Gaussian over (position, velocity, slow error) on both axes with a common covariance, and its weight in
/// the mixture.
struct Gaussian {
    std::array<double, 3> x{}; ///< east: position m, velocity m/s, slow error (unit variance)
    std::array<double, 3> y{}; ///< north
    double pp = 0, pv = 0, pu = 0, vv = 0, vu = 0, uu = 0;
    double weight = 0;
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

/// Whether the velocity log covers a stretch of time.
enum class Aid { None, Velocity };

/// The state before anything is known, except roughly where: one per mode, weights summing to one.
[[nodiscard]] Mixture vague(const MotionModel &model, Aid aid, double x, double y);

/// Carries the mixture over `dt` >= 0 seconds, forward in time as a predictive density, or backward as the
/// likelihood of the later measurements times the stationary prior of velocity and slow error. `leapVar` (m²)
/// is added where the vehicle was moved. Without aid it goes in steps short enough for one change of mode at
/// most in each.
void advance(Mixture &mixture, const MotionModel &model, double dt, Direction direction, Aid aid,
             double leapVar = 0.0);

/// Where the velocity log begins or ends: the velocity is forgotten and has the prior of the stretch to come.
void enter(Mixture &mixture, const MotionModel &model, Aid aid);

/// How a measurement agreed with the mixture before it.
struct Agreement {
    double logDensity = 0;
    double surprise =
        0; ///< half the squared distance in deviations, in the mode it suits best; 4.6 once in 100
};

/// Conditions on a measurement.
Agreement update(Mixture &mixture, const Measurement &z);

/// The posterior at an instant from a forward mixture and a backward one at the same instant.
[[nodiscard]] Mixture combine(const Mixture &forward, const Mixture &backward, const MotionModel &model,
                              Aid aid);

} // namespace holdfast::nav_detail
