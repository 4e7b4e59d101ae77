// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "nav/live_track.h"

#include <QMetaType>
#include <QString>
#include <memory>
#include <optional>
#include <vector>

namespace holdfast
{

/// One feed as it stands now. Times are of the ship clock.
struct FeedState {
    int id = 0;
    QString name;    ///< "position", "CTD"
    QString profile; ///< of templates/feeds
    QString source;  ///< "UDP port 16001"
    QString trouble; ///< one sentence; empty: none
    std::int64_t lines = 0;
    std::int64_t badLines = 0;
    std::int64_t records = 0;
    double linesPerSecond = 0;           ///< over the last few seconds of the ship clock
    std::optional<UtcTime> lastRecord;   ///< the time written in the last good line
    std::optional<UtcTime> lastReceived; ///< when it came
    double periodS = 0;                  ///< usual time between records; 0 while it is not known
    bool ended = false;
};

/// The newest water values; a value is missing when the newest scan has none.
struct LiveWater {
    UtcTime time{};
    std::optional<double> temperatureDegC, practicalSalinity, oxygenUmolKg, pressureDbar;
    std::optional<double> depthM; ///< from pressure, at the latitude of the last fix
};

struct DepthPoint {
    std::int64_t timeUs = 0;
    float depthM = 0;
};

/// What all feeds together say, given out ten times a second.
struct LiveState {
    int run = 0; ///< which run of the feeds it belongs to: one still on its way when they restart is dropped
    std::vector<FeedState> feeds;
    std::optional<NavFix> fix; ///< provisional, at its own time
    std::optional<double> headingDeg, altitudeM;
    std::optional<LiveWater> water;
    std::vector<DepthPoint> newDepths; ///< since the last time, thinned to one in two seconds
};
using LiveStatePtr = std::shared_ptr<const LiveState>;

} // namespace holdfast

Q_DECLARE_METATYPE(holdfast::LiveStatePtr)
