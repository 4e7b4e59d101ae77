// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/text_values.h"

#include "base/utc_time.h"

#include <cmath>
#include <cstdio>
#include <gtest/gtest.h>
#include <random>

using namespace holdfast;

namespace
{

std::int64_t us(const char *iso)
{
    return microsecondsOf(*parseIsoUtc(iso));
}

} // namespace

TEST(ReadNumber, IsTheDoubleTheCLibraryGives)
{
    std::mt19937_64 random(4);
    std::uniform_real_distribution<double> value(-1e5, 1e5);
    for (int i = 0; i < 20'000; ++i) {
        char text[64];
        std::snprintf(text, sizeof text, "%.*f", i % 12, value(random));
        EXPECT_EQ(readNumber(text), std::strtod(text, nullptr)) << text;
    }
    for (const char *text :
         {"0", "-0.0", "1e3", "-2.5E-3", ".5", "5.", "+7.25", "123456789012345678901234567890",
          "0.1234567890123456789012345", "  12.5 ", "9007199254740993"})
        EXPECT_EQ(readNumber(text), std::strtod(text, nullptr)) << text;
}

TEST(ReadNumber, ShiftsByTenWithoutASecondRounding)
{
    EXPECT_EQ(readNumber("4.82590", '.', 1), 48.2590);
    EXPECT_EQ(readNumber("482590", '.', -3), 482.590);
    EXPECT_EQ(readNumber("4.8259e1", '.', 1), 482.59);
    EXPECT_EQ(readNumber("1473428364.496", '.', 6), 1473428364496000.0);
    EXPECT_EQ(readNumber("12,5", ','), 12.5);
}

TEST(ReadNumber, RefusesWhatIsNoNumber)
{
    for (const char *text : {"", " ", "-", ".", "+", "1.2.3", "12a", "0x10", "inf", "nan", "1e", "1e999",
                             "--1", "1 2", "1,5", "21O4"})
        EXPECT_FALSE(readNumber(text)) << text;
}

TEST(ReadDegreesMinutes, TakesSignsAndLetters)
{
    char letter = 0;
    EXPECT_NEAR(*readDegreesMinutes("2104.5521", '.', letter), 21 + 4.5521 / 60, 1e-12);
    EXPECT_EQ(letter, 0);
    EXPECT_NEAR(*readDegreesMinutes("-17312.8840", '.', letter), -(173 + 12.8840 / 60), 1e-12);
    EXPECT_NEAR(*readDegreesMinutes("17312,8840W", ',', letter), 173 + 12.8840 / 60, 1e-12);
    EXPECT_EQ(letter, 'W');
    EXPECT_NEAR(*readDegreesMinutes("-0000.3000", '.', letter), -0.005, 1e-12);
    for (const char *text : {"2160.0000", "12", "1234567.0", "21-4.5", "abcd.0", ""})
        EXPECT_FALSE(readDegreesMinutes(text, '.', letter)) << text;
}

TEST(ReadTimeOfDay, ReadsBothForms)
{
    const auto us = [](const char *text) {
        const auto time = readTimeOfDay(text);
        return time ? time->sinceMidnightUs() : -1;
    };
    EXPECT_EQ(us("14:22:07.300"), 51'727'300'000);
    EXPECT_EQ(us("142207.3"), 51'727'300'000);
    EXPECT_EQ(us("142207.300000000000"), 51'727'300'000);
    EXPECT_EQ(us("235960"), 86'400'000'000);
    EXPECT_TRUE(readTimeOfDay("23:59:60.5")->leap());
    EXPECT_FALSE(readTimeOfDay("23:59:59.9999999")->leap()) << "rounded up it is no leap second";
    for (const char *text : {"24:00:00", "12:60:00", "125860", "12:00", "1200", "120000.",
                             "120000.0000000000x", "12:00:00x", "1:2:3"})
        EXPECT_FALSE(readTimeOfDay(text)) << text;
}

TEST(ReadDate, ReadsTheOrders)
{
    const std::int64_t day = us("2026-03-12T00:00:00Z");
    EXPECT_EQ(readDate("2026-03-12", DateOrder::YearMonthDay), day);
    EXPECT_EQ(readDate("20260312", DateOrder::YearMonthDay), day);
    EXPECT_EQ(readDate("12/03/2026", DateOrder::DayMonthYear), day);
    EXPECT_EQ(readDate("120326", DateOrder::DayMonthYear), day);
    EXPECT_EQ(readDate("03.12.26", DateOrder::MonthDayYear), day);
    for (const char *text : {"31/04/2026", "2026/03/12", "12/13/2026", "1203", "12/03/2026x", ""})
        EXPECT_FALSE(readDate(text, DateOrder::DayMonthYear)) << text;
}

TEST(ReadInstant, TakesTheFormsThatLogsWrite)
{
    // ISO 8601-1:2019: a comma before the decimals (5.3.1.4), offsets without colon or minutes (4.3.13); the
    // names UTC and GMT are common practice.
    const std::int64_t expected = us("2026-03-12T14:22:07.300Z");
    for (const char *text :
         {"2026-03-12T14:22:07,300Z", "2026-03-12T14:22:07.300", "2026-03-12 14:22:07.300 UTC",
          "2026-03-12T14:22:07.300GMT", "2026-03-12t14:22:07.300z", "2026-03-12T14:22:07.300 Z",
          "2026-03-12T16:22:07.300+0200", "2026-03-12T16:22:07,300+02", "2026-03-12 16:22:07.300 +02:00",
          "2026-03-13T01:52:07.300+1130", "2026-03-12T05:22:07.300-0900", " 2026-03-12T14:22:07.300Z "})
        EXPECT_EQ(readInstant(text), expected) << text;
    EXPECT_EQ(readInstant("2026-02-28T23:30:00-01"), us("2026-03-01T00:30:00Z"));
    EXPECT_EQ(readInstant("2028-02-28T23:30:00-01"), us("2028-02-29T00:30:00Z")) << "a leap year";
    EXPECT_EQ(readInstant("2026-12-31T23:00:00-0200"), us("2027-01-01T01:00:00Z"));
    for (const char *text : {"", "Z", "2026-03-12", "2026-03-12T14:22:07ZZ", "2026-03-12T14:22:07Z+02",
                             "2026-03-12T14:22:07+02Z", "2026-03-12T14:22:07+2", "2026-03-12T14:22:07+15",
                             "2026-03-12T14:22:07+0260", "2026-03-12T14:22:07,Z", "2026-03-12T14,22:07Z",
                             "2026-02-29T14:22:07+02", "2026-03-12T14:22:07 EST", "2026-03-12T1422+02"})
        EXPECT_FALSE(readInstant(text)) << text;
}

TEST(IsoReader, AgreesWithTheGeneralReader)
{
    IsoReader reader;
    for (const char *text :
         {"2026-03-12T14:22:07.300Z", "2026-03-12T14:22:07.301Z", "2026-03-12T23:59:59.999Z",
          "2016-12-31T23:59:60.000Z", "2016-12-31T23:59:59.000Z", "1969-12-31T23:59:59.999Z",
          "1969-12-31T00:00:00.001Z", "2026-03-12 14:22:07", "2026-03-12T14:22:07.123456Z",
          "2026-03-12T14:22:07.300+01:00", "2026-03-12T24:00:00.000Z", "2026-03-12T14:60:00.000Z",
          "2026-02-29T14:00:00.000Z", "2026-03-12T14:22:0x.300Z", "2026-03-12T14:22:07,300Z", ""}) {
        EXPECT_EQ(reader.read(text), readInstant(text)) << text;
    }
}
