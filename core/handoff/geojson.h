// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/cruise_content.h"

#include <QJsonObject>

namespace holdfast
{

// GeoJSON (RFC 7946): WGS 84, longitude before latitude, no crs member; depth is a property, positive down.

/// One feature for each dive with a track: a LineString, or a MultiLineString cut at the antimeridian. Its
/// properties hold, in arrays of the same shape as the coordinates, `times`, `uncertainty95M` and `depthM` of
/// each point; a point that was put in at the cut has null there.
[[nodiscard]] QJsonObject tracksGeoJson(const CruiseContent &content);

/// One Point feature a sample; one without a fix has a null geometry (section 3.2), never an invented place.
[[nodiscard]] QJsonObject samplesGeoJson(const CruiseContent &content);

} // namespace holdfast
