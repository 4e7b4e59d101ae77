// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/density.h"

#include "water/formula_detail.h"
#include "water/salinity.h"

#include <cmath>

namespace holdfast
{

double densityEos80(double practicalSalinity, double temperatureDegC, double pressureDbar) noexcept
{
    const double t68 = temperatureDegC * t68PerT90;
    const double rootS = std::sqrt(practicalSalinity);
    const double bar = pressureDbar / 10.0;
    return detail::eos80SurfaceDensity(practicalSalinity, rootS, t68) /
           (1.0 - bar / detail::eos80BulkModulus(practicalSalinity, rootS, t68, bar));
}

double potentialTemperatureEos80(double practicalSalinity, double temperatureDegC, double pressureDbar,
                                 double referenceDbar) noexcept
{
    return detail::potentialTemperature68(practicalSalinity, temperatureDegC * t68PerT90, pressureDbar,
                                          referenceDbar) /
           t68PerT90;
}

double sigma0Eos80(double practicalSalinity, double temperatureDegC, double pressureDbar) noexcept
{
    return detail::sigma0Eos80(practicalSalinity, std::sqrt(practicalSalinity), temperatureDegC * t68PerT90,
                               pressureDbar);
}

} // namespace holdfast
