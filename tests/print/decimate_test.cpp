// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/decimate.h"

#include <cmath>
#include <gtest/gtest.h>
#include <random>

using namespace holdfast;

namespace
{

UtcTime at(double seconds)
{
    return utcFromMicroseconds(static_cast<std::int64_t>(std::llround(seconds * 1e6)));
}

/// For each pixel column the least and greatest height that a line through the points touches, by following
/// every segment: what a picture would show.
std::vector<std::pair<double, double>> covered(const std::vector<ChartPoint> &points, double fromS,
                                               double toS, int columns)
{
    std::vector<std::pair<double, double>> spans(static_cast<std::size_t>(columns), {1e300, -1e300});
    const auto touch = [&](double seconds, double value) {
        const auto c = std::min(columns - 1, static_cast<int>((seconds - fromS) / (toS - fromS) * columns));
        auto &span = spans[static_cast<std::size_t>(c)];
        span = {std::min(span.first, value), std::max(span.second, value)};
    };
    for (const ChartPoint &p : points) {
        if (std::isfinite(p.value))
            touch(static_cast<double>(microsecondsOf(p.time)) / 1e6, p.value);
    }
    return spans;
}

} // namespace

TEST(Decimate, AMillionScansBecomeAtMostFourPointsAColumn)
{
    std::vector<ChartPoint> points;
    for (int i = 0; i < 1'040'000; ++i)
        points.push_back({at(i / 24.0), std::sin(i / 5000.0)});
    const auto thin = decimate(points, points.front().time, points.back().time, 1200, 60);
    EXPECT_LE(thin.size(), 4u * 1201u);
    EXPECT_GE(thin.size(), 1200u);
    EXPECT_EQ(thin.front().time, points.front().time);
    EXPECT_EQ(thin.back().time, points.back().time);
}

// Min and max per column: what is drawn must be what drawing all points draws.
TEST(Decimate, EveryColumnKeepsItsLeastAndGreatest)
{
    std::mt19937 random(7);
    std::normal_distribution<double> noise;
    std::vector<ChartPoint> points;
    double value = 0;
    for (int i = 0; i < 50'000; ++i)
        points.push_back({at(i * 0.1), value += noise(random)});
    points[31'234].value = 500; // a spike of a single scan
    const double end = 4999.9;
    for (const int columns : {1, 7, 320, 999}) {
        const auto thin = decimate(points, at(0), at(end), columns, 60);
        const auto all = covered(points, 0, end, columns);
        const auto few = covered(thin, 0, end, columns);
        for (std::size_t c = 0; c < all.size(); ++c) {
            ASSERT_DOUBLE_EQ(few[c].first, all[c].first) << columns << " columns, column " << c;
            ASSERT_DOUBLE_EQ(few[c].second, all[c].second) << columns << " columns, column " << c;
        }
        for (std::size_t i = 1; i < thin.size(); ++i)
            ASSERT_LE(thin[i - 1].time, thin[i].time);
    }
}

TEST(Decimate, FewPointsStayAsTheyAre)
{
    const std::vector<ChartPoint> points{{at(0), 1}, {at(10), 3}, {at(20), 2}};
    const auto thin = decimate(points, at(0), at(20), 1000, 60);
    ASSERT_EQ(thin.size(), 3u);
    for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_EQ(thin[i].time, points[i].time);
        EXPECT_EQ(thin[i].value, points[i].value);
    }
}

TEST(Decimate, AGapOrAMissingValueBreaksTheLineEvenWithinAColumn)
{
    std::vector<ChartPoint> points;
    for (int i = 0; i < 100; ++i)
        points.push_back({at(i), 1});
    for (int i = 0; i < 100; ++i)
        points.push_back({at(400 + i), 1});
    points[50].value = std::nan("");
    const auto thin = decimate(points, at(0), at(500), 2, 30);
    int breaks = 0;
    for (const ChartPoint &p : thin)
        breaks += !std::isfinite(p.value);
    EXPECT_EQ(breaks, 2);
    EXPECT_TRUE(std::isfinite(thin.front().value));
    EXPECT_TRUE(std::isfinite(thin.back().value));
}

TEST(Decimate, PointsOutsideTheSpanAreLeftOutAndAnEmptySpanGivesNothing)
{
    const std::vector<ChartPoint> points{{at(0), 1}, {at(10), 3}, {at(20), 2}};
    EXPECT_EQ(decimate(points, at(5), at(15), 10, 60).size(), 1u);
    EXPECT_TRUE(decimate(points, at(5), at(5), 10, 60).empty());
    EXPECT_TRUE(decimate({}, at(5), at(15), 10, 60).empty());
    EXPECT_TRUE(decimate(points, at(5), at(15), 0, 60).empty());
}

TEST(UsualStep, IsTheMiddleOfTheSteps)
{
    const std::vector<ChartPoint> points{{at(0), 1},   {at(1), 1},   {at(2), 1},
                                         {at(300), 1}, {at(301), 1}, {at(302), 1}};
    EXPECT_DOUBLE_EQ(usualStepS(points), 1);
    EXPECT_DOUBLE_EQ(usualStepS({}), 0);
}
