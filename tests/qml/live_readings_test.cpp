// SPDX-License-Identifier: GPL-3.0-or-later
// A live value never looks younger than it is, on the screen and in the record of a stamp.
#include "live_readings.h"

#include <gtest/gtest.h>

namespace holdfast
{
namespace
{

class Readings : public testing::Test
{
protected:
    void water(int secondsOld)
    {
        LiveWater w;
        w.time = ago(secondsOld);
        w.depthM = 1432.56;
        w.temperatureDegC = 3.4116;
        m_state.water = w;
        m_state.waterFrom = QStringLiteral("CTD");
    }
    void fix(int secondsOld)
    {
        NavFix f;
        f.time = ago(secondsOld);
        f.latitudeDeg = -21.0758683;
        f.longitudeDeg = -173.2147333;
        f.uncertainty95M = 8.6;
        f.depthM = 1431.2;
        m_state.fix = f;
        m_state.fixFrom = QStringLiteral("position");
    }
    [[nodiscard]] UtcTime ago(int seconds) const { return m_now - std::chrono::seconds(seconds); }
    [[nodiscard]] LiveReadings readings() const { return {m_state, m_clock}; }

    ShipClock m_clock;
    UtcTime m_now = m_clock.now();
    LiveState m_state;
};

TEST_F(Readings, AltitudeAndHeadingGrowOldWithTheFeedThatGaveThem)
{
    m_state.altitudeM = LiveValue{ago(0), 1.6, QStringLiteral("Doppler log")};
    m_state.headingDeg = LiveValue{ago(0), 359.6, QStringLiteral("Doppler log")};
    EXPECT_FALSE(readings().altitude().old);
    EXPECT_EQ(readings().heading().value, QStringLiteral("000"));
    m_state.altitudeM->time = ago(600);
    m_state.headingDeg->time = ago(600);
    EXPECT_TRUE(readings().altitude().old);
    EXPECT_TRUE(readings().altitude().note.contains(QStringLiteral("10 min")))
        << readings().altitude().note.toStdString();
    EXPECT_TRUE(readings().heading().old);
}

TEST_F(Readings, DepthIsTheCtdsUntilItStandsStillWhileThePositionLogGoesOn)
{
    water(1);
    fix(1);
    EXPECT_TRUE(readings().depth().value.endsWith(QStringLiteral("432.6")));
    water(120);
    EXPECT_TRUE(readings().depth().value.endsWith(QStringLiteral("431.2")));
    EXPECT_FALSE(readings().depth().old);
    fix(300);
    EXPECT_TRUE(readings().depth().value.endsWith(QStringLiteral("432.6"))) << "both old: the better one";
    EXPECT_TRUE(readings().depth().old);
    m_state.fix.reset();
    m_state.water.reset();
    EXPECT_FALSE(readings().depth().there);
    EXPECT_EQ(readings().depth().unit, QStringLiteral("m"));
}

TEST_F(Readings, AStampRecordsThatWhatItSawWasOld)
{
    water(42);
    fix(0);
    m_state.altitudeM = LiveValue{ago(1), 1.6, QStringLiteral("Doppler log")};
    const QJsonObject seen = readings().seen(m_now);
    EXPECT_TRUE(
        seen.value(QStringLiteral("old temperature_degC")).toString().contains(QStringLiteral("42 s old")));
    EXPECT_FALSE(seen.contains(QStringLiteral("old position")));
    EXPECT_FALSE(seen.contains(QStringLiteral("old depth_m"))) << "the position log gave it";
    EXPECT_EQ(seen.value(QStringLiteral("altitude_m")).toString(), QStringLiteral("1.6"));
    EXPECT_EQ(seen.value(QStringLiteral("uncertainty95_m")).toString(), QStringLiteral("8.6"));
}

} // namespace
} // namespace holdfast
