// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"

#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

namespace holdfast
{

/// How the positions of a feed go wrong, which decides how they are gated and smoothed (see nav/track.h).
enum class PositionSource : std::uint8_t {
    Acoustic,      ///< USBL: scatters about the truth, gross outliers, neighbours share part of their error
    Satellite,     ///< right at once, within metres; at the surface only
    DeadReckoning, ///< drifts between corrections, then steps; the step is the truth
};

/// One position as logged. Angles in degrees on WGS 84, north and east positive, longitude -180 .. 180.
struct PositionRecord {
    UtcTime time{};
    double latitudeDeg = 0;
    double longitudeDeg = 0;
    std::optional<double> depthM;     ///< vehicle depth, positive down
    std::optional<double> headingDeg; ///< true, clockwise from north, 0 .. 360
    std::optional<double> sigmaM;     ///< standard deviation of one horizontal axis, where the log states one
    PositionSource source = PositionSource::Acoustic;
    std::uint32_t line = 0; ///< line of the log it came from, counted from 1
    /// Of a ship whose log states them: pitch positive bow up, roll positive starboard down.
    std::optional<double> pitchDeg;
    std::optional<double> rollDeg;
};

/// What a ship's acoustic system measured of the vehicle, before any ship position was added: slant range and
/// bearing (with depression or depth), or the vector from the transducer. The profile's AcousticSetup says
/// in which frame.
struct AcousticRecord {
    UtcTime time{};
    std::optional<double> rangeM;        ///< slant range, more than 0
    std::optional<double> bearingDeg;    ///< clockwise
    std::optional<double> depressionDeg; ///< down from the deck plane, -90 .. 90
    std::optional<double> forwardM;      ///< transducer to target
    std::optional<double> starboardM;
    std::optional<double> downM;
    std::optional<double> depthM;     ///< of the target, positive down
    std::optional<double> headingDeg; ///< of the ship, where the log repeats it
    std::optional<double> pitchDeg;
    std::optional<double> rollDeg;
    std::optional<double> sigmaM; ///< standard deviation of one horizontal axis, where the log states one
    std::uint32_t line = 0;
};

/// One bottom-lock velocity of a Doppler log in vehicle axes: forward, starboard, down; m/s.
struct VelocityRecord {
    UtcTime time{};
    double forwardMs = 0;
    double starboardMs = 0;
    double downMs = 0;
    std::optional<double> altitudeM;
    std::optional<double> headingDeg;
    std::uint32_t line = 0;
};

/// CTD scans as columns of equal length; a missing value is NaN. Columnar because a dive holds a million of
/// them and every formula is applied to a whole column at once.
struct CtdColumns {
    std::vector<std::int64_t> timeUs;     ///< microseconds since 1970, UTC
    std::vector<double> conductivityMsCm; ///< mS/cm
    std::vector<double> temperatureDegC;  ///< ITS-90
    std::vector<double> pressureDbar;     ///< sea pressure, 0 at the surface
    std::vector<double> oxygenUmolKg;     ///< umol/kg
    std::vector<std::uint32_t> line;      ///< line of the log

    [[nodiscard]] std::size_t size() const { return timeUs.size(); }
};

inline constexpr double missingValue = std::numeric_limits<double>::quiet_NaN();

} // namespace holdfast
