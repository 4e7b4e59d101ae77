// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/clock_watch.h"
#include "live/live_course.h"

#include <QMetaType>
#include <QString>
#include <memory>
#include <optional>
#include <vector>

namespace holdfast
{

/// One feed as it stands now. Ages are by a clock that never steps.
struct FeedState {
    int id = 0;
    QString name;    ///< "position", "CTD"
    QString profile; ///< of templates/feeds
    QString source;  ///< "UDP port 47001"
    QString trouble; ///< one sentence; empty: none
    std::int64_t lines = 0;
    std::int64_t badLines = 0;
    std::int64_t records = 0;
    double linesPerSecond = 0;         ///< over the last few seconds
    std::optional<UtcTime> lastRecord; ///< the time written in the last good line
    double periodS = 0;                ///< usual time between records by their own times; 0: not known
    std::optional<double> goodAgeS;    ///< since the last usable line
    double openS = 0;                  ///< since the feed was opened
    double silentAfterS = 10;          ///< then it is loud
    std::optional<double> offsetS; ///< time written in it less the host's time of receipt; none in a replay
    std::optional<ClockOffset> offset; ///< the same once enough lines tell how sure it is
    bool ended = false;
    bool recorded = false;    ///< its lines are kept
    std::int64_t durable = 0; ///< of them, lines that are on disk

    /// Silent: it said nothing usable for too long, or never did.
    [[nodiscard]] bool isSilent() const { return !ended && goodAgeS.value_or(openS) > silentAfterS; }
    [[nodiscard]] bool isAlive() const { return trouble.isEmpty() && goodAgeS && !isSilent() && !ended; }
};

/// What all feeds together say, given out ten times a second.
struct LiveState : NewestValues {
    int run = 0; ///< which run of the feeds it belongs to: one still on its way when they restart is dropped
    std::vector<FeedState> feeds;
    LiveCourse news;                         ///< since the last time
    std::optional<double> hostMinusGpsS;     ///< the computer's clock against GPS time
    std::optional<ClockOffset> hostMinusGps; ///< the same once it is known how sure it is
    QString gpsFrom;                         ///< "ZDA of gps"
    int steps = 0;                           ///< of the computer's clock, since the feeds were opened
    std::optional<StepWatch::Step> step;     ///< the last one
    QString recordTrouble;                   ///< why received lines can't be saved just now; empty: they are
    std::int64_t linesLost = 0;              ///< received lines that found no more room in memory
};
using LiveStatePtr = std::shared_ptr<const LiveState>;

} // namespace holdfast

Q_DECLARE_METATYPE(holdfast::LiveStatePtr)
