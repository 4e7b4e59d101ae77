// SPDX-License-Identifier: GPL-3.0-or-later
#include "course_book.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

constexpr double longestGapS = 60;

template <typename P>
bool isBefore(const P &point, UtcTime time)
{
    return point.time < time;
}

template <typename P>
auto firstNotBefore(const std::vector<P> &points, UtcTime time)
{
    return std::lower_bound(points.begin(), points.end(), time, isBefore<P>);
}

/// Where time runs back, what was said later counts: the clock was set, or the time before was a wrong one.
template <typename P>
void addInOrder(std::vector<P> &points, const P &point)
{
    while (!points.empty() && points.back().time >= point.time)
        points.pop_back();
    points.push_back(point);
}

/// Appends what lies behind the last of `all` and not behind `now`. @return the first time that was added.
template <typename P>
std::optional<UtcTime> addBehind(std::vector<P> &all, const std::vector<P> &more, UtcTime now)
{
    auto from = more.begin();
    if (!all.empty())
        from = std::upper_bound(more.begin(), more.end(), all.back().time,
                                [](UtcTime t, const P &p) { return t < p.time; });
    const auto to = std::max(from, firstNotBefore(more, now));
    if (from == to)
        return {};
    const UtcTime first = from->time;
    all.insert(all.end(), from, to);
    return first;
}

template <typename P>
std::vector<P> upTo(const std::vector<P> &points, UtcTime now)
{
    return {points.begin(), firstNotBefore(points, now)};
}

} // namespace

void CourseBook::add(Provisional &to, const LiveCourse &course)
{
    const std::vector<LiveCourse::Value> *values[] = {&course.depthM, &course.temperatureDegC,
                                                      &course.practicalSalinity, &course.oxygenUmolKg};
    for (std::size_t i = 0; i < to.values.size(); ++i) {
        for (const LiveCourse::Value &v : *values[i])
            addInOrder(to.values[i], ChartPoint{utcFromMicroseconds(v.timeUs), static_cast<double>(v.value)});
    }
    for (const LiveCourse::Place &p : course.track)
        addInOrder(to.track, TrackMapContent::Point{utcFromMicroseconds(p.timeUs), p.latitudeDeg,
                                                    p.longitudeDeg, true, p.uncertainty95M});
}

void CourseBook::addRecorded(const LiveCourse &course)
{
    add(m_recorded, course);
}

void CourseBook::addLive(const LiveCourse &course)
{
    add(m_live, course);
}

const std::vector<ChartPoint> *CourseBook::logged(Which which) const
{
    if (!m_logs)
        return nullptr;
    if (which == Depth)
        return &m_logs->depth;
    static constexpr const char *begins[] = {"", "Temp", "Prac", "Oxy"};
    for (const WaterStrip &strip : m_logs->water) {
        if (strip.title.startsWith(QLatin1String(begins[which])))
            return &strip.points;
    }
    return nullptr;
}

ShownCourse CourseBook::shown(Which which, UtcTime now) const
{
    ShownCourse course;
    if (const auto *points = logged(which))
        course.points = upTo(*points, now);
    const auto i = static_cast<std::size_t>(which);
    const auto recorded = addBehind(course.points, m_recorded.values[i], now);
    const auto live = addBehind(course.points, m_live.values[i], now);
    course.provisionalFrom = recorded ? recorded : live;
    return course;
}

std::vector<TrackMapContent::Point> CourseBook::track(UtcTime now) const
{
    std::vector<TrackMapContent::Point> track;
    if (m_logs)
        track = upTo(m_logs->track, now);
    addBehind(track, m_recorded.track, now);
    addBehind(track, m_live.track, now);
    return track;
}

std::optional<TrackMapContent::Point> CourseBook::placeAt(UtcTime time) const
{
    for (const auto *points : {&m_recorded.track, &m_live.track}) {
        const auto after = firstNotBefore(*points, time);
        if (after == points->end())
            continue;
        if (after->time == time)
            return *after;
        if (after == points->begin())
            continue;
        const auto &a = *(after - 1);
        const auto &b = *after;
        if (secondsBetween(a.time, b.time) > longestGapS || !a.uncertainty95M || !b.uncertainty95M)
            continue;
        const double share = secondsBetween(a.time, time) / secondsBetween(a.time, b.time);
        TrackMapContent::Point p = a;
        p.time = time;
        p.latitudeDeg += share * (b.latitudeDeg - a.latitudeDeg);
        p.longitudeDeg = std::remainder(
            a.longitudeDeg + share * std::remainder(b.longitudeDeg - a.longitudeDeg, 360.0), 360.0);
        p.uncertainty95M = std::max(*a.uncertainty95M, *b.uncertainty95M);
        return p;
    }
    return {};
}

std::optional<UtcTime> CourseBook::first() const
{
    std::optional<UtcTime> first;
    const auto look = [&first](const auto &points) {
        if (!points.empty() && (!first || points.front().time < *first))
            first = points.front().time;
    };
    if (m_logs)
        look(m_logs->depth);
    for (const auto *source : {&m_recorded, &m_live}) {
        for (const auto &values : source->values)
            look(values);
    }
    return first;
}

std::optional<UtcTime> CourseBook::last(UtcTime now) const
{
    std::optional<UtcTime> last;
    const auto look = [&](const auto &points) {
        const auto end = firstNotBefore(points, now);
        if (end != points.begin() && (!last || (end - 1)->time > *last))
            last = (end - 1)->time;
    };
    if (m_logs)
        look(m_logs->depth);
    for (const auto *source : {&m_recorded, &m_live}) {
        for (const auto &values : source->values)
            look(values);
    }
    return last;
}

} // namespace holdfast
