// SPDX-License-Identifier: GPL-3.0-or-later
// What a window that was opened in mid-dive reads again of the recorded lines.
#include "dive/line_recording.h"
#include "live/recorded_course.h"
#include "live_support.h"

namespace holdfast::test
{
namespace
{

const UtcTime begin = at("2026-03-12T10:00:00Z");

class RecordedCourses : public WithCruise
{
protected:
    Recording recording(const char *feed, const char *profile, const char *uuid)
    {
        return {QString::fromLatin1(uuid),
                1,
                QStringLiteral("van"),
                QString::fromLatin1(feed),
                QStringLiteral("udp://127.0.0.1:1"),
                QString::fromLatin1(profile),
                profileNamed(profile).json,
                m_now};
    }
    /// One block of lines that came at `second`.
    void record(const Recording &r, int second, const QByteArrayList &said)
    {
        ReceivedLines lines;
        for (const QByteArray &line : said)
            lines.add(microsecondsOf(begin + std::chrono::seconds(second)), line);
        const auto packed = packLines(lines, ',');
        ASSERT_OK(packed);
        ASSERT_OK(storeLines(file(), {{r, *packed}}));
    }
    static QByteArray time(int second) { return toIso(begin + std::chrono::seconds(second)).toLatin1(); }
    void recordSeconds(const Recording &ctd, const Recording &nav, int from, int to)
    {
        for (int s = from; s < to; ++s) {
            record(ctd, s, {time(s) + ",32.10,3.412," + QByteArray::number(1000 + s) + ",182.0", "garbage"});
            record(nav, s,
                   {time(s) + "," + QByteArray::number(-21.0 + s * 1e-6, 'f', 7) + ",-173.2000000,990.0"});
        }
    }
    LiveCourse read(RecordedCourse &course)
    {
        const auto news = course.readOn(file().db());
        EXPECT_TRUE(news) << news.error().sentence.toStdString();
        return news.value_or(LiveCourse{});
    }
    const Recording ctd = recording("CTD", "ctd-csv", "a");
    const Recording nav = recording("nav", "position-csv", "b");
};

TEST_F(RecordedCourses, GivesDepthWaterAndTrackAsTheyWereReadLive)
{
    record(ctd, 0, {"time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg"});
    record(nav, 0, {"time_utc,latitude_deg,longitude_deg,depth_m"});
    recordSeconds(ctd, nav, 1, 61);
    RecordedCourse course(1);
    const LiveCourse all = read(course);
    EXPECT_EQ(all.temperatureDegC.size(), 30U) << "one in two seconds";
    EXPECT_EQ(all.track.size(), 30U);
    ASSERT_GE(all.depthM.size(), 30U);
    EXPECT_NEAR(all.temperatureDegC.back().value, 3.412, 1e-5);
    EXPECT_NEAR(all.oxygenUmolKg.back().value, 182, 1e-4);
    // Common practice: in the upper ocean a decibar is about 0.99 m; the formula is checked in tests/water.
    EXPECT_NEAR(all.depthM.back().value, 0.99 * 1059, 3);
    ASSERT_TRUE(all.track.back().uncertainty95M);
    constexpr double mPerDeg = 110'660; // a degree of latitude at 21 degrees, WGS 84
    EXPECT_LT(std::abs(all.track.back().latitudeDeg - (-21 + 59e-6)) * mPerDeg,
              *all.track.back().uncertainty95M)
        << "it says how sure it is";
    EXPECT_LT(*all.track.back().uncertainty95M, 20);
    EXPECT_EQ(all.track.back().timeUs, microsecondsOf(begin + std::chrono::seconds(59)));
}

TEST_F(RecordedCourses, GoesOnWhereItStopped)
{
    record(ctd, 0, {"time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg"});
    record(nav, 0, {"time_utc,latitude_deg,longitude_deg,depth_m"});
    recordSeconds(ctd, nav, 1, 21);
    RecordedCourse course(1);
    EXPECT_EQ(read(course).temperatureDegC.size(), 10U);
    EXPECT_TRUE(read(course).empty());
    recordSeconds(ctd, nav, 21, 31);
    const LiveCourse more = read(course);
    EXPECT_EQ(more.temperatureDegC.size(), 5U);
    EXPECT_GE(more.temperatureDegC.front().timeUs, microsecondsOf(begin + std::chrono::seconds(21)));
}

TEST_F(RecordedCourses, AFeedThatWasOpenedAgainIsReadByTheHeaderAndProfileItHasNow)
{
    const Recording wrong = recording("CTD", "dvl-csv", "w");
    record(wrong, 0,
           {"time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg",
            time(0) + ",32.10,3.412,1000,182.0"});
    const Recording later = recording("CTD", "ctd-csv", "x");
    record(later, 4, {time(4) + ",32.10,3.500,1000,182.0"}); // opened in the middle: no header of its own
    RecordedCourse course(1);
    const LiveCourse all = read(course);
    ASSERT_EQ(all.temperatureDegC.size(), 2U);
    EXPECT_NEAR(all.temperatureDegC.back().value, 3.5, 1e-5);
}

TEST_F(RecordedCourses, ALongDiveIsReadInASteadyAmountOfWork)
{
    record(ctd, 0, {"time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg"});
    constexpr int blocks = 40;
    constexpr int linesEach = 3 * static_cast<int>(RecordedCourse::mostLines) / blocks;
    for (int b = 0; b < blocks; ++b) {
        QByteArrayList lines;
        for (int i = 0; i < linesEach; ++i)
            lines << time(10 * b) + ",32.10,3.4" + QByteArray::number(b) + ",1000,182.0";
        record(ctd, 10 * b + 1, lines);
    }
    RecordedCourse course(1);
    const LiveCourse all = read(course);
    EXPECT_GE(all.temperatureDegC.size(), static_cast<std::size_t>(blocks / 4));
    EXPECT_LE(all.temperatureDegC.size(), static_cast<std::size_t>(blocks / 2)) << "not every block";
    EXPECT_EQ(all.temperatureDegC.back().timeUs,
              microsecondsOf(begin + std::chrono::seconds(10 * (blocks - 1))))
        << "but the last one always";
}

TEST_F(RecordedCourses, StopsWhenItIsTold)
{
    record(nav, 0, {"time_utc,latitude_deg,longitude_deg,depth_m"});
    std::stop_source stop;
    stop.request_stop();
    RecordedCourse course(1);
    const auto read = course.readOn(file().db(), stop.get_token());
    ASSERT_FALSE(read);
    EXPECT_EQ(read.error().kind, ErrorKind::Cancelled);
}

TEST_F(RecordedCourses, AShipsFeedIsNoTrackOfTheVehicle)
{
    const Recording ship = recording("ship", "ship-csv", "s");
    record(ship, 0, {"time_utc,latitude_deg,longitude_deg", time(0) + ",-21,-173"});
    RecordedCourse course(1);
    EXPECT_TRUE(read(course).empty());
}

} // namespace
} // namespace holdfast::test
