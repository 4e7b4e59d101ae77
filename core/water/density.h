// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

/// Density in place, kg/m3, by EOS-80.
///
/// @param practicalSalinity  stated range 0 .. 42
/// @param temperatureDegC    degC on ITS-90, in place; stated range -2 .. 40
/// @param pressureDbar       sea pressure; stated range 0 .. 10 000
/// @return density; NaN when an input is not a number or the salinity negative. Outside the range: ask
/// noteFor(DensityEos80, …).
/// Error: standard error of the fit 3.6e-3 kg/m3 at the surface (Millero and Poisson); the code agrees with
/// the printed check values to 1e-5.
/// Source: Millero and Poisson 1981, Deep-Sea Res. 28A, 625-629; UNESCO 44 (1983), section 3. Pure.
[[nodiscard]] double densityEos80(double practicalSalinity, double temperatureDegC,
                                  double pressureDbar) noexcept;

/// Potential temperature, degC on ITS-90, of a parcel moved without heat exchange to referenceDbar: the lapse
/// rate of Bryden 1973 integrated by one Runge-Kutta step of fourth order.
/// Stated range of the lapse rate: salinity 30 .. 40, 2 .. 30 degC, 0 .. 10 000 dbar; printed tables and
/// common practice reach down to -2 degC, which is what rangeOf() gives.
/// Error: 0.001 degC in the stated range; agrees with the printed table to its last digit.
/// Source: Bryden 1973, Deep-Sea Res. 20, 401-408; Fofonoff 1977, Deep-Sea Res. 24, 489-491; UNESCO 44
/// (1983), sections 6 and 7. Pure.
[[nodiscard]] double potentialTemperatureEos80(double practicalSalinity, double temperatureDegC,
                                               double pressureDbar, double referenceDbar = 0.0) noexcept;

/// Potential density anomaly, kg/m3, reference pressure 0: densityEos80(S, theta, 0) - 1000 with theta from
/// above. Input as for densityEos80(). Ask noteFor(Sigma0Eos80, …): beside the range of the density it takes
/// that of the potential temperature where the pressure exceeds 200 dbar (above, theta moves by under
/// 0.04 degC and the lapse rate's range hardly matters).
[[nodiscard]] double sigma0Eos80(double practicalSalinity, double temperatureDegC,
                                 double pressureDbar) noexcept;

} // namespace holdfast
