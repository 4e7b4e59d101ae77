// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"

#include <QByteArray>
#include <cstdint>
#include <vector>

namespace holdfast::demo
{

/// Where the vehicle stands still and for how long: minutes after launch, metres east and north of the launch
/// point.
struct Stop {
    double fromMin = 0;
    double toMin = 0;
    double eastM = 0;
    double northM = 0;
};

/// An invented dive. Nothing in it was measured anywhere.
struct DivePlan {
    std::uint64_t seed = 1;
    UtcTime launch{};
    double latitudeDeg = 0; ///< of the launch point
    double longitudeDeg = 0;
    double bottomM = 1000;     ///< depth at the first stop
    double risePerMetre = 0.1; ///< how the slope rises along the way, m per m
    double endMin = 240;       ///< on deck
    std::vector<Stop> stops;   ///< in order of time; the first begins when the vehicle reaches the bottom
    double fixHz = 0.5;
    double ctdHz = 2;
    bool withVelocities = false;
};

/// The logs of a dive as the instruments would write them: noise, slow noise, outliers, dropouts, a few
/// repeated and late rows, spikes, a minute of frozen conductivity, and the time on deck before and after.
/// The same plan gives the same bytes on every machine.
struct DiveLogs {
    QByteArray position;   ///< profile position-csv
    QByteArray ctd;        ///< profile ctd-csv
    QByteArray velocities; ///< profile dvl-csv; empty without a velocity log
};
[[nodiscard]] DiveLogs simulate(const DivePlan &plan);

/// When the vehicle reaches the bottom and when it leaves it, minutes after launch.
[[nodiscard]] double onBottomMin(const DivePlan &plan);
[[nodiscard]] double offBottomMin(const DivePlan &plan);

} // namespace holdfast::demo
