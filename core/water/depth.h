// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

/// Depth in metres, positive down, from sea pressure and latitude, by TEOS-10: the specific volume of the
/// standard ocean (Absolute Salinity 35.16504 g/kg, 0 degC; Roquet and others 2015) integrated in closed
/// form, with gravity growing linearly with depth. No dynamic height, sea surface at geopotential 0.
///
/// @param pressureDbar  sea pressure, dbar; stated range 0 .. 10 000. A negative one gives a negative depth.
/// @param latitudeDeg   degrees, -90 .. 90, either sign
/// @return depth; NaN when an input is not a number or the latitude does not exist. Pressure outside the
/// range: ask noteForDepth(DepthTeos10, …). Error: as a formula 1e-5 m against TEOS-10's routine; as a depth,
/// the real ocean differs from the standard one by up to a few metres at full depth (UNESCO 44, section 4,
/// says the same of its own). Source: IOC, SCOR and IAPSO 2010, TEOS-10 manual, section 3.32; gravity of
/// Moritz 2000 (Appendix D). Pure: any thread, no state.
[[nodiscard]] double depthTeos10(double pressureDbar, double latitudeDeg) noexcept;

/// Depth in metres, positive down, by the older formula: Saunders and Fofonoff 1976 with EOS-80, standard
/// ocean S = 35, T = 0. Less than 1 mm from TEOS-10 to 1000 dbar, 0.27 m at 6500, 1.1 m at 10 000 dbar: keep
/// the method with the value.
/// Units and ranges as above. Source: UNESCO Technical Papers in Marine Science 44 (1983), section 4; check
/// value 10 000 dbar, 30 degrees: 9712.653 m. Pure.
[[nodiscard]] double depthUnesco44(double pressureDbar, double latitudeDeg) noexcept;

/// Sea pressure in dbar at a depth in metres (positive down): the inverse of depthTeos10(), to 1e-9 dbar.
[[nodiscard]] double pressureFromDepthTeos10(double depthM, double latitudeDeg) noexcept;

/// Gravity at the sea surface, m/s2, TEOS-10 manual equation (D.3). Latitude in degrees.
[[nodiscard]] double surfaceGravity(double latitudeDeg) noexcept;

} // namespace holdfast
