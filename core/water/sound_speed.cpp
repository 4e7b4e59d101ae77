// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/sound_speed.h"

#include "water/formula_detail.h"
#include "water/salinity.h"

#include <cmath>

namespace holdfast
{

double soundSpeedChenMillero(double practicalSalinity, double temperatureDegC, double pressureDbar) noexcept
{
    return detail::chenMillero(practicalSalinity, std::sqrt(practicalSalinity), temperatureDegC * t68PerT90,
                               pressureDbar / 10.0);
}

} // namespace holdfast
