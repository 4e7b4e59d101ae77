// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/dive_values.h"

#include "dive/scan_log.h"
#include "dive/vehicle_positions.h"
#include "store/sensor_log.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

Result<std::vector<DepthRecord>> ctdDepths(const Database &db, int dive, double latitudeDeg,
                                           Microseconds offset)
{
    const auto window = readScans(db, dive, SensorLogReader::earliest, SensorLogReader::latest, latitudeDeg);
    if (!window)
        return window.error();
    std::vector<DepthRecord> depths;
    std::int64_t next = std::numeric_limits<std::int64_t>::min();
    for (std::size_t i = 0; i < window->scans.size(); ++i) {
        const std::int64_t t = window->scans.timeUs[i];
        const QcFlag flag = window->flags.flags(QcParameter::Depth)[i];
        // A clock that is off makes depths disagree with navigation: a suspect depth still tells of the
        // clock.
        if (t < next || flag == QcFlag::Fail || flag == QcFlag::Missing)
            continue;
        depths.push_back({utcFromMicroseconds(t) - offset, window->derived.depthM[i]});
        next = t + 1'000'000;
    }
    return depths;
}

NavFix fixOfUnknownMoment()
{
    NavFix fix;
    fix.flag = FixFlag::NoFix;
    fix.reason = QStringLiteral("The moment of taking is not known: it was found at recovery.");
    return fix;
}

WaterValues waterOfUnknownMoment()
{
    return {}; // every value Missing
}

Result<Microseconds> appliedClockOffset(const Database &db, int dive)
{
    auto row = query(db.connection(),
                     QStringLiteral("SELECT offset_us FROM clock_offset WHERE dive=? AND log='ctd'"), {dive});
    if (!row)
        return row.error();
    return Microseconds(row->next() ? row->integer(0) : 0);
}

Result<Track> diveTrack(const Database &db, int dive, FixMethod method)
{
    TrackInputs inputs;
    TrackOptions options;
    options.method = method;
    if (auto done = readVehiclePositions(db, dive, inputs, options); !done)
        return done.error();
    auto velocities = SensorLogReader(db.connection()).velocities(dive);
    if (!velocities)
        return velocities.error();
    inputs.velocities = std::move(*velocities);
    const bool hasDepth = std::any_of(inputs.positions.begin(), inputs.positions.end(),
                                      [](const PositionRecord &p) { return p.depthM.has_value(); });
    if (!hasDepth && !inputs.positions.empty()) {
        const auto offset = appliedClockOffset(db, dive);
        if (!offset)
            return offset.error();
        auto depths = ctdDepths(db, dive, inputs.positions.front().latitudeDeg, *offset);
        if (!depths)
            return depths.error();
        inputs.depths = std::move(*depths);
    }
    return Track::build(std::move(inputs), options);
}

Result<std::vector<WaterValues>> diveWater(const Database &db, int dive, std::span<const UtcTime> times,
                                           const WindowOptions &options)
{
    const auto latitude = diveLatitude(db, dive);
    if (!latitude)
        return latitude.error();
    const auto offset = appliedClockOffset(db, dive);
    if (!offset)
        return offset.error();
    const auto reach = Microseconds(static_cast<std::int64_t>(std::ceil(options.maxHalfWidthS * 1e6)));
    std::vector<WaterValues> out;
    out.reserve(times.size());
    for (const UtcTime t : times) {
        const UtcTime onCtdClock = t + *offset;
        const auto window = readScans(db, dive, onCtdClock - reach, onCtdClock + reach,
                                      latitude->value_or(latitudeWhenUnknownDeg));
        if (!window)
            return window.error();
        out.push_back(waterAt(onCtdClock, window->scans, window->derived, window->flags, options));
        out.back().at = t;
    }
    return out;
}

} // namespace holdfast
