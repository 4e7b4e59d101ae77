// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/geodesic.h"

#include <GeographicLib/Geodesic.hpp>
#include <GeographicLib/Math.hpp>
#include <cmath>

namespace holdfast
{
namespace
{

Error notAPlace(const GeoPoint &place)
{
    return fail(
        ErrorKind::Usage,
        QStringLiteral("%1, %2 is no place on earth: latitude must be a number within -90 and 90 degrees, "
                       "longitude a number of degrees.")
            .arg(place.latitudeDeg, 0, 'g', 12)
            .arg(place.longitudeDeg, 0, 'g', 12));
}

const GeographicLib::Geodesic &wgs84()
{
    return GeographicLib::Geodesic::WGS84();
}

} // namespace

bool isPlace(const GeoPoint &place)
{
    return std::isfinite(place.longitudeDeg) && std::abs(place.latitudeDeg) <= 90.0;
}

Result<GeodesicLine> geodesicBetween(const GeoPoint &from, const GeoPoint &to)
{
    if (!isPlace(from))
        return notAPlace(from);
    if (!isPlace(to))
        return notAPlace(to);
    GeodesicLine line;
    wgs84().Inverse(from.latitudeDeg, from.longitudeDeg, to.latitudeDeg, to.longitudeDeg, line.lengthM,
                    line.azimuthAtStartDeg, line.azimuthAtEndDeg);
    return line;
}

Result<GeoPoint> geodesicPoint(const GeoPoint &from, double azimuthDeg, double distanceM)
{
    if (!isPlace(from))
        return notAPlace(from);
    if (!std::isfinite(azimuthDeg) || !std::isfinite(distanceM))
        return fail(ErrorKind::Usage,
                    QStringLiteral("A direction of %1 degrees and a distance of %2 m lead nowhere: "
                                   "both must be finite numbers.")
                        .arg(azimuthDeg)
                        .arg(distanceM));
    GeoPoint place;
    wgs84().Direct(from.latitudeDeg, from.longitudeDeg, azimuthDeg, distanceM, place.latitudeDeg,
                   place.longitudeDeg);
    return place;
}

Result<GeoPoint> geodesicAtFraction(const GeoPoint &from, const GeoPoint &to, double fraction)
{
    if (!(fraction >= 0.0 && fraction <= 1.0))
        return fail(ErrorKind::Usage,
                    QStringLiteral("A point at the fraction %1 of a line was asked for; 0 to 1 is expected.")
                        .arg(fraction));
    const auto line = geodesicBetween(from, to);
    if (!line)
        return line.error();
    if (fraction == 0.0 || fraction == 1.0) {
        const GeoPoint &end = fraction == 0.0 ? from : to;
        return GeoPoint{end.latitudeDeg, GeographicLib::Math::AngNormalize(end.longitudeDeg)};
    }
    return geodesicPoint(from, line->azimuthAtStartDeg, fraction * line->lengthM);
}

} // namespace holdfast
