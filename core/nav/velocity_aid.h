// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// The velocity log as displacements over ground; private to core/nav.

#include "nav/track_detail.h"

#include <array>
#include <vector>

namespace holdfast::nav_detail
{

/// What is wrong with a velocity log, in small numbers: true forward and starboard velocity are
/// (1 + scale) times what it reads less its biases, in axes turned clockwise by the misalignment.
struct VelocityFault {
    double scale = 0;
    double misalignmentRad = 0;
    double forwardBiasMs = 0;
    double starboardBiasMs = 0;
};
inline constexpr std::size_t faultCount = 4;
using FaultArray = std::array<double, faultCount>; ///< in the order of VelocityFault

/// Displacement east and north.
struct Displacement {
    double x = 0;
    double y = 0;
};

/// Bottom-lock velocities, turned by the heading and summed up over the stretches that they cover without a
/// longer break. Between stretches nothing is added: there the track has to find its own way.
class VelocityAid
{
public:
    struct Stretch {
        double from = 0;
        double to = 0;
    };

    VelocityAid() = default;
    /// Velocities without a heading take that of the positions, where both neighbours have one within 10 s.
    explicit VelocityAid(const Track::Data &data);

    [[nodiscard]] const std::vector<Stretch> &stretches() const { return m_stretches; }
    [[nodiscard]] bool empty() const { return m_stretches.empty(); }
    [[nodiscard]] std::size_t used() const { return m_times.size(); }

    /// Total displacement from the beginning of the log to t, corrected for the faults.
    [[nodiscard]] Displacement displacement(double t) const;
    /// What one unit of each fault adds to displacement().
    [[nodiscard]] std::array<Displacement, faultCount> sensitivity(double t) const;
    void correct(const VelocityFault &fault) { m_fault = fault; }
    [[nodiscard]] const VelocityFault &fault() const { return m_fault; }

private:
    struct Sums {
        Displacement moved;     ///< as read
        Displacement ahead;     ///< of one metre per second forward
        Displacement starboard; ///< of one metre per second to starboard
    };
    [[nodiscard]] Sums sumsAt(double t) const;

    std::vector<double> m_times;
    std::vector<Sums> m_sums;
    std::vector<Stretch> m_stretches;
    VelocityFault m_fault;
};

} // namespace holdfast::nav_detail
