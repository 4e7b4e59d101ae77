// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/depth.h"

#include "water/column_kernels_detail.h"
#include "water/formula_detail.h"

#include <cmath>
#include <limits>
#include <numbers>

namespace holdfast
{

namespace
{

/// NaN for a latitude that does not exist: there is nothing to extrapolate to.
double sinSquared(double latitudeDeg) noexcept
{
    if (!(std::abs(latitudeDeg) <= 90.0))
        return std::numeric_limits<double>::quiet_NaN();
    const double sine = std::sin(latitudeDeg * (std::numbers::pi / 180.0));
    return sine * sine;
}

} // namespace

double surfaceGravity(double latitudeDeg) noexcept
{
    return detail::teosSurfaceGravity(sinSquared(latitudeDeg));
}

double detail::surfaceGravityUnesco44(double latitudeDeg) noexcept
{
    return unescoSurfaceGravity(sinSquared(latitudeDeg));
}

double depthTeos10(double pressureDbar, double latitudeDeg) noexcept
{
    return detail::depthTeos(pressureDbar, surfaceGravity(latitudeDeg));
}

double depthUnesco44(double pressureDbar, double latitudeDeg) noexcept
{
    return detail::depthUnesco(pressureDbar, detail::surfaceGravityUnesco44(latitudeDeg));
}

double pressureFromDepthTeos10(double depthM, double latitudeDeg) noexcept
{
    const double g = surfaceGravity(latitudeDeg);
    // 1 dbar is close to 1 m. The slope of depth by pressure is specific volume over gravity, which changes
    // by under 6 % over the whole ocean: a secant of 0.1 dbar is exact enough for Newton's steps.
    double p = depthM;
    for (int step = 0; step < 8; ++step) {
        const double slope = (detail::depthTeos(p + 0.05, g) - detail::depthTeos(p - 0.05, g)) / 0.1;
        const double change = (detail::depthTeos(p, g) - depthM) / slope;
        p -= change;
        if (std::abs(change) < 1e-10)
            break;
    }
    return p;
}

} // namespace holdfast
