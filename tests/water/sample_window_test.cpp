// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/sample_window.h"

#include "invented_dive.h"
#include "water/density.h"
#include "water/sound_speed.h"

#include <algorithm>
#include <gtest/gtest.h>

namespace holdfast
{
namespace
{

using test::inventedDive;
using test::shippedLimits;

struct Dive {
    CtdColumns ctd;
    DerivedColumns derived;
    ScanFlags flags;

    explicit Dive(CtdColumns columns)
        : ctd(std::move(columns)), derived(derive(ctd, -31.27)),
          flags(qualityOf(ctd, derived, shippedLimits()))
    {
    }
    [[nodiscard]] UtcTime timeOf(std::size_t scan) const { return utcFromMicroseconds(ctd.timeUs[scan]); }
    [[nodiscard]] WaterValues at(std::size_t scan, const WindowOptions &options = {}) const
    {
        return waterAt(timeOf(scan), ctd, derived, flags, options);
    }
};

/// At the bottom: nothing but noise.
constexpr std::size_t bottom = 35'000;
constexpr std::size_t window = 721; // 15 s on each side, both ends

TEST(SampleWindow, GivesMedianAndRobustSpreadOfTheScansAround)
{
    const Dive dive{inventedDive()};
    const WaterValues w = dive.at(bottom);
    EXPECT_EQ(w.flag, QcFlag::Pass);
    EXPECT_EQ(w.scansInWindow, window);
    EXPECT_EQ(w.temperatureDegC.used, window);
    EXPECT_EQ(w.temperatureDegC.rejected, 0U);
    // The dive is 3 + 16 exp(-600/180) degC and 34.5 + 0.9 exp(-600/150) at 600 dbar; noise 5e-4, 6e-4 mS/cm,
    // 0.02.
    EXPECT_NEAR(w.temperatureDegC.value, 3.0 + 16.0 * std::exp(-600.0 / 180.0), 1e-4);
    EXPECT_NEAR(w.temperatureDegC.spread, 5e-4, 1e-4);
    EXPECT_NEAR(w.practicalSalinity.value, 34.5 + 0.9 * std::exp(-4.0), 1e-4);
    EXPECT_NEAR(w.pressureDbar.value, 600.0, 2e-3);
    EXPECT_NEAR(w.pressureDbar.spread, 0.02, 0.003);
    EXPECT_NEAR(w.depthM.value, depthBy(SeawaterFormula::DepthTeos10, w.pressureDbar.value, -31.27), 1e-3);
    EXPECT_FALSE(w.widened);
    EXPECT_EQ(w.depthM.halfWidthS, 15.0);
}

TEST(SampleWindow, ComputesDensityAndSoundFromTheMediansShown)
{
    const Dive dive{inventedDive()};
    const WaterValues w = dive.at(9'000); // in the thermocline
    const double s = w.practicalSalinity.value, t = w.temperatureDegC.value, p = w.pressureDbar.value;
    EXPECT_EQ(w.sigma0KgM3.value, sigma0Eos80(s, t, p));
    EXPECT_EQ(w.soundSpeedMs.value, soundSpeedChenMillero(s, t, p));
    EXPECT_GT(w.sigma0KgM3.spread, 0.0);
    EXPECT_EQ(w.methods, WaterMethods{});
}

TEST(SampleWindow, LosesOnlyTheParameterThatIsBad)
{
    CtdColumns ctd = inventedDive();
    for (std::size_t i = bottom - 100; i < bottom + 100; i += 10)
        ctd.conductivityMsCm[i] += 3.0;
    const Dive dive{ctd};
    const WaterValues w = dive.at(bottom);
    EXPECT_EQ(w.temperatureDegC.used, window);
    EXPECT_EQ(w.depthM.used, window);
    EXPECT_LT(w.practicalSalinity.used, window - 19);
    EXPECT_EQ(w.practicalSalinity.used + w.practicalSalinity.rejected, window);
    EXPECT_NEAR(w.practicalSalinity.value, 34.5 + 0.9 * std::exp(-4.0), 1e-4);
    EXPECT_EQ(w.flag, QcFlag::Pass);
}

TEST(SampleWindow, HasNoSalinityInAFrozenMinuteUnlessTheWidenedWindowReachesOut)
{
    CtdColumns ctd = inventedDive();
    const std::size_t half = 24 * 30;
    std::fill(ctd.conductivityMsCm.begin() + bottom - half, ctd.conductivityMsCm.begin() + bottom + half,
              ctd.conductivityMsCm[bottom - half]);
    const Dive dive{ctd};
    const WaterValues narrow = dive.at(bottom, {.maxHalfWidthS = 15});
    EXPECT_EQ(narrow.practicalSalinity.flag, QcFlag::Fail);
    EXPECT_TRUE(std::isnan(narrow.practicalSalinity.value));
    EXPECT_TRUE(std::isnan(narrow.sigma0KgM3.value));
    EXPECT_EQ(narrow.sigma0KgM3.flag, QcFlag::Fail);
    EXPECT_EQ(narrow.temperatureDegC.flag, QcFlag::Pass);
    EXPECT_EQ(narrow.flag, QcFlag::Fail);

    const WaterValues wide = dive.at(bottom);
    EXPECT_EQ(wide.practicalSalinity.flag, QcFlag::Suspect) << "from further away than asked";
    EXPECT_EQ(wide.practicalSalinity.halfWidthS, 60.0);
    EXPECT_EQ(wide.temperatureDegC.halfWidthS, 15.0);
    EXPECT_TRUE(wide.widened);
    EXPECT_NEAR(wide.practicalSalinity.value, 34.5 + 0.9 * std::exp(-4.0), 1e-4);
}

TEST(SampleWindow, InventsNothingOutsideTheLog)
{
    const Dive dive{inventedDive(5000)};
    const WaterValues before =
        waterAt(dive.timeOf(0) - std::chrono::seconds(16), dive.ctd, dive.derived, dive.flags);
    EXPECT_EQ(before.flag, QcFlag::Missing);
    EXPECT_TRUE(std::isnan(before.temperatureDegC.value));
    EXPECT_TRUE(std::isnan(before.depthM.value));
    EXPECT_EQ(before.temperatureDegC.used, 0U);
    EXPECT_FALSE(before.widened);

    const WaterValues justAfter =
        waterAt(dive.timeOf(4999) + std::chrono::seconds(5), dive.ctd, dive.derived, dive.flags);
    EXPECT_EQ(justAfter.flag, QcFlag::Suspect) << "scans on one side only";
    EXPECT_EQ(justAfter.temperatureDegC.used, 241U);

    const WaterValues none = waterAt(dive.timeOf(0), {}, {}, {});
    EXPECT_EQ(none.flag, QcFlag::Missing);
}

TEST(SampleWindow, WidensInAGapOnlyToTheLimit)
{
    CtdColumns ctd = inventedDive();
    for (std::size_t i = bottom; i < ctd.size(); ++i)
        ctd.timeUs[i] += 80'000'000;
    const Dive dive{ctd};
    const UtcTime middle = dive.timeOf(bottom - 1) + std::chrono::seconds(40);
    const WaterValues w = waterAt(middle, ctd, dive.derived, dive.flags);
    EXPECT_EQ(w.flag, QcFlag::Suspect);
    EXPECT_TRUE(w.widened);
    EXPECT_EQ(w.temperatureDegC.halfWidthS, 60.0);
    const WaterValues limited = waterAt(middle, ctd, dive.derived, dive.flags, {.maxHalfWidthS = 30});
    EXPECT_EQ(limited.flag, QcFlag::Missing);
}

TEST(SampleWindow, CallsFewScansOrAMovingVehicleSuspect)
{
    const CtdColumns all = inventedDive();
    CtdColumns slow; // one scan in 20 s
    for (std::size_t i = 0; i < all.size(); i += 480) {
        slow.timeUs.push_back(all.timeUs[i]);
        slow.conductivityMsCm.push_back(all.conductivityMsCm[i]);
        slow.temperatureDegC.push_back(all.temperatureDegC[i]);
        slow.pressureDbar.push_back(all.pressureDbar[i]);
    }
    const DerivedColumns derived = derive(slow, -31.27);
    const ScanFlags flags = qualityOf(slow, derived, shippedLimits("slow-profiler"));
    const WaterValues w = waterAt(utcFromMicroseconds(slow.timeUs[70]), slow, derived, flags);
    EXPECT_EQ(w.temperatureDegC.used, 7U) << "60 s on each side";
    EXPECT_EQ(w.temperatureDegC.flag, QcFlag::Suspect);
    EXPECT_EQ(w.oxygenUmolKg.flag, QcFlag::Missing);
    EXPECT_EQ(w.flag, QcFlag::Suspect);

    const Dive dive{all};
    const WaterValues diving = dive.at(5000, {.maxDepthSpreadM = 2.0}); // 0.5 m/s
    EXPECT_EQ(diving.depthM.flag, QcFlag::Suspect);
    EXPECT_GT(diving.depthM.spread, 4.0);
}

TEST(SampleWindow, LeavesOutScansWhoseClockIsInDoubt)
{
    CtdColumns ctd = inventedDive();
    for (std::size_t i = bottom; i < bottom + 300; ++i)
        ctd.timeUs[i] = ctd.timeUs[bottom];
    const Dive dive{ctd};
    const WaterValues w = dive.at(bottom);
    EXPECT_EQ(w.temperatureDegC.rejected, 300U);
}

TEST(SampleWindow, FindsTheScansOfALogThatIsOutOfOrder)
{
    CtdColumns ctd = inventedDive();
    const Dive ordered{ctd};
    std::swap(ctd.timeUs[100], ctd.timeUs[101]);
    const WaterValues expected = ordered.at(bottom);
    const WaterValues w = waterAt(ordered.timeOf(bottom), ctd, ordered.derived, ordered.flags);
    EXPECT_EQ(w.temperatureDegC.value, expected.temperatureDegC.value);
    EXPECT_EQ(w.temperatureDegC.used, expected.temperatureDegC.used);
}

TEST(SampleWindow, NotesAValueOutsideTheFormulasRange)
{
    CtdColumns ctd = inventedDive(5000);
    for (double &t : ctd.temperatureDegC)
        t = -1.0 + (t - std::floor(t)) * 1e-3;
    for (std::size_t i = 0; i < ctd.size(); ++i)
        ctd.conductivityMsCm[i] =
            conductivityFromSalinity(34.5, ctd.temperatureDegC[i], ctd.pressureDbar[i]) +
            1e-3 * static_cast<double>(i % 7);
    const Dive dive{ctd};
    const WaterValues w = dive.at(2500);
    EXPECT_EQ(w.soundSpeedMs.flag, QcFlag::Pass);
    EXPECT_EQ(w.soundSpeedMs.note.bits, RangeNote::TemperatureLow) << "Chen and Millero begin at 0 degC";
    EXPECT_TRUE(w.practicalSalinity.note.inside());
    EXPECT_TRUE(w.depthM.note.inside());
}

TEST(SampleWindow, WorksOnAnExcerptLikeOnTheWholeLog)
{
    const Dive dive{inventedDive()};
    const auto cut = [](const auto &v) {
        return std::remove_cvref_t<decltype(v)>(v.begin() + bottom - 2000, v.begin() + bottom + 2000);
    };
    CtdColumns ctd;
    ctd.timeUs = cut(dive.ctd.timeUs);
    ctd.conductivityMsCm = cut(dive.ctd.conductivityMsCm);
    ctd.temperatureDegC = cut(dive.ctd.temperatureDegC);
    ctd.pressureDbar = cut(dive.ctd.pressureDbar);
    ctd.oxygenUmolKg = cut(dive.ctd.oxygenUmolKg);
    ScanFlags flags;
    for (std::size_t p = 0; p < qcParameterCount; ++p)
        flags.of[p] = cut(dive.flags.of[p]);
    flags.aggregate = cut(dive.flags.aggregate);
    flags.reasons = cut(dive.flags.reasons);
    const WaterValues part = waterAt(dive.timeOf(bottom), ctd, derive(ctd, -31.27), flags);
    const WaterValues whole = dive.at(bottom);
    EXPECT_EQ(part.practicalSalinity.value, whole.practicalSalinity.value);
    EXPECT_EQ(part.oxygenUmolKg.spread, whole.oxygenUmolKg.spread);
    EXPECT_EQ(part.sigma0KgM3.value, whole.sigma0KgM3.value);
}

} // namespace
} // namespace holdfast
