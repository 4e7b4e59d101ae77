// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

/// Temperature at which seawater freezes, degC on ITS-90, by the formula of 1978 for air-saturated water.
///
/// @param practicalSalinity  stated range 4 .. 40
/// @param pressureDbar       sea pressure; fitted to 500 dbar only. Beyond, the value is still given but it
/// is
///                           0.125 degC too warm at 3000 dbar: ask noteFor(FreezingUnesco44, S, any, p).
/// @return temperature; NaN when an input is not a number or the salinity negative.
/// Error: 0.004 degC in the stated range. Check value: S 40, 500 dbar: -2.588567 degC on IPTS-68.
/// Source: Millero 1978, UNESCO Technical Papers in Marine Science 28, 29-35; UNESCO 44 (1983), section 5.
[[nodiscard]] double freezingPointUnesco44(double practicalSalinity, double pressureDbar) noexcept;

/// The same number on IPTS-68, as the printed tables give it.
[[nodiscard]] double freezingPointUnesco44Ipts68(double practicalSalinity, double pressureDbar) noexcept;

} // namespace holdfast
