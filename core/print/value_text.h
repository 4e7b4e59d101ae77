// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"

#include <QString>
#include <optional>

namespace holdfast
{

/// What stands for a missing value on every sheet.
[[nodiscard]] QString missingText(); // "—"

/// A number with a fixed count of decimals and a plain '.', rounded half away from zero; missingText() when
/// absent or not finite. Never "-0.0".
[[nodiscard]] QString numberText(std::optional<double> value, int decimals);

/// An uncertainty in metres, never rounded down: with one decimal below 10 m, else whole; missingText() when
/// absent or not finite.
[[nodiscard]] QString uncertaintyText(std::optional<double> metres);

/// Degrees and decimal minutes with a letter, as charts have it: "21°04.552' S"; 0.001' is about 2 m.
[[nodiscard]] QString latitudeText(double degrees);
[[nodiscard]] QString longitudeText(double degrees);

/// "2026-03-12 14:22:07 UTC", and missingText() when absent; cut to the whole second as clockText does.
[[nodiscard]] QString dateTimeText(const std::optional<UtcTime> &time);

} // namespace holdfast
