// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

namespace holdfast
{

/// A place on the WGS 84 ellipsoid: degrees, north and east positive; latitude -90 .. 90, longitude any
/// finite number of turns (results are always -180 .. 180).
struct GeoPoint {
    double latitudeDeg = 0;
    double longitudeDeg = 0;
};

/// The shortest line between two places. Azimuths are degrees clockwise from north, -180 .. 180: at the
/// start, and the forward direction at the end. For two equal places the length is 0 and the azimuths mean
/// nothing.
struct GeodesicLine {
    double lengthM = 0;
    double azimuthAtStartDeg = 0;
    double azimuthAtEndDeg = 0;
};

/// True for finite numbers with the latitude within ±90; everything below refuses other places with
/// ErrorKind::Usage.
[[nodiscard]] bool isPlace(const GeoPoint &place);

/// The inverse problem on WGS 84, good to nanometres anywhere (antimeridian and poles included).
/// Source: C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87 (2013) 43-55, as in GeographicLib.
[[nodiscard]] Result<GeodesicLine> geodesicBetween(const GeoPoint &from, const GeoPoint &to);

/// The direct problem: the place `distanceM` metres (negative: backwards) from `from` at an azimuth in
/// degrees.
[[nodiscard]] Result<GeoPoint> geodesicPoint(const GeoPoint &from, double azimuthDeg, double distanceM);

/// The place at a fraction 0 .. 1 of the shortest line; 0 and 1 give the ends themselves, unrounded (a
/// longitude outside -180 .. 180 is brought into it). Within 1e-6 m of the reference in
/// tests/nav/geodesic_test.cpp.
[[nodiscard]] Result<GeoPoint> geodesicAtFraction(const GeoPoint &from, const GeoPoint &to, double fraction);

} // namespace holdfast
