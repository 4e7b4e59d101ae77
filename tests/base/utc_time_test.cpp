// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/utc_time.h"

#include <gtest/gtest.h>
#include <random>

using namespace holdfast;

namespace
{
std::int64_t us(const char *text)
{
    const auto t = parseIsoUtc(text);
    EXPECT_TRUE(t) << text;
    return t ? microsecondsOf(*t) : 0;
}
} // namespace

// Epoch counts: POSIX definition of seconds since the epoch (IEEE Std 1003.1, section 4.16); formats: ISO
// 8601-1:2019.
TEST(UtcTime, ReadsIsoTextToTheMicrosecond)
{
    EXPECT_EQ(us("1970-01-01T00:00:00Z"), 0);
    EXPECT_EQ(us("2000-02-29T12:00:00.000001Z"), 951825600000001);
    EXPECT_EQ(us("2026-03-12T14:22:07.300Z"), 1773325327300000);
    EXPECT_EQ(us("1969-12-31T23:59:59.5Z"), -500000);
    EXPECT_EQ(us("2026-03-12 14:22:07.3Z"), 1773325327300000);
}

TEST(UtcTime, TakesOffsetsBackToUtc)
{
    EXPECT_EQ(us("2026-03-12T14:22:07+05:30"), us("2026-03-12T08:52:07Z"));
    EXPECT_EQ(us("2026-03-12T20:22:07-09:00"), us("2026-03-13T05:22:07Z"));
}

TEST(UtcTime, RoundsTheSeventhDecimal)
{
    EXPECT_EQ(us("1970-01-01T00:00:00.0000005Z"), 1);
    EXPECT_EQ(us("1970-01-01T00:00:00.9999995Z"), 1000000);
    EXPECT_EQ(us("1970-01-01T00:00:00.123456499999999Z"), 123456) << "decimals of any number";
}

TEST(UtcTime, PutsALeapSecondOnTheNextMidnight)
{
    EXPECT_EQ(us("2016-12-31T23:59:60Z"), us("2017-01-01T00:00:00Z"));
    EXPECT_EQ(us("2017-01-01T05:29:60.25+05:30"), us("2017-01-01T00:00:00.25Z"));
    for (const char *none : {"2016-12-31T22:59:60Z", "2016-12-30T23:59:60Z", "2017-12-31T23:59:60Z",
                             "2016-12-31T23:59:60+01:00", "2016-12-31T23:59:61Z"})
        EXPECT_FALSE(parseIsoUtc(none)) << none;
}

TEST(UtcTime, RefusesWhatIsNoTime)
{
    for (const char *text :
         {"", "2026", "2026-02-29T00:00:00Z", "2026-04-31T00:00:00Z", "2026-13-01T00:00:00Z",
          "2026-03-12T24:00:00Z", "2026-03-12T14:60:00Z", "2026-03-12T14:22:07", "1773325327",
          "2026-03-12T14:22:07ZZ", "2026-03-12T14:22:07.Z", "2026-3-12T14:22:07Z", "12/03/2026"})
        EXPECT_FALSE(parseIsoUtc(text)) << text;
    EXPECT_TRUE(parseIsoUtc("2026-03-12T14:22:07", true));
}

TEST(UtcTime, WritesWhatItReads)
{
    std::mt19937_64 random(7);
    std::uniform_int_distribution<std::int64_t> any(-2'000'000'000'000'000, 7'000'000'000'000'000);
    for (int i = 0; i < 2000; ++i) {
        const UtcTime t = utcFromMicroseconds(any(random));
        const std::string text = toIsoMicro(t).toStdString();
        ASSERT_EQ(parseIsoUtc(text), t) << text;
    }
    EXPECT_EQ(toIso(utcFromMicroseconds(1773325327299500)), QStringLiteral("2026-03-12T14:22:07.300Z"));
    EXPECT_EQ(clockText(utcFromMicroseconds(1773325327999999)), QStringLiteral("14:22:07"));
    EXPECT_EQ(dateText(utcFromMicroseconds(-1)), QStringLiteral("1969-12-31"));
}
