// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// An invented ship over an invented vehicle, and what its acoustics would measure: true positions on WGS 84
// by the local cartesian of GeographicLib, taken apart into ship axes. It shares no code with what it tests.

#include "feed/records.h"
#include "invented_dive.h"

#include <GeographicLib/LocalCartesian.hpp>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

namespace holdfast::test
{

struct Lever {
    double forwardM = 0, starboardM = 0, downM = 0, antennaHeightM = 0;
};

struct ShipState {
    double latitudeDeg = 0, longitudeDeg = 0; ///< of the antenna
    double headingDeg = 0, pitchDeg = 0, rollDeg = 0;
};

using Axes = std::array<double, 3>;

/// North, east, down into ship axes: the inverse turns in the inverse order.
inline Axes intoShipAxes(Axes v, const ShipState &s)
{
    constexpr double rad = std::numbers::pi / 180;
    const auto turn = [](double &a, double &b, double angle) {
        const double c = std::cos(angle), n = std::sin(angle), a0 = a;
        a = c * a0 + n * b;
        b = c * b - n * a0;
    };
    turn(v[0], v[1], s.headingDeg * rad);
    turn(v[2], v[0], s.pitchDeg * rad);
    turn(v[1], v[2], s.rollDeg * rad);
    return v;
}

/// The vector from the transducer to a target at a place and a depth below the tangent plane of the antenna's
/// place, in ship axes.
inline Axes seenFromShip(const ShipState &ship, const Lever &lever, double latitudeDeg, double longitudeDeg,
                         double heightM)
{
    const GeographicLib::LocalCartesian plane(ship.latitudeDeg, ship.longitudeDeg, lever.antennaHeightM);
    double east = 0, north = 0, up = 0;
    plane.Forward(latitudeDeg, longitudeDeg, heightM, east, north, up);
    Axes body = intoShipAxes({north, east, -up}, ship);
    body[0] -= lever.forwardM;
    body[1] -= lever.starboardM;
    body[2] -= lever.downM;
    return body;
}

/// The ship keeps about station over the vehicle, turning slowly through north, rolling and pitching.
inline ShipState shipAt(double t, double latitudeDeg, double longitudeDeg)
{
    ShipState s;
    s.latitudeDeg = latitudeDeg + 0.0012 + 2e-5 * std::sin(t / 40);
    s.longitudeDeg = longitudeDeg - 0.0009 + 3e-5 * std::cos(t / 55);
    if (s.longitudeDeg < -180)
        s.longitudeDeg += 360;
    s.headingDeg = std::fmod(355.0 + 10 * std::sin(t / 90) + 360, 360.0);
    s.pitchDeg = 1.5 * std::sin(2 * std::numbers::pi * t / 17);
    s.rollDeg = 3.0 * std::sin(2 * std::numbers::pi * t / 11);
    return s;
}

} // namespace holdfast::test
