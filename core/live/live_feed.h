// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "live/host_clock.h"
#include "live/line_source.h"
#include "live/live_state.h"
#include "live/record_taker.h"
#include "store/line_log.h"

#include <deque>

namespace holdfast
{

/// What a feed is when it is opened.
struct FeedPlan {
    int id = 0;
    QString name;
    FeedProfile profile;
    std::optional<double>
        silentAfterS; ///< without it: ten seconds, or five of its periods when that is longer
    std::optional<Recording> recording; ///< where its lines are kept; a replay's are not
};

/// One feed at work: reads its lines and watches how it does. Belongs to the feeds' thread.
class LiveFeed
{
public:
    LiveFeed(FeedPlan plan, std::unique_ptr<LineSource> source, const HostClock &clock, UtcTime dateHint);

    /// Reads one line. The caller has recorded it before.
    [[nodiscard]] NewRecords read(const QByteArray &line, UtcTime received);
    void setLinkTrouble(const QString &sentence) { m_linkTrouble = sentence; }
    void setEnded() { m_state.ended = true; }

    /// How it stands now.
    [[nodiscard]] FeedState state() const;
    [[nodiscard]] const FeedPlan &plan() const { return m_plan; }
    [[nodiscard]] LineSource &source() { return *m_source; }

private:
    using Instant = HostClock::Steady::time_point;
    void watch(bool good, const QString &why);

    FeedPlan m_plan;
    HostClock m_clock;
    FeedState m_state;
    LineParser m_parser;
    RecordTaker m_taker;
    OffsetWatch m_offset;
    QString m_linkTrouble, m_readTrouble;
    QByteArray m_header;          ///< as it came; senders say it again, and that is no bad line
    std::deque<Instant> m_recent; ///< when the last lines came, for the rate
    std::deque<bool> m_recentBad; ///< whether they were
    int m_badAmongThem = 0;
    Instant m_opened;
    std::optional<Instant> m_lastGood;
    double m_goodPeriodS = 0;
    std::unique_ptr<LineSource> m_source; ///< goes first: it may still send while it is taken down
};

} // namespace holdfast
