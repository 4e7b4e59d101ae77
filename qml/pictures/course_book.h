// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "live/live_course.h"
#include "print/dive_courses.h"

#include <array>
#include <memory>

namespace holdfast
{

/// A course as it may be shown up to a moment: what the dive's logs say, and behind that what feeds said that
/// are not taken in yet.
struct ShownCourse {
    std::vector<ChartPoint> points;
    std::optional<UtcTime> provisionalFrom; ///< none: nothing of it is provisional
};

/// The courses of a dive from its three sources: the logs in the file, the lines recorded before this window
/// was opened, and the feeds of this window. Pure.
class CourseBook
{
public:
    enum Which { Depth, Temperature, Salinity, Oxygen };

    /// What the logs of the file say; null: not known.
    void setLogs(std::shared_ptr<const DiveCourses> logs) { m_logs = std::move(logs); }
    [[nodiscard]] const std::shared_ptr<const DiveCourses> &logs() const { return m_logs; }
    /// Adds what was said before what the feeds of this window have said.
    void addRecorded(const LiveCourse &course);
    void addLive(const LiveCourse &course);
    void forgetLive() { m_live = {}; }
    void forget() { *this = {}; }

    [[nodiscard]] ShownCourse shown(Which which, UtcTime now) const;
    /// The track; a provisional point has its own uncertainty.
    [[nodiscard]] std::vector<TrackMapContent::Point> track(UtcTime now) const;
    /// The provisional place at a moment, on the line between two points at most a minute apart; its
    /// uncertainty is the greater of theirs.
    [[nodiscard]] std::optional<TrackMapContent::Point> placeAt(UtcTime time) const;
    /// The first moment of any course.
    [[nodiscard]] std::optional<UtcTime> first() const;
    /// The last moment of any course before `now`.
    [[nodiscard]] std::optional<UtcTime> last(UtcTime now) const;

private:
    /// In order of time.
    struct Provisional {
        std::array<std::vector<ChartPoint>, 4> values;
        std::vector<TrackMapContent::Point> track;
    };
    static void add(Provisional &to, const LiveCourse &course);
    [[nodiscard]] const std::vector<ChartPoint> *logged(Which which) const;

    std::shared_ptr<const DiveCourses> m_logs;
    Provisional m_recorded, m_live;
};

} // namespace holdfast
