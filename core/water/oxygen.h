// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

/// Oxygen that water holds in equilibrium with moist air at one standard atmosphere.
///
/// @param practicalSalinity     stated range 0 .. 42
/// @param potentialTemperatureDegC  degC on ITS-90, potential temperature at 0 dbar; stated range freezing ..
/// 40
/// @return umol/kg; NaN when an input is not a number. Outside: ask noteFor(OxygenSolubility, S, t, 0).
/// Error: 0.3 % or better. Check values: TEOS-10 documentation of the same fit, to 1e-6.
/// Source: Garcia and Gordon 1992, Limnol. Oceanogr. 37, 1307-1312, with the Benson and Krause data; the fit
/// takes IPTS-68, converted inside. Pure.
[[nodiscard]] double oxygenSolubilityUmolKg(double practicalSalinity,
                                            double potentialTemperatureDegC) noexcept;

/// The same authors' separate fit per litre of water at that temperature, mL(STP)/L. It is no conversion of
/// the fit per kilogram: per litre the number is about 1 part in 37 larger.
[[nodiscard]] double oxygenSolubilityMlL(double practicalSalinity, double potentialTemperatureDegC) noexcept;

/// The fit per litre in umol/L, with the molar volume of oxygen 22.3916 L. Check value of the authors: S 35,
/// 10 degC (IPTS-68): 282.015 umol/L.
[[nodiscard]] double oxygenSolubilityUmolL(double practicalSalinity,
                                           double potentialTemperatureDegC) noexcept;

/// Micromoles in a millilitre (STP) of oxygen: 1000 / 22.3916, rounded as SCOR Working Group 142 recommends
/// (Bittig and others 2018; from memory).
inline constexpr double oxygenUmolPerMl = 44.6596;
/// Molar mass of O2, g/mol.
inline constexpr double oxygenMolarMass = 31.998;

/// Conversions. Density in kg per litre: potential density at 0 dbar, (1000 + sigma0) / 1000, since bottle
/// and sensor concentrations per litre refer to water brought to the surface.
[[nodiscard]] constexpr double umolLFromMlL(double mlL) noexcept
{
    return mlL * oxygenUmolPerMl;
}
[[nodiscard]] constexpr double mlLFromUmolL(double umolL) noexcept
{
    return umolL / oxygenUmolPerMl;
}
[[nodiscard]] constexpr double mgLFromUmolL(double umolL) noexcept
{
    return umolL * oxygenMolarMass / 1000;
}
[[nodiscard]] constexpr double umolLFromMgL(double mgL) noexcept
{
    return mgL * 1000 / oxygenMolarMass;
}
[[nodiscard]] constexpr double umolKgFromUmolL(double umolL, double densityKgL) noexcept
{
    return umolL / densityKgL;
}
[[nodiscard]] constexpr double umolLFromUmolKg(double umolKg, double densityKgL) noexcept
{
    return umolKg * densityKgL;
}
[[nodiscard]] constexpr double umolKgFromMlL(double mlL, double densityKgL) noexcept
{
    return umolKgFromUmolL(umolLFromMlL(mlL), densityKgL);
}
[[nodiscard]] constexpr double mlLFromUmolKg(double umolKg, double densityKgL) noexcept
{
    return mlLFromUmolL(umolLFromUmolKg(umolKg, densityKgL));
}
[[nodiscard]] constexpr double umolKgFromMgL(double mgL, double densityKgL) noexcept
{
    return umolKgFromUmolL(umolLFromMgL(mgL), densityKgL);
}
[[nodiscard]] constexpr double mgLFromUmolKg(double umolKg, double densityKgL) noexcept
{
    return mgLFromUmolL(umolLFromUmolKg(umolKg, densityKgL));
}

/// Saturation in per cent: 100 x measured / solubility at the potential temperature. 100 is equilibrium.
[[nodiscard]] double oxygenSaturationPercent(double oxygenUmolKg, double practicalSalinity,
                                             double potentialTemperatureDegC) noexcept;

} // namespace holdfast
