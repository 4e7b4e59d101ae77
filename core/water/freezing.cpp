// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/freezing.h"

#include "water/salinity.h"

#include <cmath>

namespace holdfast
{

double freezingPointUnesco44Ipts68(double practicalSalinity, double pressureDbar) noexcept
{
    const double s = practicalSalinity;
    return s * (-0.0575 + 1.710523e-3 * std::sqrt(s) - 2.154996e-4 * s) - 7.53e-4 * pressureDbar;
}

double freezingPointUnesco44(double practicalSalinity, double pressureDbar) noexcept
{
    return freezingPointUnesco44Ipts68(practicalSalinity, pressureDbar) / t68PerT90;
}

} // namespace holdfast
