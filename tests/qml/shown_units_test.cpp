// SPDX-License-Identifier: GPL-3.0-or-later
#include "shown_units.h"

#include "a_van.h"

#include <gtest/gtest.h>

namespace holdfast::test
{
namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

// The span of local times in use, UTC-12 to UTC+14, is common practice; no table of zones is looked into.
TEST(UtcOffset, IsReadWithHoursAndMinutes)
{
    EXPECT_EQ(parseUtcOffset(s("+12")).value_or(0), 720);
    EXPECT_EQ(parseUtcOffset(s("-3:30")).value_or(0), -210);
    EXPECT_EQ(parseUtcOffset(s("UTC+12:45")).value_or(0), 765);
    EXPECT_EQ(parseUtcOffset(s(" 0 ")).value_or(1), 0);
    for (const char *bad : {"", "noon", "+15", "-13", "+12:60", "1:2", "+123"})
        EXPECT_FALSE(parseUtcOffset(s(bad))) << bad;
    EXPECT_EQ(utcOffsetText(765), s("UTC+12:45"));
    EXPECT_EQ(utcOffsetText(-210), s("UTC−3:30"));
    EXPECT_EQ(utcOffsetText(0), s("UTC+0"));
}

class ShownUnitsTest : public testing::Test
{
protected:
    ~ShownUnitsTest() override { setPositionStyle(PositionStyle::DegreesMinutes); }
    Van m_van;
};

TEST_F(ShownUnitsTest, LocalTimeIsKeptWithTheCruise)
{
    m_van.open();
    ShownUnits &units = m_van.work.units;
    EXPECT_TRUE(units.localClock().isEmpty());
    EXPECT_FALSE(units.setOffset(s("noon")));
    EXPECT_TRUE(units.trouble().contains(s("noon")));
    EXPECT_TRUE(units.setOffset(s("+12:45")));
    EXPECT_EQ(units.offset(), s("UTC+12:45"));
    EXPECT_TRUE(units.localClock().contains(s("local"))) << units.localClock().toStdString();
    Workplace later;
    later.desk.openFile(m_van.path());
    ASSERT_TRUE(QTest::qWaitFor([&] { return later.units.offset() == s("UTC+12:45"); }));
    EXPECT_TRUE(units.setOffset(s("")));
    EXPECT_TRUE(units.localClock().isEmpty());
}

TEST_F(ShownUnitsTest, PositionsAreShownAsChosen)
{
    m_van.work.units.setDecimalDegrees(true);
    EXPECT_EQ(shownLatitude(-21.0758683).replace(QChar(0x202f), QLatin1Char(' ')), s("21.075868° S"));
    EXPECT_EQ(shownLongitude(7.5).replace(QChar(0x202f), QLatin1Char(' ')), s("007.500000° E"));
    m_van.work.units.setDecimalDegrees(false);
    EXPECT_EQ(shownLatitude(-21.0758683).replace(QChar(0x202f), QLatin1Char(' ')), s("21° 04.5521′ S"));
}

} // namespace
} // namespace holdfast::test
