// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "live/record_taker.h"
#include "nav/live_track.h"

#include <QString>
#include <optional>
#include <vector>

namespace holdfast
{

/// The newest water values; a value is missing when the newest scan has none.
struct LiveWater {
    UtcTime time{};
    std::optional<double> temperatureDegC, practicalSalinity, oxygenUmolKg, pressureDbar;
    std::optional<double> depthM; ///< from pressure, at the latitude of the last fix
};

/// A single live value with the time written beside it and the feed that gave it.
struct LiveValue {
    UtcTime time{};
    double value = 0;
    QString from;
};

/// What the feeds say just now.
struct NewestValues {
    std::optional<NavFix> fix; ///< provisional, at its own time
    std::optional<LiveValue> headingDeg, altitudeM;
    std::optional<LiveWater> water;
    QString fixFrom, waterFrom; ///< the feeds that gave them
};

/// What the feeds said over time, each course thinned to a value in two seconds, in the order in which it
/// came: its times may run backwards where a clock was set or a line held a wrong one. Provisional: nothing
/// is checked against its neighbours, and fixes know nothing of what came later.
struct LiveCourse {
    struct Value {
        std::int64_t timeUs = 0;
        float value = 0;
    };
    struct Place {
        std::int64_t timeUs = 0;
        double latitudeDeg = 0, longitudeDeg = 0;
        std::optional<double> uncertainty95M;
    };
    std::vector<Value> depthM = {}, temperatureDegC = {}, practicalSalinity = {}, oxygenUmolKg = {};
    std::vector<Place> track = {};

    [[nodiscard]] bool empty() const
    {
        return depthM.empty() && temperatureDegC.empty() && practicalSalinity.empty() &&
               oxygenUmolKg.empty() && track.empty();
    }
    void append(const LiveCourse &more);
};

/// Makes values and courses out of records as they come: for live feeds and for lines that were recorded.
/// Constant time and memory but for the course, which the caller takes out.
class LiveValues
{
public:
    LiveValues();
    /// What one read of a feed gave. Of several scans the last one counts.
    void take(const NewRecords &records, const QString &feed);
    [[nodiscard]] const NewestValues &newest() const { return m_newest; }
    /// What has been added to the courses since the last call.
    [[nodiscard]] LiveCourse takeCourse() { return std::exchange(m_course, {}); }

private:
    struct Thinner {
        std::int64_t lastUs = 0;
        [[nodiscard]] bool wants(std::int64_t us);
    };
    void takeScan(const CtdColumns &ctd, const QString &feed);
    void addDepth(std::int64_t us, double depthM);
    void addPlace();

    NewestValues m_newest;
    LiveCourse m_course;
    std::optional<LiveTrack> m_track;
    Thinner m_depths, m_scans, m_places;
    /// Of the last depth from pressure; at first that of the first position: a CTD gets time to speak up.
    std::optional<UtcTime> m_ctdDepthTime;
};

} // namespace holdfast
