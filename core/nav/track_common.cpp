// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/track_detail.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdfast::nav_detail
{
namespace
{

/// The radius about the mean that holds 95 % of a normal distribution with these standard deviations along
/// and across. Between the line (minor 0: 1.960) and the circle (2.448) by a fit that is within 0.1 % of the
/// exact integral over all shapes (tests/nav/track_test.cpp integrates it).
double radiusOf95(double major, double minor)
{
    if (!(major > 0.0))
        return 0.0;
    const double r = minor / major;
    const double rr = r * r;
    return major * (1.959964 + rr * (0.2100 + rr * (0.4177 - rr * 0.1399)));
}

/// Fills the radius and the ellipse that hold 95 %.
void setError(NavFix &fix, const Estimate &e)
{
    const double half = 0.5 * (e.xx + e.yy), diff = 0.5 * (e.xx - e.yy), spread = std::hypot(diff, e.xy);
    const double major = std::sqrt(std::max(0.0, half + spread)),
                 minor = std::sqrt(std::max(0.0, half - spread));
    double azimuth = 90.0 - 0.5 * std::atan2(e.xy, diff) * 180.0 / std::numbers::pi;
    if (spread <= 1e-12 * half)
        azimuth = 0.0;
    const double normal = radiusOf95(major, minor);
    fix.uncertainty95M = e.radius95M > 0.0 ? e.radius95M : normal;
    const double scale = normal > 0.0 ? radius95 * *fix.uncertainty95M / normal : radius95;
    fix.ellipse95 = ErrorEllipse{scale * major, scale * minor, std::fmod(azimuth + 180.0, 180.0)};
}

} // namespace

Done setPlace(NavFix &fix, const Estimate &e, const LocalPlane &plane)
{
    const GeoPoint place = plane.reverse(e.x, e.y);
    setError(fix, e);
    if (isPlace(place) && std::isfinite(*fix.uncertainty95M) && *fix.uncertainty95M > 0.0) {
        fix.latitudeDeg = place.latitudeDeg;
        fix.longitudeDeg = place.longitudeDeg;
        return {};
    }
    fix.uncertainty95M.reset();
    fix.ellipse95.reset();
    return fail(
        ErrorKind::Malformed,
        QStringLiteral("The positions about this time contradict each other so far that no place can be "
                       "told; check the log's profile and columns."));
}

QString seconds(double s)
{
    return QString::number(s, 'f', s < 10.0 ? 1 : 0);
}

Done checkOptions(const TrackOptions &o)
{
    const auto within = [](double value, double low, double high, const char *name) -> Done {
        if (value >= low && value <= high)
            return {};
        return fail(ErrorKind::Usage, QStringLiteral("The track option %1 is %2; %3 to %4 is expected.")
                                          .arg(QLatin1String(name))
                                          .arg(value)
                                          .arg(low)
                                          .arg(high));
    };
    constexpr double day = 86'400.0;
    for (const Done &done :
         {within(o.acousticRangeShare, 1e-5, 0.2, "acousticRangeShare"),
          within(o.acousticFloorM, 0.01, 1000.0, "acousticFloorM"),
          within(o.acousticWithoutDepthM, 0.01, 1000.0, "acousticWithoutDepthM"),
          within(o.satelliteM, 0.01, 1000.0, "satelliteM"),
          within(o.deadReckoningM, 0.01, 1000.0, "deadReckoningM"),
          within(o.deadReckoningDriftMs, 1e-4, 5.0, "deadReckoningDriftMs"),
          within(o.slowShare, 0.0, 0.95, "slowShare"), within(o.slowTimeS, 1.0, 3600.0, "slowTimeS"),
          within(o.transitSpeedMs, 0.01, 3.0, "transitSpeedMs"),
          within(o.outlierShare, 0.001, 0.3, "outlierShare"),
          within(o.gapLimitS.value_or(1.0), 0.0, day, "gapLimitS"),
          within(o.extrapolationLimitS.value_or(1.0), 0.0, day, "extrapolationLimitS"),
          within(o.suspectGapS.value_or(1.0), 0.0, day, "suspectGapS")})
        if (!done)
            return done;
    return {};
}

} // namespace holdfast::nav_detail
