// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "live/live_state.h"
#include "live/ship_clock.h"
#include "reading.h"

#include <QJsonObject>

namespace holdfast
{

/// The live values in words, each with its source and age. Looks at one state at one moment of the ship
/// clock.
class LiveReadings
{
public:
    LiveReadings(const LiveState &state, const ShipClock &clock)
        : m_state(state), m_now(clock.now()), m_speed(clock.speed())
    {
    }
    [[nodiscard]] Reading depth() const;
    [[nodiscard]] Reading position() const;
    [[nodiscard]] Reading heading() const;
    [[nodiscard]] Reading altitude() const;
    [[nodiscard]] Reading temperature() const;
    [[nodiscard]] Reading salinity() const;
    [[nodiscard]] Reading oxygen() const;
    /// What the screen knows at `at`, for the record of a stamp: texts with their units in the keys. A value
    /// that is old says so beside it ("old depth_m": "CTD, 42 s old").
    [[nodiscard]] QJsonObject seen(UtcTime at) const;

private:
    [[nodiscard]] Reading waterReading(std::optional<double> LiveWater::*member, int decimals,
                                       const QString &unit) const;
    [[nodiscard]] static Reading missing(const QString &unit);
    [[nodiscard]] Reading single(const LiveValue &value, int decimals, const QString &unit) const;
    void age(Reading &reading, UtcTime time, const QString &feed) const;

    const LiveState &m_state;
    UtcTime m_now;
    double m_speed;
};

} // namespace holdfast
