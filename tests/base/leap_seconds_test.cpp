// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/leap_seconds.h"

#include <QFile>
#include <gtest/gtest.h>

using namespace holdfast;
using namespace std::chrono;

namespace
{

UtcTime at(const char *iso)
{
    return parseIsoUtc(iso).value_or(UtcTime{});
}

} // namespace

// IERS Bulletin C 52 (July 2016): UTC-TAI is -36 s until 2017-01-01 and -37 s from then on. It was -10 s from
// 1972-01-01 on (Bulletin C, its table of the steps), so 27 leap seconds lie between.
TEST(LeapSeconds, MakeTheDifferenceToAtomicTimeThatTheBulletinTells)
{
    int tai = 10;
    for (sys_days day{January / 1 / 1972}; day < sys_days{January / 1 / 2026}; day += days{1})
        tai += leapSecondAtEndOf(day) == LeapSecond::Announced ? 1 : 0;
    EXPECT_EQ(tai, 37);
    EXPECT_EQ(leapSecondsBetween(at("1972-01-01T00:00:00Z"), at("2026-01-01T00:00:00Z")).size(), 27U);
}

// The file that the IERS keeps of its Bulletin C, as the system's time zone data carry it: seconds since 1900
// at which TAI-UTC became greater.
TEST(LeapSeconds, AreThoseOfTheListThatTheSystemHas)
{
    QFile list(QStringLiteral("/usr/share/zoneinfo/leap-seconds.list"));
    if (!list.open(QIODevice::ReadOnly))
        GTEST_SKIP() << "the time zone data of this system bring no list of leap seconds";
    constexpr std::int64_t from1900To1970 = 2'208'988'800;
    std::vector<UtcTime> told;
    while (!list.atEnd()) {
        const QByteArray line = list.readLine().simplified();
        if (line.startsWith('#') || line.isEmpty())
            continue;
        const std::int64_t since1900 = line.split(' ').front().toLongLong();
        told.push_back(utcFromMicroseconds((since1900 - from1900To1970) * 1'000'000));
    }
    ASSERT_GE(told.size(), 28U) << "the first line is the beginning, 1972-01-01";
    told.erase(told.begin());
    const auto ours = leapSecondsBetween(at("1972-01-01T00:00:00Z"), at("2026-06-28T00:00:00Z"));
    told.resize(std::min(told.size(), ours.size())); // a later list may know more
    EXPECT_EQ(ours, told);
}

// ITU-R TF.460-6, 2.1: a leap second is the last second of a month.
TEST(LeapSeconds, AreUnknownOnlyWhereOneMayHaveBeenAnnouncedSince)
{
    EXPECT_EQ(leapSecondAtEndOf(sys_days{December / 31 / 2016}), LeapSecond::Announced);
    EXPECT_EQ(leapSecondAtEndOf(sys_days{December / 30 / 2016}), LeapSecond::None);
    EXPECT_EQ(leapSecondAtEndOf(sys_days{June / 30 / 2025}), LeapSecond::None);
    EXPECT_EQ(leapSecondAtEndOf(sys_days{December / 31 / 2040}), LeapSecond::Unknown);
    EXPECT_EQ(leapSecondAtEndOf(sys_days{December / 30 / 2040}), LeapSecond::None);
}

TEST(LeapSeconds, KeepTheirOrderBetweenTheSecondsBesideThem)
{
    UtcTime before = at("2016-12-31T23:59:59.999Z") - Microseconds{1};
    for (int ms = 0; ms < 1000; ms += 2) {
        const UtcTime kept = keptInLeapSecond(at("2017-01-01T00:00:00Z") + milliseconds{ms});
        EXPECT_GT(kept, before) << ms;
        before = kept;
    }
    EXPECT_LT(before, at("2017-01-01T00:00:00Z"));
    EXPECT_EQ(toIso(before), QStringLiteral("2016-12-31T23:59:59.999Z")) << "it is never shown as midnight";
    EXPECT_EQ(toIsoMicro(keptInLeapSecond(at("2016-12-31T23:59:60.5Z"))),
              QStringLiteral("2016-12-31T23:59:59.999250Z"));
    EXPECT_EQ(leapSecondText(at("2017-01-01T00:00:00Z")), QStringLiteral("2016-12-31T23:59:60Z"));
}
