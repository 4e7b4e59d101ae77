// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/track.h"

#include <cmath>
#include <gtest/gtest.h>

using namespace holdfast;

namespace
{

const UtcTime start = utcFromMicroseconds(1'900'000'000'000'000);

UtcTime after(double s)
{
    return start + Microseconds(static_cast<std::int64_t>(std::llround(s * 1e6)));
}

PositionRecord position(double s, double latitude, double longitude)
{
    PositionRecord r;
    r.time = after(s);
    r.latitudeDeg = latitude;
    r.longitudeDeg = longitude;
    r.depthM = 1000.0;
    return r;
}

/// A vehicle creeping north, one fix every two seconds.
std::vector<PositionRecord> creeping(int count, double latitude = -31.0, double longitude = -128.0)
{
    std::vector<PositionRecord> records;
    for (int i = 0; i < count; ++i)
        records.push_back(position(2.0 * i, latitude + 1e-6 * i, longitude));
    return records;
}

TrackOptions using_(FixMethod method)
{
    TrackOptions options;
    options.method = method;
    return options;
}

class TrackByMethod : public testing::TestWithParam<FixMethod>
{
protected:
    static Track build(std::vector<PositionRecord> records)
    {
        auto track = Track::build(std::move(records), using_(GetParam()));
        EXPECT_TRUE(track);
        return *track;
    }
};
INSTANTIATE_TEST_SUITE_P(Methods, TrackByMethod, testing::Values(FixMethod::Linear, FixMethod::Smooth),
                         [](const auto &which) { return textOf(which.param).toStdString(); });

} // namespace

TEST_P(TrackByMethod, WithoutPositionsSaysSo)
{
    const NavFix fix = build({}).at(start);
    EXPECT_EQ(fix.flag, FixFlag::NoFix);
    EXPECT_FALSE(fix.latitudeDeg);
    EXPECT_FALSE(fix.uncertainty95M);
    EXPECT_TRUE(fix.reason.contains(QStringLiteral("no positions")));
}

TEST_P(TrackByMethod, OfOnePositionIsSuspectNearItAndNothingFurtherOff)
{
    const Track track = build({position(0.0, 10.0, 20.0)});
    const NavFix near = track.at(after(5.0));
    EXPECT_EQ(near.flag, FixFlag::Suspect);
    EXPECT_NEAR(near.latitudeDeg.value(), 10.0, 1e-9);
    EXPECT_FALSE(near.reason.isEmpty());
    const NavFix far = track.at(after(86'400.0));
    EXPECT_EQ(far.flag, FixFlag::NoFix);
    EXPECT_FALSE(far.longitudeDeg);
    EXPECT_TRUE(far.reason.contains(QStringLiteral("after the last")));
}

TEST_P(TrackByMethod, GivesNothingInsideAGapBeyondTheLimit)
{
    auto records = creeping(50);
    for (const PositionRecord &r : creeping(50)) {
        records.push_back(r);
        records.back().time += Microseconds(3'600'000'000);
    }
    const Track track = build(records);
    EXPECT_EQ(track.at(after(1800.0)).flag, FixFlag::NoFix);
    EXPECT_TRUE(track.at(after(1800.0)).reason.contains(QStringLiteral("limit")));
    EXPECT_EQ(track.at(after(110.0)).flag, FixFlag::Suspect); // 12 s beyond the last fix before the gap
    EXPECT_EQ(track.at(after(50.0)).flag, FixFlag::Good);
}
