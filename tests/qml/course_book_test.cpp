// SPDX-License-Identifier: GPL-3.0-or-later
#include "course_book.h"

#include <gtest/gtest.h>

namespace holdfast::test
{
namespace
{

UtcTime at(int second)
{
    return utcFromMicroseconds(1'773'300'000'000'000 + std::int64_t{second} * 1'000'000);
}

/// A depth every two seconds, and a place with 9 m, from `from` to before `to`.
LiveCourse said(int from, int to, float depthM)
{
    LiveCourse course;
    for (int s = from; s < to; s += 2) {
        course.depthM.push_back({microsecondsOf(at(s)), depthM});
        course.track.push_back({microsecondsOf(at(s)), -21 + s * 1e-5, 179.99999, 9.0});
    }
    return course;
}

TEST(CourseBook, ShowsLogsThenRecordedThenLiveAndSaysFromWhereItIsProvisional)
{
    CourseBook book;
    auto logs = std::make_shared<DiveCourses>();
    logs->depth = {{at(0), 10}, {at(4), 11}};
    book.setLogs(logs);
    book.addRecorded(said(2, 10, 20));
    book.addLive(said(8, 16, 30));
    const ShownCourse shown = book.shown(CourseBook::Depth, at(100));
    std::vector<double> values;
    for (const ChartPoint &p : shown.points)
        values.push_back(p.value);
    EXPECT_EQ(values, (std::vector<double>{10, 11, 20, 20, 30, 30, 30}));
    ASSERT_TRUE(shown.provisionalFrom);
    EXPECT_EQ(*shown.provisionalFrom, at(6));
    EXPECT_TRUE(book.shown(CourseBook::Salinity, at(100)).points.empty());
}

TEST(CourseBook, ShowsNothingOfWhatIsStillToCome)
{
    CourseBook book;
    book.addRecorded(said(0, 20, 20));
    const ShownCourse shown = book.shown(CourseBook::Depth, at(9));
    EXPECT_EQ(shown.points.back().time, at(8));
    EXPECT_EQ(book.track(at(9)).size(), 5U);
    EXPECT_EQ(book.last(at(9)), at(8));
    EXPECT_EQ(book.first(), at(0));
}

TEST(CourseBook, WhatIsSettledIsNotProvisional)
{
    CourseBook book;
    auto logs = std::make_shared<DiveCourses>();
    logs->depth = {{at(0), 10}, {at(40), 11}};
    logs->track = {{at(0), 1, 1}, {at(40), 1, 1}};
    book.setLogs(logs);
    book.addLive(said(0, 20, 30));
    EXPECT_FALSE(book.shown(CourseBook::Depth, at(100)).provisionalFrom);
    EXPECT_EQ(book.track(at(100)).size(), 2U);
    EXPECT_FALSE(book.track(at(100)).back().provisional);
}

TEST(CourseBook, ATimeThatRunsBackTakesTheWrongOneAway)
{
    CourseBook book;
    LiveCourse wrong;
    wrong.depthM = {{microsecondsOf(at(0)), 10}, {microsecondsOf(at(1'000'000)), 11}};
    book.addLive(wrong);
    book.addLive(said(2, 10, 12));
    const ShownCourse shown = book.shown(CourseBook::Depth, at(2'000'000));
    EXPECT_EQ(shown.points.size(), 5U);
    EXPECT_EQ(shown.points.back().time, at(8));
}

TEST(CourseBook, GivesTheProvisionalPlaceOfAMomentWithItsUncertainty)
{
    CourseBook book;
    book.addRecorded(said(0, 4, 1));
    book.addLive(said(200, 204, 1));
    const auto place = book.placeAt(at(1));
    ASSERT_TRUE(place);
    EXPECT_NEAR(place->latitudeDeg, -21 + 1e-5, 1e-9);
    EXPECT_NEAR(place->longitudeDeg, 179.99999, 1e-9);
    EXPECT_EQ(place->uncertainty95M, 9.0);
    EXPECT_FALSE(book.placeAt(at(100))) << "in a gap of minutes nobody knows";
    EXPECT_FALSE(book.placeAt(at(300)));
}

} // namespace
} // namespace holdfast::test
