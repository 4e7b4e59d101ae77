// SPDX-License-Identifier: GPL-3.0-or-later
#include "reading.h"

#include <gtest/gtest.h>

namespace holdfast
{
namespace
{

QString plain(QString text)
{
    return text.replace(QChar(0x202f), QLatin1Char(' '));
}

TEST(NumberText, SetsThousandsApartAndKeepsTheMinus)
{
    EXPECT_EQ(plain(numberText(1432.56, 1)), QStringLiteral("1 432.6"));
    EXPECT_EQ(plain(numberText(-1234567.0, 0)), QStringLiteral("−1 234 567"));
    EXPECT_EQ(numberText(3.4116, 3), QStringLiteral("3.412"));
    EXPECT_EQ(numberText(-0.04, 1), QStringLiteral("0.0"));
    EXPECT_EQ(numberText(999.0, 0), QStringLiteral("999"));
}

TEST(LatitudeText, NeverShowsSixtyMinutes)
{
    EXPECT_EQ(plain(shownLatitude(-21.0758683)), QStringLiteral("21° 04.5521′ S"));
    EXPECT_EQ(plain(shownLatitude(59.99999999)), QStringLiteral("60° 00.0000′ N"));
    EXPECT_EQ(plain(shownLongitude(-173.2147333)), QStringLiteral("173° 12.8840′ W"));
    EXPECT_EQ(plain(shownLongitude(7.5)), QStringLiteral("007° 30.0000′ E"));
}

TEST(SpanText, GrowsCoarserWithLength)
{
    EXPECT_EQ(spanText(0.42), QStringLiteral("0.4 s"));
    EXPECT_EQ(spanText(42.9), QStringLiteral("42 s"));
    EXPECT_EQ(spanText(185), QStringLiteral("3 min 05 s"));
    EXPECT_EQ(spanText(7800), QStringLiteral("2 h 10 min"));
    EXPECT_EQ(spanText(-3), QStringLiteral("0.0 s"));
}

} // namespace
} // namespace holdfast
