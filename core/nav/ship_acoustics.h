// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/acoustic_setup.h"
#include "feed/records.h"
#include "nav/track.h"

#include <QStringList>
#include <array>
#include <span>
#include <vector>

namespace holdfast
{

/// Why a raw acoustic measurement gave no position.
enum class AcousticFault {
    NoShipPosition, ///< none of the ship within the gap limit about that time
    NoHeading,      ///< neither in the row nor of the ship within the gap limit
    NoAttitude,     ///< pitch and roll are needed in ship axes
    NoDepth,        ///< neither depression nor a depth of the target
    Impossible,     ///< range, depth and attitude contradict each other, or the target can't be told
};
inline constexpr std::size_t acousticFaultCount = 5;
[[nodiscard]] QString textOf(AcousticFault fault);

/// What is known of the ship, each in order of time; depths are the vehicle's from another log.
struct ShipLogs {
    std::span<const PositionRecord> positions; ///< of the antenna, with heading, pitch and roll where known
    std::span<const DepthRecord> depths;
};

/// Positions of the vehicle made of raw acoustic measurements.
struct AcousticPositions {
    std::vector<PositionRecord> positions; ///< in the order of the measurements; source Acoustic
    std::array<std::size_t, acousticFaultCount> faults{};
    std::array<std::uint32_t, acousticFaultCount> firstLine{};
    std::size_t upright = 0; ///< placed without pitch and roll: the ship was taken as upright
    [[nodiscard]] QStringList sentences() const; ///< what a person should know
};

/// Places each measurement by the ship's position, heading and attitude at its time (nav/usbl_geometry.h does
/// the geometry). The ship is interpolated between the records on either side (geodesic; heading the short
/// way round; pitch and roll linearly), never across more than setup.gapLimitS and never beyond an end; a
/// row's own heading, pitch or roll is preferred.
///
/// sigmaM of a position, one axis: the row's own where it states one, else the root of the sum of squares of
/// share x slant range, the ship's own sigma (3 m where its log states none), and heading sigma x
/// horizontal range / sqrt(2) (an error across the line of sight only, shared out on both axes).
[[nodiscard]] AcousticPositions placeAcoustics(std::span<const AcousticRecord> records,
                                               const AcousticSetup &setup, const ShipLogs &ship);

} // namespace holdfast
