// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "nav/track.h"
#include "print/dive_report.h"
#include "store/database.h"

#include <memory>
#include <optional>

namespace holdfast
{

/// A dive's courses in time and place from its logs in the file, thinned for a picture of up to `columns`
/// columns. The depth is that of the CTD where there is one, else that of the track. Values that failed their
/// checks are left out, and the line is broken there.
struct DiveCourses {
    std::vector<TrackMapContent::Point> track = {}; ///< the smoothed track, at most 800 points
    std::vector<ChartPoint> depth = {};             ///< m, positive down
    std::vector<WaterStrip> water = {}; ///< temperature, practical salinity, oxygen: those that were measured
    std::optional<double> scanGapS = {};     ///< the longest time between two scans; empty without any
    std::shared_ptr<const Track> fixes = {}; ///< for the fix at any instant; never null
};
[[nodiscard]] Result<DiveCourses> diveCourses(const Database &db, int dive, int columns);
/// The same from a track that was built already (diveTrack with FixMethod::Smooth).
[[nodiscard]] Result<DiveCourses> diveCourses(const Database &db, int dive, int columns, const Track &track);

/// A text that is another one whenever diveCourses() may come out otherwise: which logs are in use, with
/// which values, and by which clock.
[[nodiscard]] Result<QString> whatCoursesDependOn(const Database &db, int dive);

} // namespace holdfast
