// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/oxygen.h"

#include "water/formula_detail.h"
#include "water/salinity.h"

#include <cmath>

namespace holdfast
{

namespace
{

/// The scaled temperature of the fit, ln((298.15 - t) / (273.15 + t)) with t on IPTS-68.
double scaledTemperature(double temperatureDegC) noexcept
{
    const double t68 = temperatureDegC * t68PerT90;
    return std::log((298.15 - t68) / (273.15 + t68));
}

} // namespace

double oxygenSolubilityUmolKg(double practicalSalinity, double potentialTemperatureDegC) noexcept
{
    const double s = practicalSalinity;
    const double ts = scaledTemperature(potentialTemperatureDegC);
    return std::exp(
        detail::poly(ts, 5.80871, 3.20291, 4.17887, 5.10006, -9.86643e-2, 3.80369) +
        s * (detail::poly(ts, -7.01577e-3, -7.70028e-3, -1.13864e-2, -9.51519e-3) + s * -2.75915e-7));
}

double oxygenSolubilityMlL(double practicalSalinity, double potentialTemperatureDegC) noexcept
{
    const double s = practicalSalinity;
    const double ts = scaledTemperature(potentialTemperatureDegC);
    return std::exp(
        detail::poly(ts, 2.00907, 3.22014, 4.05010, 4.94457, -2.56847e-1, 3.88767) +
        s * (detail::poly(ts, -6.24523e-3, -7.37614e-3, -1.03410e-2, -8.17083e-3) + s * -4.88682e-7));
}

double oxygenSolubilityUmolL(double practicalSalinity, double potentialTemperatureDegC) noexcept
{
    return oxygenSolubilityMlL(practicalSalinity, potentialTemperatureDegC) * (1000.0 / 22.3916);
}

double oxygenSaturationPercent(double oxygenUmolKg, double practicalSalinity,
                               double potentialTemperatureDegC) noexcept
{
    return 100.0 * oxygenUmolKg / oxygenSolubilityUmolKg(practicalSalinity, potentialTemperatureDegC);
}

} // namespace holdfast
