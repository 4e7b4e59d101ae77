// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/columns.h"

#include "water/depth.h"
#include "water/salinity.h"
#include "water/sound_speed.h"

#include <bit>
#include <cmath>
#include <gtest/gtest.h>
#include <random>

namespace holdfast
{
namespace
{

/// Scans over the whole range of the sea and beyond it, fresh water and air among them; an odd number, so
/// that the last block and the last vector are partial.
CtdColumns manyScans()
{
    std::mt19937_64 random(7);
    std::uniform_real_distribution<double> c(0.0, 70.0), t(-2.5, 36.0), p(-2.0, 10500.0);
    CtdColumns columns;
    for (std::int64_t i = 0; i < 10007; ++i) {
        columns.timeUs.push_back(i * 41667);
        columns.conductivityMsCm.push_back(i % 50 == 0 ? c(random) * 0.03 : c(random));
        columns.temperatureDegC.push_back(t(random));
        columns.pressureDbar.push_back(p(random));
    }
    return columns;
}

bool sameBits(double a, double b)
{
    return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b) ||
           (std::isnan(a) && std::isnan(b));
}

constexpr WaterMethods allTeos{SeawaterFormula::DepthTeos10, SeawaterFormula::DensityTeos10,
                               SeawaterFormula::SoundSpeedTeos10};
constexpr WaterMethods allOlder{SeawaterFormula::DepthUnesco44, SeawaterFormula::Sigma0Eos80,
                                SeawaterFormula::SoundSpeedChenMillero};

TEST(Columns, GiveTheBitsOfTheFunctionsOfOneValue)
{
    const CtdColumns c = manyScans();
    for (const WaterMethods &methods : {WaterMethods{}, allTeos, allOlder}) {
        const DerivedColumns d = derive(c, -31.27, methods);
        for (std::size_t i = 0; i < c.size(); ++i) {
            const double t = c.temperatureDegC[i], p = c.pressureDbar[i];
            const double s = practicalSalinity(c.conductivityMsCm[i], t, p);
            ASSERT_TRUE(sameBits(d.practicalSalinity[i], s)) << i;
            ASSERT_TRUE(sameBits(d.depthM[i], depthBy(methods.depth, p, -31.27))) << i;
            ASSERT_TRUE(sameBits(d.sigma0KgM3[i], sigma0By(methods.sigma0, s, t, p))) << i;
            ASSERT_TRUE(sameBits(d.soundSpeedMs[i], soundSpeedBy(methods.soundSpeed, s, t, p))) << i;
        }
    }
}

TEST(Columns, NoteWhatIsOutsideLikeTheFunctionOfOneValue)
{
    const CtdColumns c = manyScans();
    for (const WaterMethods &methods : {WaterMethods{}, allTeos, allOlder}) {
        const DerivedColumns d = derive(c, 12.0, methods);
        for (std::size_t i = 0; i < c.size(); ++i) {
            const double t = c.temperatureDegC[i], p = c.pressureDbar[i], s = d.practicalSalinity[i];
            if (std::isnan(s))
                continue;
            unsigned expected = 0;
            const auto expect = [&expected](RangeNote note, DerivedBit bit) {
                if (!note.inside())
                    expected |= bit;
            };
            expect(noteFor(SeawaterFormula::SalinityPss78, s, t, p), SalinityOutside);
            expect(noteForDepth(methods.depth, p, 12.0), DepthOutside);
            expect(noteFor(methods.sigma0, s, t, p), Sigma0Outside);
            expect(noteFor(methods.soundSpeed, s, t, p), SoundSpeedOutside);
            ASSERT_EQ(d.outside[i], expected) << i << ": " << s << ' ' << t << ' ' << p;
        }
    }
}

TEST(Columns, CarryAMissingValueOnlyToWhatNeedsIt)
{
    CtdColumns c = manyScans();
    c.conductivityMsCm[3] = missingValue;
    c.temperatureDegC[4] = missingValue;
    c.pressureDbar[5] = missingValue;
    const DerivedColumns d = derive(c, 0.0);
    for (const std::size_t i : {3U, 4U, 5U}) {
        EXPECT_TRUE(std::isnan(d.practicalSalinity[i])) << i;
        EXPECT_TRUE(std::isnan(d.sigma0KgM3[i])) << i;
        EXPECT_TRUE(std::isnan(d.soundSpeedMs[i])) << i;
        EXPECT_EQ(d.outside[i] & SalinityOutside, 0) << "missing is not outside";
    }
    EXPECT_FALSE(std::isnan(d.depthM[3]));
    EXPECT_FALSE(std::isnan(d.depthM[4]));
    EXPECT_TRUE(std::isnan(d.depthM[5]));
}

TEST(Columns, TakeAnAbsentColumnAsMissing)
{
    CtdColumns c = manyScans();
    c.conductivityMsCm.clear();
    const DerivedColumns d = derive(c, 0.0);
    ASSERT_EQ(d.size(), c.size());
    EXPECT_TRUE(std::isnan(d.practicalSalinity.front()));
    EXPECT_FALSE(std::isnan(d.depthM.front()));
    EXPECT_EQ(derive(CtdColumns{}, 0.0).size(), 0U);
}

TEST(Columns, GiveNoDepthWithoutALatitude)
{
    const CtdColumns c = manyScans();
    EXPECT_TRUE(std::isnan(derive(c, missingValue).depthM[0]));
    EXPECT_TRUE(std::isnan(derive(c, 91.0).depthM[0]));
    EXPECT_FALSE(std::isnan(derive(c, missingValue).practicalSalinity[1]));
}

TEST(Columns, CanBeFilledBlockByBlock)
{
    const CtdColumns c = manyScans();
    const DerivedColumns whole = derive(c, 45.0);
    const std::size_t from = 1234, count = 777;
    std::vector<double> s(count), depth(count), sigma0(count), speed(count);
    const auto part = [&](const std::vector<double> &v) { return std::span(v).subspan(from, count); };
    deriveColumns({part(c.conductivityMsCm), part(c.temperatureDegC), part(c.pressureDbar)}, 45.0, {},
                  {s, depth, sigma0, speed, {}});
    for (std::size_t i = 0; i < count; ++i) {
        ASSERT_TRUE(sameBits(s[i], whole.practicalSalinity[from + i]));
        ASSERT_TRUE(sameBits(depth[i], whole.depthM[from + i]));
        ASSERT_TRUE(sameBits(sigma0[i], whole.sigma0KgM3[from + i]));
        ASSERT_TRUE(sameBits(speed[i], whole.soundSpeedMs[from + i]));
    }
}

} // namespace
} // namespace holdfast
