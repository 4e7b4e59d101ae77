// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "water/columns.h"
#include "water/quality.h"

namespace holdfast
{

/// How the water values of a sample are gathered.
struct WindowOptions {
    double halfWidthS = 15;       ///< the window is the sample's time plus and minus this
    double maxHalfWidthS = 60;    ///< it doubles up to this while a parameter has too few passing scans
    std::size_t minimumCount = 5; ///< passing scans wanted
    /// A spread beyond these makes a value suspect: the scans disagree, or the vehicle was not at rest.
    double maxTemperatureSpread = 0.5;
    double maxSalinitySpread = 0.1;
    double maxOxygenSpread = 15;
    double maxDepthSpreadM = 10;
};

/// One water value. NaN when there is none: never an interpolated or remembered number.
struct WaterValue {
    double value = missingValue;
    double spread = missingValue; ///< robust standard deviation: 1.4826 x median absolute deviation
    std::size_t used = 0;         ///< passing scans in the window
    std::size_t rejected = 0;     ///< scans in the window that did not pass (missing ones not counted)
    double halfWidthS = 0;        ///< of the window that was used
    QcFlag flag = QcFlag::Missing;
    RangeNote note; ///< input outside the stated range of the formula

    [[nodiscard]] bool has() const { return flag != QcFlag::Missing && flag != QcFlag::Fail; }
};

/// The water values of a sample.
///
/// Measured quantities, depth and practical salinity are medians over the scans whose own flag passes, each
/// by itself: a conductivity spike costs the salinity of that scan, not its temperature. Sigma0 and sound
/// speed are computed from the three medians shown here (salinity, temperature, pressure) rather than being
/// medians of their own, so that anyone can compute them again from the numbers on the sheet; their spread is
/// that of the scans' own values, their flag the worst of the three.
///
/// Flags: 1 enough scans on both sides of the time in the unwidened window, more used than rejected, spread
/// within limits; 2 the scans' flags were not evaluated; 3 few scans, a widened window, scans on one side
/// only, as many rejected as used, or too wide a spread; 4 there were scans but none passed; 9 no scans. With
/// 4 and 9 there is no value. Outside the log's own time span the window is not widened.
struct WaterValues {
    UtcTime at{};
    WaterValue depthM, temperatureDegC, practicalSalinity, oxygenUmolKg, pressureDbar, conductivityMsCm;
    WaterValue sigma0KgM3, soundSpeedMs;
    QcFlag flag = QcFlag::Missing; ///< the worst of depth, temperature and salinity; oxygen speaks for itself
    bool widened = false;          ///< for any of those
    std::size_t scansInWindow = 0; ///< in the unwidened window
    WaterMethods methods;
};

/// The water values at a time. The columns may be a whole log or the few minutes around the time; when times
/// do not rise, all scans are searched. Scans whose clock is in doubt are left out. Pure.
[[nodiscard]] WaterValues waterAt(UtcTime at, const CtdColumns &ctd, const DerivedColumns &derived,
                                  const ScanFlags &flags, const WindowOptions &options = {});

} // namespace holdfast
