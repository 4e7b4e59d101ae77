// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "store/database.h"
#include "store/sensor_log.h"
#include "water/quality.h"

#include <QStringList>

namespace holdfast
{

/// CTD scans with what was derived from them and how each was flagged.
struct JudgedScans {
    DerivedColumns derived;
    ScanFlags flags;
    QString limitsName; ///< the template of thresholds
    QualitySummary summary;
};

/// Latitude where none is known: gravity, and so depth, is then right to 0.3 % anywhere.
inline constexpr double latitudeWhenUnknownDeg = 45;

/// The thresholds of templates/quality/deep-rov-ctd.json.
[[nodiscard]] Result<QualityLimits> scanLimits();

/// Derives and flags the scans of a log by the thresholds of templates/quality/deep-rov-ctd.json, comparing
/// depths with the dive's position logs where they are in the file already.
[[nodiscard]] Result<JudgedScans> judgeScans(const Database &db, int dive, const CtdColumns &scans);

/// The same, packed for the sensor log: what was measured, what was derived (but depth, which depends on the
/// latitude and is computed when read) and the flags.
struct PackedScans {
    JudgedScans judged;
    PackedLog log;
};
[[nodiscard]] Result<PackedScans> judgeAndPack(const Database &db, int dive, const CtdColumns &scans);

/// What a dive's CTD logs hold in a span of time.
struct ScanWindow {
    CtdColumns scans;
    DerivedColumns derived; ///< depth for the latitude asked for
    ScanFlags flags;
};
[[nodiscard]] Result<ScanWindow> readScans(const Database &db, int dive, UtcTime from, UtcTime to,
                                           double latitudeDeg);

/// What a picture of a whole dive needs of its scans: a quarter of a ScanWindow, as only the columns that are
/// shown are unpacked. A quantity that no log has is all missing values. Times are of the vehicle's clock:
/// the offset that a person applied to the CTD's is taken off, here and of PressuresOfDive.
struct ScanSeries {
    std::vector<double> values;
    std::vector<std::uint32_t> flags; ///< QcFlag of each value
};
struct ScanSeriesOfDive {
    std::vector<std::int64_t> timeUs;
    ScanSeries temperatureDegC, practicalSalinity, oxygenUmolKg;
    ScanSeries depthM; ///< for the latitude asked for
};
[[nodiscard]] Result<ScanSeriesOfDive> readScanSeries(const Database &db, int dive, double latitudeDeg);

/// The pressures of a dive's scans with the flags of their depths: the least that tells how deep it went.
struct PressuresOfDive {
    std::vector<std::int64_t> timeUs;
    ScanSeries pressureDbar;
};
[[nodiscard]] Result<PressuresOfDive> readPressures(const Database &db, int dive);

/// The middle latitude of a dive's positions; nothing when there are none.
[[nodiscard]] Result<std::optional<double>> diveLatitude(const Database &db, int dive);

} // namespace holdfast
