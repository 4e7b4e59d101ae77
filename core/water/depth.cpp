// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/depth.h"

#include "water/formula_detail.h"

#include <cmath>
#include <numbers>

namespace holdfast
{

namespace
{

double sinSquared(double latitudeDeg) noexcept
{
    const double sine = std::sin(latitudeDeg * (std::numbers::pi / 180.0));
    return sine * sine;
}

} // namespace

double surfaceGravity(double latitudeDeg) noexcept
{
    return detail::teosSurfaceGravity(sinSquared(latitudeDeg));
}

double depthTeos10(double pressureDbar, double latitudeDeg) noexcept
{
    return detail::depthTeos(pressureDbar, surfaceGravity(latitudeDeg));
}

double depthUnesco44(double pressureDbar, double latitudeDeg) noexcept
{
    return detail::depthUnesco(pressureDbar, detail::unescoSurfaceGravity(sinSquared(latitudeDeg)));
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
