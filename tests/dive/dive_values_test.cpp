// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/dive_values.h"

#include "dive/log_intake.h"
#include "support/a_cruise.h"
#include "water/depth.h"
#include "water/salinity.h"

using namespace holdfast;
using test::at;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class DiveValues : public test::WithCruise
{
protected:
    /// One scan a second for two minutes at rest: 3.4 degC, salinity 34.56, 1450 dbar.
    QByteArray quietCtd()
    {
        QByteArray out = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg\n";
        const double c = conductivityFromSalinity(34.56, 3.4, 1450);
        for (int i = 0; i < 120; ++i) {
            const double wiggle = ((i * 7) % 5 - 2) * 1e-3;
            out += toIso(at("2026-03-12T09:00:00Z") + std::chrono::seconds(i)).toLatin1() + ',' +
                   QByteArray::number(c + wiggle * 0.3, 'f', 4) + ',' +
                   QByteArray::number(3.4 + wiggle, 'f', 4) + ',' +
                   QByteArray::number(1450 + wiggle * 20, 'f', 3) + ',' +
                   QByteArray::number(182 + wiggle * 50, 'f', 2) + '\n';
        }
        return out;
    }
    void take(const char *name, const QByteArray &bytes, const char *profileName)
    {
        write(path(s(name)), bytes);
        const auto profile = feedProfile(s(profileName));
        ASSERT_OK(profile);
        ASSERT_OK(takeInLog(file(), act(), 1, path(s(name)), *profile));
    }
};

} // namespace

TEST_F(DiveValues, WaterIsTheMedianOfTheScansAboutTheMoment)
{
    take("p.csv",
         "time_utc,latitude_deg,longitude_deg,depth_m\n2026-03-12T09:00:00Z,-19.43,179.999,1430\n"
         "2026-03-12T09:01:00Z,-19.43,179.999,1430\n",
         "position-csv");
    take("c.csv", quietCtd(), "ctd-csv");
    const std::vector<UtcTime> times{at("2026-03-12T09:01:00Z")};
    const auto water = diveWater(file().db(), 1, times);
    ASSERT_OK(water);
    const WaterValues &w = water->front();
    EXPECT_EQ(w.flag, QcFlag::Pass);
    EXPECT_NEAR(w.temperatureDegC.value, 3.4, 0.001);
    EXPECT_NEAR(w.practicalSalinity.value, 34.56, 0.003);
    EXPECT_NEAR(w.depthM.value, depthTeos10(1450, -19.43), 0.05) << "the latitude of the dive's positions";
    EXPECT_EQ(w.temperatureDegC.used, 31u) << "15 s to either side";
}

TEST_F(DiveValues, NothingIsInventedOutsideTheLogs)
{
    take("c.csv", quietCtd(), "ctd-csv");
    const std::vector<UtcTime> times{at("2026-03-12T07:00:00Z"), at("2026-03-12T11:00:00Z")};
    const auto water = diveWater(file().db(), 1, times);
    ASSERT_OK(water);
    for (const WaterValues &w : *water) {
        EXPECT_EQ(w.flag, QcFlag::Missing);
        EXPECT_FALSE(w.temperatureDegC.has());
    }
    const auto track = diveTrack(file().db(), 1, FixMethod::Smooth);
    ASSERT_OK(track);
    const NavFix fix = track->at(times.front());
    EXPECT_EQ(fix.flag, FixFlag::NoFix);
    EXPECT_FALSE(fix.latitudeDeg);
}

TEST_F(DiveValues, LinearIsTheGeodesicBetweenTheFixes)
{
    take("p.csv",
         "time_utc,latitude_deg,longitude_deg,depth_m\n2026-03-12T09:00:00Z,-17.5000,179.9998,1430\n"
         "2026-03-12T09:00:10Z,-17.5001,-179.9998,1440\n",
         "position-csv");
    const auto track = diveTrack(file().db(), 1, FixMethod::Linear);
    ASSERT_OK(track);
    // Point at half the geodesic across the 180th meridian, computed with GeodSolve of GeographicLib 2.1.2
    // (Karney 2013).
    const NavFix fix = track->at(at("2026-03-12T09:00:05Z"));
    ASSERT_TRUE(fix.latitudeDeg);
    EXPECT_NEAR(*fix.latitudeDeg, -17.50005000010085, 1e-9);
    EXPECT_NEAR(std::abs(*fix.longitudeDeg), 179.99999999994532, 1e-9);
}
