// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"
#include "water/quality_tests.h"

#include <QByteArray>
#include <QString>
#include <optional>

namespace holdfast
{

/// Which tests a measured or derived quantity goes through; an absent test is not run.
struct ParameterLimits {
    std::optional<GrossRangeLimits> grossRange;
    std::optional<SpikeLimits> spike;
    std::optional<BurstLimits> burst;
    std::optional<RateLimits> rate;
    std::optional<FlatLimits> flat;
};

/// A CTD out of the water: conductivity below one limit while the pressure is below the other.
struct AirLimits {
    double conductivityBelowMsCm = 5;
    double pressureBelowDbar = 10;
};

/// Agreement of the CTD's depth with the depth known to navigation: suspect when the difference exceeds the
/// larger of suspectM and suspectFraction x depth, and likewise for fail. Navigation is interpolated between
/// records at most maxReferenceGapS apart; elsewhere the test is not evaluated.
struct DepthAgreementLimits {
    double suspectM = 15;
    double suspectFraction = 0.025;
    double failM = 60;
    double failFraction = 0.1;
    double maxReferenceGapS = 60;
};

/// All thresholds of one template in templates/quality/ (see the README there for the meaning of each).
struct QualityLimits {
    QString name;  ///< the template's name, kept with the flags
    QString title; ///< for people
    ParameterLimits conductivity, temperature, pressure, oxygen, salinity;
    double maxGapS = 2;
    ClockLimits clock;
    std::optional<AirLimits> air;
    std::optional<DepthAgreementLimits> depthAgreement;
    /// The flat-line test can only flag once a whole window has stood still. When true, the scans of that
    /// first window are flagged suspect too, as they are the same frozen value.
    bool flatReachesBack = true;
};

/// Reads a template. `source` is the file's name for the sentence of an error, which names the key, what was
/// found and what was expected. Unknown keys, limits in the wrong order and a flat tolerance of 0 are errors:
/// a threshold that silently does nothing would pass bad data.
[[nodiscard]] Result<QualityLimits> parseQualityLimits(const QByteArray &json, const QString &source);

/// The same from a file.
[[nodiscard]] Result<QualityLimits> readQualityLimits(const QString &path);

} // namespace holdfast
