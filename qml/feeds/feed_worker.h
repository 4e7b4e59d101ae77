// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "line_source.h"
#include "live_state.h"
#include "record_taker.h"
#include "ship_clock.h"

#include <QTimer>

namespace holdfast
{

/// Runs the feeds on their own thread: takes their lines, reads them, keeps the newest values and the
/// provisional track, and gives all of it out ten times a second. All functions are called on that thread.
class FeedWorker : public QObject
{
    Q_OBJECT
public:
    FeedWorker();

    /// Forgets all feeds and values; from now on times are of `clock` and states carry the number `run`.
    void restart(ShipClock clock, int run);
    /// Adds a feed. The source must live on this thread; the worker owns it.
    void add(int id, const QString &name, const FeedProfile &profile, LineSource *source);
    void remove(int id);

signals:
    void stateChanged(const holdfast::LiveStatePtr &state);

private:
    struct Feed {
        FeedState state;
        LineParser parser;
        RecordTaker taker;
        std::unique_ptr<LineSource> source;
        std::vector<std::int64_t> recent; ///< receive times of the last lines, for the rate
    };
    void takeLine(Feed &feed, const QByteArray &line, qint64 receivedUs);
    void use(const NewRecords &records);
    void useScan(const CtdColumns &ctd);
    void addDepth(UtcTime time, double depthM);
    void give();

    ShipClock m_clock;
    std::vector<std::unique_ptr<Feed>> m_feeds;
    std::optional<LiveTrack> m_track;
    LiveState m_state;
    std::int64_t m_lastDepthUs = 0;
    bool m_depthFromCtd = false;
    QTimer m_giving;
};

} // namespace holdfast
