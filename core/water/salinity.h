// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

/// Conductivity of seawater of practical salinity 35 at 15 degC (IPTS-68) and 0 dbar, mS/cm. Culkin and Smith
/// 1980, IEEE J. Oceanic Eng. 5, 22; the value that TEOS-10 uses.
inline constexpr double standardConductivityMsCm = 42.9140;

/// Degrees IPTS-68 from degrees ITS-90: t68 = 1.00024 t90 (Saunders 1990, WOCE Newsletter 10; good to
/// 0.0005 degC between -2 and 40). The formulas of 1977 to 1992 were fitted on the older scale.
inline constexpr double t68PerT90 = 1.00024;

/// Practical salinity, no unit, from conductivity.
///
/// @param conductivityMsCm  mS/cm, 0 and up
/// @param temperatureDegC   degC on ITS-90; stated range -2 .. 35
/// @param pressureDbar      sea pressure, dbar (0 at the surface); stated range 0 .. 10 000
/// @return salinity; stated range 2 .. 42, below 2 with the extension of Hill, Dauphinee and Woods scaled so
/// that it meets the scale at 2 without a step (as TEOS-10 does). NaN for a negative conductivity, where the
/// extension falls below 0 (under about 0.004 mS/cm; TEOS-10 has no value there either), or when an input is
/// not a number. Outside the range the formula is extrapolated: ask noteFor(SalinityPss78, …). Error: the
/// scale is the definition above 2; agrees with the published check values to their last digit and with
/// TEOS-10's routine to 1e-9 (tests/water/salinity_test.cpp). Source: UNESCO Technical Papers in Marine
/// Science 44 (1983), section 1; Hill, Dauphinee and Woods 1986, IEEE J. Oceanic Eng. OE-11, 109-112. Pure:
/// any thread, no state.
[[nodiscard]] double practicalSalinity(double conductivityMsCm, double temperatureDegC,
                                       double pressureDbar) noexcept;

/// Practical salinity of the bare scale of 1978, without the extension below 2 (where it is off by up to
/// 0.003): for comparison with logs made that way. Units and range as above.
[[nodiscard]] double practicalSalinityWithoutExtension(double conductivityMsCm, double temperatureDegC,
                                                       double pressureDbar) noexcept;

/// Conductivity, mS/cm, of water of the given practical salinity: the inverse of practicalSalinity(), found
/// by Newton steps to the last digits (round trip better than 1e-10). Salinity 0 .. 42 (0 gives 0, a
/// negative one NaN), temperature and pressure as above.
[[nodiscard]] double conductivityFromSalinity(double practicalSalinity, double temperatureDegC,
                                              double pressureDbar) noexcept;

} // namespace holdfast
