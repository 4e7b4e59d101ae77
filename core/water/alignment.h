// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/records.h"
#include "water/columns.h"
#include "water/quality.h"

#include <optional>

namespace holdfast
{

/// Corrections a person has accepted for a CTD; nothing is applied on its own.
struct SensorCorrections {
    /// Subtracted from pressure: what the sensor reads in air (see QualitySummary::deckBefore), dbar.
    double pressureOffsetDbar = 0;
    /// How much later than conductivity the temperature of the same water is logged, s; -5 .. 5. Temperature
    /// is read that much later in the log (linear between scans), so that both belong to one parcel.
    double temperatureLagS = 0;
};

/// The log with the corrections applied. Near the ends and beside missing values, where a shifted temperature
/// cannot be read, it is missing. Needs rising times for the lag; where they do not rise, temperature is
/// missing.
[[nodiscard]] CtdColumns corrected(const CtdColumns &ctd, const SensorCorrections &corrections);

/// Salinity spikes that come from conductivity and temperature not belonging to the same water: the salinity
/// is a spike although conductivity, temperature and pressure each pass.
struct MismatchReport {
    std::size_t spikes =
        0; ///< scans whose salinity is suspect or fails by spike or burst, with C, T, P passing
    std::size_t evaluated = 0; ///< scans with C, T and P passing
    double roughness = 0;      ///< median of |S(i) - (S(i-1) + S(i+1)) / 2| over those
};
[[nodiscard]] MismatchReport salinityMismatch(const DerivedColumns &derived, const ScanFlags &flags,
                                              const QualityLimits &limits);

/// The lag at which changes of temperature and conductivity go best together.
struct LagEstimate {
    double lagS = 0;        ///< for SensorCorrections::temperatureLagS
    double sigmaS = 0;      ///< standard deviation of the lag, from how sharp the correlation peaks
    double correlation = 0; ///< of the changes at that lag, -1 .. 1
    std::size_t pairs = 0;
    /// Mean of |S(i) - (S(i-k) + S(i+k)) / 2| over a quarter of a second, on the tenth of the scans where
    /// temperature changes most: as logged, and with the lag taken out to the nearest scan.
    double roughnessBefore = 0, roughnessAfter = 0;
};
/// Correlates the change over half a second (or over two scans when they are slower) of temperature with that
/// of conductivity at lags up to maxLagS on either side, on passing scans; a parabola through the peak gives
/// a fraction of a scan. Nothing when the data cannot tell: fewer than 100 pairs, a correlation under 0.3, a
/// peak at the edge, a standard deviation over a quarter of maxLagS, under half a scan, or a lag that does
/// not make salinity at least 5 % smoother (a slow descent through a smooth gradient looks the same at every
/// lag).
[[nodiscard]] std::optional<LagEstimate> estimateTemperatureLag(const CtdColumns &ctd, const ScanFlags &flags,
                                                                double maxLagS = 2);

} // namespace holdfast
