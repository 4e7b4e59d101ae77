// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "nav/geodesic.h"

#include <QString>
#include <optional>
#include <span>
#include <vector>

namespace holdfast
{

/// A line cut where it crosses the antimeridian (RFC 7946 section 3.1.9), so that no part of it jumps from
/// one side of the map to the other. Each part has at least two points; the points put in at ±180 degrees lie
/// on the straight line between their neighbours in longitude and latitude.
struct CutPoint {
    GeoPoint at;
    std::optional<std::size_t> source; ///< index of the point it was; none: put in at the cut
};
[[nodiscard]] std::vector<std::vector<CutPoint>> cutAtAntimeridian(std::span<const GeoPoint> line);

/// A point amid others and the radius about it that holds them all, metres; the middle of the mean direction,
/// so that the antimeridian is no special case. None without points.
struct Surrounding {
    GeoPoint middle;
    double radiusM = 0;
};
[[nodiscard]] std::optional<Surrounding> surrounding(std::span<const GeoPoint> points);

/// West, south, east, north (RFC 7946 section 5): west is greater than east when the points lie about the
/// antimeridian. The widest gap in longitude stays outside.
struct BoundingBox {
    double west = 0, south = 0, east = 0, north = 0;
};
[[nodiscard]] std::optional<BoundingBox> boundingBox(std::span<const GeoPoint> points);

/// Well-known text, longitude first: LINESTRING, or MULTILINESTRING when cut; empty for fewer than two
/// points. At most `most` points of the line are used, evenly chosen.
[[nodiscard]] QString wktOf(std::span<const GeoPoint> line, std::size_t most);

} // namespace holdfast
