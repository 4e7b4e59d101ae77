// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "live/live_state.h"
#include "notices.h"

namespace holdfast
{

/// Says as notices what is wrong with the feeds, their recording and the clocks, each with the key that looks
/// into it, and takes them back when it is well again. Nothing here ever holds up a stamp.
class FeedAlarms
{
public:
    static constexpr double gpsLimitS = 2;    ///< the computer's clock against GPS time
    static constexpr double offsetLimitS = 5; ///< the time in a feed against the computer's clock

    explicit FeedAlarms(Notices &notices) : m_notices(&notices) {}
    void look(const LiveState &state);
    /// The feeds begin anew: what was said about the earlier ones is settled.
    void forget();

private:
    void set(const QString &topic, Notices::Weight weight, const QString &sentence);
    void lookAtFeed(const FeedState &feed);
    void lookAtClock(const LiveState &state);

    Notices *m_notices;
    QStringList m_said; ///< topics that are open
    int m_stepsSaid = 0;
};

} // namespace holdfast
