// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/sensor_correction.h"
#include "nav/track.h"
#include "store/database.h"
#include "water/quality.h"

#include <QJsonObject>

namespace holdfast
{

/// How good the logs of a dive are: the CTD's flags counted anew from the scans, and what the track made of
/// the positions, with the values it chose.
struct DiveQuality {
    int dive = 0;
    QualitySummary ctd;
    QString limitsName;
    TrackReport track;
    std::vector<SensorCorrection> corrections; ///< that hold for the logs in use
    std::optional<LagEstimate> lag;            ///< of temperature, what is left after the corrections
    double salinityMismatchShare = 0; ///< of the scans whose C, T and P pass: salinity spikes all the same

    [[nodiscard]] QString text() const;
    /// What of the text is about the CTD's sensors and the log as a whole, a sentence each.
    [[nodiscard]] QStringList remarks() const;
    [[nodiscard]] QJsonObject json() const;
};

/// A dive without logs has empty counts; that is no error.
[[nodiscard]] Result<DiveQuality> diveQuality(const Database &db, int dive);

} // namespace holdfast
