// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "live/line_recorder.h"
#include "live/live_feed.h"
#include "live/ship_clock.h"

#include <QTimer>

namespace holdfast
{

/// Runs the feeds on their own thread: takes their lines, has them recorded, reads them, keeps the newest
/// values and the provisional track, and gives all of it out ten times a second. All functions are called on
/// that thread.
class FeedWorker : public QObject
{
    Q_OBJECT
public:
    explicit FeedWorker(HostClock host = {});

    /// Forgets all feeds and values; from now on times are of `clock`, states carry the number `run`, and
    /// lines to be recorded go to `sink`.
    /// @return the recordings that were going on, with their last lines, which the caller stores.
    [[nodiscard]] EndedRecordings restart(ShipClock clock, int run, LineRecorder::Sink sink = {});
    /// Opens a feed. The source must live on this thread; the worker owns it.
    void add(FeedPlan plan, LineSource *source);

signals:
    void stateChanged(const holdfast::LiveStatePtr &state);

private:
    void takeLine(LiveFeed &feed, const QByteArray &line, qint64 receivedUs);
    void give();

    HostClock m_host;
    ShipClock m_clock;
    std::optional<LineRecorder> m_recorder;
    std::vector<std::unique_ptr<LiveFeed>> m_feeds;
    LiveValues m_values;
    GpsTimeWatch m_gps;
    QString m_gpsFeed;
    StepWatch m_steps;
    LiveState m_state;
    QTimer m_giving;
    int m_given = 0;
};

} // namespace holdfast
