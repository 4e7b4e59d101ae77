// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/dive_courses.h"

#include "dive/dive_values.h"
#include "dive/scan_log.h"
#include "print/decimate.h"
#include "store/sensor_log.h"

#include <cmath>

namespace holdfast
{

namespace
{

/// A gap of more than 20 times the usual step breaks the line, as in the chart's own rule.
constexpr double stepsOfAGap = 20;

std::vector<ChartPoint> thinned(const std::vector<std::int64_t> &timeUs, const ScanSeries &series,
                                int columns)
{
    const auto passes = [](std::uint32_t flag) {
        return flag != static_cast<std::uint32_t>(QcFlag::Fail) &&
               flag != static_cast<std::uint32_t>(QcFlag::Missing);
    };
    std::vector<ChartPoint> good;
    good.reserve(series.values.size());
    for (std::size_t i = 0; i < series.values.size(); ++i) {
        if (std::isfinite(series.values[i]) && passes(series.flags[i]))
            good.push_back({utcFromMicroseconds(timeUs[i]), series.values[i]});
    }
    if (good.empty())
        return good;
    return decimate(good, good.front().time, good.back().time + Microseconds(1), columns,
                    std::max(1.0, stepsOfAGap * usualStepS(good)));
}

void addTrack(const Track &track, DiveCourses &courses)
{
    const std::vector<PositionRecord> positions = track.accepted();
    if (positions.empty())
        return;
    const auto span = positions.back().time - positions.front().time;
    const auto step = std::max<Microseconds>(span / 800, std::chrono::seconds(2));
    for (UtcTime t = positions.front().time; t <= positions.back().time; t += step) {
        const NavFix fix = track.at(t);
        if (fix.latitudeDeg)
            courses.track.push_back({t, *fix.latitudeDeg, *fix.longitudeDeg});
        if (fix.depthM)
            courses.depth.push_back({t, *fix.depthM});
    }
}

Done addWater(const Database &db, int dive, int columns, DiveCourses &courses)
{
    const auto latitude = diveLatitude(db, dive);
    if (!latitude)
        return latitude.error();
    const auto scans = readScanSeries(db, dive, latitude->value_or(latitudeWhenUnknownDeg));
    if (!scans)
        return scans.error();
    if (scans->timeUs.empty())
        return {};
    std::int64_t longestUs = 0;
    for (std::size_t i = 1; i < scans->timeUs.size(); ++i)
        longestUs = std::max(longestUs, scans->timeUs[i] - scans->timeUs[i - 1]);
    courses.scanGapS = static_cast<double>(longestUs) / 1e6;
    const auto add = [&](const char *title, const ScanSeries &series) {
        auto points = thinned(scans->timeUs, series, columns);
        if (!points.empty())
            courses.water.push_back({QString::fromUtf8(title), std::move(points)});
    };
    add("Temperature (°C)", scans->temperatureDegC);
    add("Practical salinity", scans->practicalSalinity);
    add("Oxygen (µmol/kg)", scans->oxygenUmolKg);
    auto depth = thinned(scans->timeUs, scans->depthM, columns);
    if (!depth.empty())
        courses.depth = std::move(depth); // the pressure sensor knows depth better than the acoustics
    return {};
}

} // namespace

Result<DiveCourses> diveCourses(const Database &db, int dive, int columns, const Track &track)
{
    DiveCourses courses;
    courses.fixes = std::make_shared<const Track>(track);
    addTrack(track, courses);
    if (auto done = addWater(db, dive, columns, courses); !done)
        return done.error();
    return courses;
}

Result<DiveCourses> diveCourses(const Database &db, int dive, int columns)
{
    const auto track = diveTrack(db, dive, FixMethod::Smooth);
    if (!track)
        return track.error();
    return diveCourses(db, dive, columns, *track);
}

Result<QString> whatCoursesDependOn(const Database &db, int dive)
{
    const auto offset = appliedClockOffset(db, dive);
    if (!offset)
        return offset.error();
    auto rows =
        query(db.connection(),
              QStringLiteral("SELECT uuid, digest, replaced_by IS NULL FROM intake WHERE dive=? ORDER "
                             "BY uuid"),
              {dive});
    if (!rows)
        return rows.error();
    QString key = QString::number(offset->count());
    while (rows->next())
        key += QStringLiteral("|%1 %2 %3").arg(rows->text(0), rows->text(1), rows->text(2));
    return key;
}

} // namespace holdfast
