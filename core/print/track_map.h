// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "print/page_document.h"

#include <optional>
#include <vector>

namespace holdfast
{

/// A track and samples to draw; degrees on WGS 84, north and east positive.
struct TrackMapContent {
    struct Point {
        UtcTime time{};
        double latitudeDeg = 0;
        double longitudeDeg = 0;
        bool provisional = false;                  ///< drawn as dots, and the legend says why
        std::optional<double> uncertainty95M = {}; ///< of a provisional one: drawn now and then
    };
    struct Sample {
        QString label = {};
        double latitudeDeg = 0;
        double longitudeDeg = 0;
        std::optional<double> uncertainty95M = {};
    };
    std::vector<Point> track = {};
    std::vector<Sample> samples = {};
    QString endWord = QStringLiteral("end"); ///< what stands at the last point
};

/// Metres east and north of an origin in the tangent plane of the WGS 84 ellipsoid there: a map of one dive.
/// Good to a millionth within 10 km; no special cases at the date line or the poles.
struct EastNorth {
    double eastM = 0;
    double northM = 0;
};
[[nodiscard]] EastNorth eastNorthOf(double latitudeDeg, double longitudeDeg, double originLatitudeDeg,
                                    double originLongitudeDeg);

/// The map in `areaMm`, north up: track, start and end, samples with a circle of their 95 % uncertainty to
/// scale, a scale bar and the position of the cross at its middle. A gap of more than 20 times the usual step
/// of the track is dashed. A provisional track is a row of dots, with circles of its uncertainty along it and
/// at its end. Needs a QGuiApplication.
[[nodiscard]] std::vector<PageMark> drawTrackMap(const TrackMapContent &map, const QRectF &areaMm);

} // namespace holdfast
