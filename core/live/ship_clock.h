// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"

namespace holdfast
{

/// What time it is for the dive. Live it is the host's UTC clock; while a log is replayed it is the log's own
/// time, so that stamps, fixes and water values belong together. A plain value: the window and the feeds each
/// hold the same one and so never disagree.
class ShipClock
{
public:
    using Host = std::chrono::steady_clock;

    /// The host's own clock.
    ShipClock() = default;
    /// `start` of the log at host instant `from`, running `speed` times as fast.
    static ShipClock replaying(UtcTime start, double speed, Host::time_point from = Host::now())
    {
        ShipClock clock;
        clock.m_start = start;
        clock.m_from = from;
        clock.m_speed = speed;
        return clock;
    }

    [[nodiscard]] bool isReplay() const { return m_speed > 0; }
    /// Where the replay began.
    [[nodiscard]] UtcTime start() const { return m_start; }
    [[nodiscard]] double speed() const { return isReplay() ? m_speed : 1; }
    [[nodiscard]] UtcTime now(Host::time_point host = Host::now()) const
    {
        if (!isReplay())
            return std::chrono::floor<Microseconds>(std::chrono::system_clock::now());
        const std::chrono::duration<double, std::micro> gone = (host - m_from) * m_speed;
        return m_start + std::chrono::duration_cast<Microseconds>(gone);
    }

private:
    UtcTime m_start{};
    Host::time_point m_from{};
    double m_speed = 0;
};

} // namespace holdfast
