// SPDX-License-Identifier: GPL-3.0-or-later
#include "clock_words.h"

#include <gtest/gtest.h>

namespace holdfast::test
{
namespace
{

FeedState feed(const char *name, std::optional<ClockOffset> offset)
{
    FeedState state;
    state.name = QString::fromLatin1(name);
    state.offset = offset;
    return state;
}

TEST(ClockWords, GiveEachFeedAgainstGpsTimeWithTheUncertaintyOfBoth)
{
    LiveState state;
    state.hostMinusGps = ClockOffset{0.5, 0.03};
    state.gpsFrom = QStringLiteral("ZDA of gps");
    state.feeds = {feed("CTD", ClockOffset{-0.2, 0.04}), feed("nav", {})};
    // CTD - GPS = (CTD - host) + (host - GPS) = -0.2 + 0.5; sqrt(0.03^2 + 0.04^2) = 0.05.
    EXPECT_EQ(clockWords(state, 2).toStdString(),
              "clocks within 2 s of GPS time (ZDA of gps): this computer +0.50 ±0.03 s, CTD +0.30 ±0.05 s; "
              "not measured yet: nav");
}

TEST(ClockWords, MarkWhatIsNotSurelyWithin)
{
    LiveState state;
    state.feeds = {feed("CTD", ClockOffset{1.5, 0.6}), feed("nav", ClockOffset{-1.5, 0.1})};
    EXPECT_EQ(
        clockWords(state, 2).toStdString(),
        "! 1 not surely within 2 s of this computer's clock, no feed tells GPS time: ! CTD +1.50 ±0.60 s, "
        "nav −1.50 ±0.10 s");
}

TEST(ClockWords, SayNothingWhereNothingWasMeasured)
{
    LiveState state;
    state.feeds = {feed("CTD", {})};
    EXPECT_TRUE(clockWords(state, 2).isEmpty());
}

} // namespace
} // namespace holdfast::test
