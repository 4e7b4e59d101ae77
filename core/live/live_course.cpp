// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/live_course.h"

#include "water/depth.h"
#include "water/salinity.h"

#include <cmath>

namespace holdfast
{

namespace
{

constexpr std::int64_t stepUs = 2'000'000;
/// A time further back than this is no late line: the one before it was wrong, or the clock was set.
constexpr std::int64_t backUs = 60'000'000;
constexpr double ctdDepthLastsS = 10;        ///< then the CTD counts as silent for the depth picture
constexpr double latitudeWithoutFixDeg = 45; ///< 0.3 % of depth at most from pole to equator

std::optional<double> known(double value)
{
    return std::isnan(value) ? std::optional<double>() : value;
}

double lastOf(const std::vector<double> &column)
{
    return column.empty() ? missingValue : column.back();
}

template <typename T>
void addAll(std::vector<T> &to, const std::vector<T> &from)
{
    to.insert(to.end(), from.begin(), from.end());
}

} // namespace

void LiveCourse::append(const LiveCourse &more)
{
    addAll(depthM, more.depthM);
    addAll(temperatureDegC, more.temperatureDegC);
    addAll(practicalSalinity, more.practicalSalinity);
    addAll(oxygenUmolKg, more.oxygenUmolKg);
    addAll(track, more.track);
}

bool LiveValues::Thinner::wants(std::int64_t us)
{
    if (us - lastUs < stepUs && us - lastUs > -backUs)
        return false;
    lastUs = us;
    return true;
}

LiveValues::LiveValues()
{
    if (auto track = LiveTrack::start()) // the default options are within their ranges
        m_track.emplace(std::move(*track));
}

void LiveValues::take(const NewRecords &records, const QString &feed)
{
    for (const PositionRecord &position : records.positions) {
        if (m_track)
            m_newest.fix = m_track->add(position);
        m_newest.fixFrom = feed;
        addPlace();
        if (position.headingDeg)
            m_newest.headingDeg = LiveValue{position.time, *position.headingDeg, feed};
        if (!m_ctdDepthTime)
            m_ctdDepthTime = position.time;
        // Pressure is the better depth; when the CTD has fallen silent, the position log's own goes on.
        const bool ctdSpeaks =
            m_ctdDepthTime && std::abs(secondsBetween(*m_ctdDepthTime, position.time)) < ctdDepthLastsS;
        if (position.depthM && !ctdSpeaks)
            addDepth(microsecondsOf(position.time), *position.depthM);
    }
    for (const VelocityRecord &velocity : records.velocities) {
        if (velocity.altitudeM)
            m_newest.altitudeM = LiveValue{velocity.time, *velocity.altitudeM, feed};
        if (velocity.headingDeg)
            m_newest.headingDeg = LiveValue{velocity.time, *velocity.headingDeg, feed};
    }
    if (records.ctd.size() > 0)
        takeScan(records.ctd, feed);
}

void LiveValues::addPlace()
{
    if (!m_newest.fix || !m_newest.fix->latitudeDeg || !m_newest.fix->longitudeDeg)
        return;
    const NavFix &fix = *m_newest.fix;
    const std::int64_t us = microsecondsOf(fix.time);
    if (m_places.wants(us))
        m_course.track.push_back({us, *fix.latitudeDeg, *fix.longitudeDeg, fix.uncertainty95M});
}

void LiveValues::takeScan(const CtdColumns &ctd, const QString &feed)
{
    LiveWater water;
    water.time = utcFromMicroseconds(ctd.timeUs.back());
    const double conductivity = lastOf(ctd.conductivityMsCm);
    const double temperature = lastOf(ctd.temperatureDegC);
    const double pressure = lastOf(ctd.pressureDbar);
    water.temperatureDegC = known(temperature);
    water.oxygenUmolKg = known(lastOf(ctd.oxygenUmolKg));
    water.pressureDbar = known(pressure);
    water.practicalSalinity = known(practicalSalinity(conductivity, temperature, pressure));
    const double latitude =
        m_newest.fix ? m_newest.fix->latitudeDeg.value_or(latitudeWithoutFixDeg) : latitudeWithoutFixDeg;
    water.depthM = known(depthTeos10(pressure, latitude));
    const std::int64_t us = ctd.timeUs.back();
    if (water.depthM) {
        m_ctdDepthTime = water.time;
        addDepth(us, *water.depthM);
    }
    if (m_scans.wants(us)) {
        const auto add = [us](std::vector<LiveCourse::Value> &course, const std::optional<double> &value) {
            if (value)
                course.push_back({us, static_cast<float>(*value)});
        };
        add(m_course.temperatureDegC, water.temperatureDegC);
        add(m_course.practicalSalinity, water.practicalSalinity);
        add(m_course.oxygenUmolKg, water.oxygenUmolKg);
    }
    m_newest.water = water;
    m_newest.waterFrom = feed;
}

void LiveValues::addDepth(std::int64_t us, double depthM)
{
    if (m_depths.wants(us))
        m_course.depthM.push_back({us, static_cast<float>(depthM)});
}

} // namespace holdfast
