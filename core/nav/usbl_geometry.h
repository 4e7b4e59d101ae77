// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "nav/geodesic.h"

#include <optional>

namespace holdfast
{

/// What the acoustic bearing (and depression) of an observation is measured against.
enum class UsblFrame {
    True,   ///< bearing clockwise from true north
    Level,  ///< bearing clockwise from the bow, already stabilised for pitch and roll
    Body,   ///< bearing clockwise from the bow in the ship's own deck plane; the depth settles the depression
    Body3d, ///< bearing and depression both in the ship's own axes; the depth is a result
};

/// One acoustic observation of a target from a ship.
/// Axes of the ship: x forward, y starboard, z down. Heading true, clockwise from north; pitch positive bow
/// up; roll positive starboard down; body to north-east-down is Rz(heading) Ry(pitch) Rx(roll) (the aerospace
/// order of rotations, common practice). Degrees and metres throughout.
struct UsblObservation {
    UsblFrame frame = UsblFrame::Level;
    GeoPoint antenna;          ///< position of the ship's satellite antenna
    double antennaHeightM = 0; ///< antenna above the sea surface, which is taken as the ellipsoid
    double headingDeg = 0;     ///< any number of turns
    double pitchDeg = 0;       ///< within ±90, exclusive
    double rollDeg = 0;        ///< within ±90, exclusive
    double leverForwardM = 0;  ///< from the antenna to the acoustic transducer, in ship axes
    double leverStarboardM = 0;
    double leverDownM = 0;
    double slantRangeM = 0; ///< more than 0; straight sound rays (no refraction)
    double bearingDeg = 0;
    std::optional<double> depthM; ///< of the target below the surface; needed by all frames but Body3d
    std::optional<double>
        depressionDeg; ///< down from the deck plane, within ±90; needed by Body3d, else unread
};

/// Where the target is. North, east and down are target minus antenna in the tangent plane at the antenna.
struct UsblTarget {
    GeoPoint position;
    double heightM = 0; ///< above the ellipsoid; the tangent plane leaves it by about range² / 12.7e6 m
    double depthM = 0;  ///< below the tangent plane at the sea surface, positive down
    double northM = 0;
    double eastM = 0;
    double downM = 0;
    double transducerDepthM = 0; ///< of the transducer below the surface, with the attitude applied
    double depressionDeg = 0;    ///< from the transducer, in the frame of the bearing
    double horizontalRangeM = 0; ///< transducer to target
};

/// Places the target. Exact vectors, no small-angle shortcut; agrees with tests/nav/usbl_geometry_test.cpp to
/// 1 mm. Errors: Usage for a missing or impossible number; Malformed where the numbers contradict each other:
/// the slant range is shorter than the difference in depth, or no direction in the deck plane, or two of
/// them, fit the depth.
[[nodiscard]] Result<UsblTarget> usblTarget(const UsblObservation &observation);

} // namespace holdfast
