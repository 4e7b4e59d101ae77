// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

/// Speed of sound in seawater, m/s, by Chen and Millero.
///
/// @param practicalSalinity  stated range 0 .. 40
/// @param temperatureDegC    degC on ITS-90, in place; stated range 0 .. 40
/// @param pressureDbar       sea pressure; stated range 0 .. 10 000
/// @return speed; NaN when an input is not a number or the salinity negative. Below 0 degC it is an
/// extrapolation: ask noteFor(SoundSpeedChenMillero, …).
/// Error: standard deviation of the fit 0.19 m/s; against newer measurements it is 0.6 m/s high between 4000
/// and 6500 dbar (compare soundSpeedTeos10()). The code agrees with the printed check value
/// (S 40, 40 degC IPTS-68, 10 000 dbar: 1731.995 m/s).
/// Source: Chen and Millero 1977, J. Acoust. Soc. Am. 62, 1129-1135; UNESCO 44 (1983), section 9. Pure.
[[nodiscard]] double soundSpeedChenMillero(double practicalSalinity, double temperatureDegC,
                                           double pressureDbar) noexcept;

} // namespace holdfast
