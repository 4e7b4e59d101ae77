// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

/// TEOS-10 quantities beside the older ones. Source of all: IOC, SCOR and IAPSO 2010, The international
/// thermodynamic equation of seawater, Manuals and Guides 56; coefficients of IAPWS R13-08 (saline part),
/// IAPWS SR7-09 (water, after Feistel 2003), IAPWS R10-06 (ice) and Roquet and others 2015 (75 terms).
/// Pressure is sea pressure in dbar, temperature degC on ITS-90. All are pure and give NaN for input that is
/// not a number or a negative salinity. Stated range: Absolute Salinity 0 .. 42 g/kg, -2 .. 40 degC,
/// 0 .. 10 000 dbar; ask noteFor(…).

/// Reference salinity, g/kg, from practical salinity: S x 35.16504 / 35. It equals Absolute Salinity for
/// water of the reference composition; the regional anomaly (up to 0.03 g/kg in the open ocean) needs an
/// atlas by position, which Holdfast does not carry, and is left out.
[[nodiscard]] double referenceSalinity(double practicalSalinity) noexcept;

/// Conservative Temperature, degC, from temperature in place. Solves the equality of entropy to 1e-12 degC.
[[nodiscard]] double conservativeTemperature(double absoluteSalinityGKg, double temperatureDegC,
                                             double pressureDbar) noexcept;

/// Potential temperature at 0 dbar, degC, by equality of entropy.
[[nodiscard]] double potentialTemperatureTeos10(double absoluteSalinityGKg, double temperatureDegC,
                                                double pressureDbar) noexcept;

/// Density in place, kg/m3, 75-term expression in Absolute Salinity, Conservative Temperature, pressure.
[[nodiscard]] double densityTeos10(double absoluteSalinityGKg, double conservativeTemperatureDegC,
                                   double pressureDbar) noexcept;

/// Potential density anomaly, kg/m3, reference pressure 0, from practical salinity and temperature in place
/// (through reference salinity and Conservative Temperature; 75 terms). Within 0.004 kg/m3 of the EOS-80 one.
[[nodiscard]] double sigma0Teos10(double practicalSalinity, double temperatureDegC,
                                  double pressureDbar) noexcept;

/// Sound speed, m/s, from the full Gibbs function at temperature in place; reference salinity inside.
[[nodiscard]] double soundSpeedTeos10(double practicalSalinity, double temperatureDegC,
                                      double pressureDbar) noexcept;

/// Freezing temperature, degC, of air-free seawater: where the chemical potential of water in seawater equals
/// that of ice. Stated range 0 .. 10 000 dbar, salinity 0 .. 42. Air saturation would lower it by 0.0024
/// degC.
[[nodiscard]] double freezingPointTeos10(double practicalSalinity, double pressureDbar) noexcept;

} // namespace holdfast
