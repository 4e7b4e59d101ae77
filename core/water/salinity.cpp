// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/salinity.h"

#include "water/formula_detail.h"
#include "water/low_salinity_detail.h"

#include <cmath>
#include <limits>

namespace holdfast
{

namespace
{

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

/// The scale from R_t, with the extension below 2.
double salinityFromRootRt(double rootRt, double factor, double hillRatio) noexcept
{
    const double bare = detail::pssFromRootRt(rootRt, factor);
    return bare < 2.0 ? detail::hillSalinity(bare, rootRt, factor, hillRatio) : bare;
}

/// Derivative of the above by the root of R_t. Central difference: it only steers Newton's steps.
double slopeAt(double rootRt, double factor, double hillRatio) noexcept
{
    const double h = 1e-6 + 1e-5 * rootRt;
    const double low = std::max(rootRt - h, 0.0);
    return (salinityFromRootRt(rootRt + h, factor, hillRatio) - salinityFromRootRt(low, factor, hillRatio)) /
           (rootRt + h - low);
}

} // namespace

double practicalSalinity(double conductivityMsCm, double temperatureDegC, double pressureDbar) noexcept
{
    const double t68 = temperatureDegC * t68PerT90;
    const double factor = detail::pssTemperatureFactor(t68);
    const double rootRt =
        std::sqrt(detail::pssRt(conductivityMsCm / standardConductivityMsCm, t68, pressureDbar));
    const double bare = detail::pssFromRootRt(rootRt, factor);
    if (!(bare < 2.0))
        return bare;
    const double low = detail::hillSalinity(bare, rootRt, factor, detail::hillRatio(factor));
    return low < 0.0 ? nan : low;
}

double practicalSalinityWithoutExtension(double conductivityMsCm, double temperatureDegC,
                                         double pressureDbar) noexcept
{
    const double t68 = temperatureDegC * t68PerT90;
    const double rt = detail::pssRt(conductivityMsCm / standardConductivityMsCm, t68, pressureDbar);
    return detail::pssFromRootRt(std::sqrt(rt), detail::pssTemperatureFactor(t68));
}

double conductivityFromSalinity(double practicalSalinity, double temperatureDegC,
                                double pressureDbar) noexcept
{
    if (!(practicalSalinity >= 0.0) || !std::isfinite(temperatureDegC) || !std::isfinite(pressureDbar) ||
        !std::isfinite(practicalSalinity))
        return nan;
    if (practicalSalinity == 0.0)
        return 0.0;
    const double t68 = temperatureDegC * t68PerT90;
    const double factor = detail::pssTemperatureFactor(t68);
    const double hillRatio = detail::hillRatio(factor);
    // Salinity is close to proportional to R_t, so the root of S/35 starts within a few per cent and Newton
    // needs four or five steps; forty is a fence, not an expectation.
    double rootRt = std::sqrt(practicalSalinity / 35.0);
    for (int step = 0; step < 40; ++step) {
        const double miss = salinityFromRootRt(rootRt, factor, hillRatio) - practicalSalinity;
        const double change = miss / slopeAt(rootRt, factor, hillRatio);
        rootRt = std::max(rootRt - change, 0.5 * rootRt);
        if (std::abs(change) < 1e-15)
            break;
    }
    // R = x (1 + n / (b + a R)) with x = R_t r_t: a quadratic in R, of which the positive root is wanted.
    const double x = rootRt * rootRt * detail::pssTemperatureRatio(t68);
    const double n = detail::pssPressureNumerator(pressureDbar);
    const double a = detail::pssPressureA(t68);
    const double b = detail::pssPressureB(t68);
    const double half = b - a * x;
    const double ratio = (std::sqrt(half * half + 4.0 * a * x * (b + n)) - half) / (2.0 * a);
    return ratio * standardConductivityMsCm;
}

} // namespace holdfast
