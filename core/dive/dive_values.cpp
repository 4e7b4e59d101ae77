// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/dive_values.h"

#include "dive/scan_log.h"
#include "store/sensor_log.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

/// Depths once a second from the CTD, for a position log that has none.
Result<std::vector<DepthRecord>> ctdDepths(const Database &db, int dive, double latitudeDeg)
{
    const auto window = readScans(db, dive, SensorLogReader::earliest, SensorLogReader::latest, latitudeDeg);
    if (!window)
        return window.error();
    std::vector<DepthRecord> depths;
    std::int64_t next = std::numeric_limits<std::int64_t>::min();
    for (std::size_t i = 0; i < window->scans.size(); ++i) {
        const std::int64_t t = window->scans.timeUs[i];
        if (t < next || window->flags.flags(QcParameter::Depth)[i] != QcFlag::Pass)
            continue;
        depths.push_back({utcFromMicroseconds(t), window->derived.depthM[i]});
        next = t + 1'000'000;
    }
    return depths;
}

} // namespace

Result<Track> diveTrack(const Database &db, int dive, FixMethod method)
{
    const SensorLogReader logs(db.connection());
    TrackInputs inputs;
    auto positions = logs.positions(dive);
    if (!positions)
        return positions.error();
    inputs.positions = std::move(*positions);
    auto velocities = logs.velocities(dive);
    if (!velocities)
        return velocities.error();
    inputs.velocities = std::move(*velocities);
    const bool hasDepth = std::any_of(inputs.positions.begin(), inputs.positions.end(),
                                      [](const PositionRecord &p) { return p.depthM.has_value(); });
    if (!hasDepth && !inputs.positions.empty()) {
        auto depths = ctdDepths(db, dive, inputs.positions.front().latitudeDeg);
        if (!depths)
            return depths.error();
        inputs.depths = std::move(*depths);
    }
    TrackOptions options;
    options.method = method;
    return Track::build(std::move(inputs), options);
}

Result<std::vector<WaterValues>> diveWater(const Database &db, int dive, std::span<const UtcTime> times,
                                           const WindowOptions &options)
{
    const auto latitude = diveLatitude(db, dive);
    if (!latitude)
        return latitude.error();
    const auto reach = Microseconds(static_cast<std::int64_t>(std::ceil(options.maxHalfWidthS * 1e6)));
    std::vector<WaterValues> out;
    out.reserve(times.size());
    for (const UtcTime t : times) {
        const auto window = readScans(db, dive, t - reach, t + reach, latitude->value_or(45));
        if (!window)
            return window.error();
        out.push_back(waterAt(t, window->scans, window->derived, window->flags, options));
    }
    return out;
}

} // namespace holdfast
