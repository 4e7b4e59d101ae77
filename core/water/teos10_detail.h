// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// The Gibbs function of seawater and the 75-term specific volume. Private to this folder.

#include "water/formula_detail.h"

namespace holdfast::detail
{

/// The Gibbs energy of seawater, J/kg, and those of its derivatives that are used here: by temperature (K),
/// by pressure (Pa), by Absolute Salinity (per g/kg).
struct Gibbs {
    double value, t, tt, p, pp, tp, s;
};

/// Absolute Salinity g/kg (0 or more), temperature degC ITS-90, sea pressure dbar. IAPWS R13-08 with SR7-09.
[[nodiscard]] Gibbs gibbsOfSeawater(double absoluteSalinity, double temperatureDegC, double p) noexcept;

/// Specific volume, m3/kg, of Absolute Salinity (g/kg), Conservative Temperature (degC), sea pressure (dbar).
/// Roquet, Madec, McDougall and Barker 2015, Ocean Modelling 90, 29-43, Table B.2 (reduced salinity, CT / 40,
/// p / 10 000).
[[nodiscard]] double specificVolume75(double absoluteSalinity, double conservativeTemperature,
                                      double p) noexcept;

} // namespace holdfast::detail
