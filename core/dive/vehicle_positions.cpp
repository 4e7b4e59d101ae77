// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/vehicle_positions.h"

#include "dive/dive_values.h"
#include "dive/scan_log.h"
#include "feed/feed_profile.h"
#include "nav/ship_acoustics.h"
#include "store/sensor_log.h"

#include <algorithm>

namespace holdfast
{

namespace
{

Done takePositions(const SensorLogReader &logs, const LogFile &file, TrackInputs &inputs,
                   TrackOptions &options)
{
    const auto profile = parseFeedProfile(file.profileJson, file.profile);
    if (!profile)
        return profile.error();
    const auto rows = logs.rows(file);
    if (!rows)
        return rows.error();
    // Acoustic fixes scatter with the slant range; a fixed deviation is for positions without a depth.
    // What a dead-reckoned position is worth depends on the time since its correction: the track finds
    // that out itself.
    const bool byRange = profile->source == PositionSource::Acoustic && profile->sigmaPercentOfSlantRange;
    if (byRange) {
        options.acousticRangeShare = *profile->sigmaPercentOfSlantRange / 100;
        options.acousticWithoutDepthM = profile->sigmaM.value_or(options.acousticWithoutDepthM);
    }
    const bool fixedDeviation = !byRange && profile->source != PositionSource::DeadReckoning;
    for (PositionRecord record : positionsOf(*rows)) {
        if (!record.sigmaM && fixedDeviation)
            record.sigmaM = profile->sigmaM;
        inputs.positions.push_back(record);
    }
    return {};
}

/// The ship's logs of a dive, each position with the deviation that its profile states.
Result<std::vector<PositionRecord>> shipOfDive(const SensorLogReader &logs, const std::vector<LogFile> &files)
{
    std::vector<PositionRecord> ship;
    for (const LogFile &file : files) {
        if (!file.inUse || file.kind != LogKind::Ship)
            continue;
        const auto profile = parseFeedProfile(file.profileJson, file.profile);
        if (!profile)
            return profile.error();
        const auto rows = logs.rows(file);
        if (!rows)
            return rows.error();
        for (PositionRecord record : positionsOf(*rows)) {
            if (!record.sigmaM)
                record.sigmaM = profile->sigmaM;
            ship.push_back(record);
        }
    }
    std::ranges::stable_sort(ship, {}, &PositionRecord::time);
    return ship;
}

/// True when a measurement can't be placed without a depth from elsewhere.
bool needsDepth(const AcousticRecord &r, const AcousticSetup &setup)
{
    const bool steep = r.depressionDeg || (r.forwardM && r.starboardM && r.downM);
    return !r.depthM && (!steep || setup.frame == AcousticFrame::True);
}

Result<std::vector<DepthRecord>> depthsFor(const Database &db, int dive, double latitudeDeg)
{
    const auto offset = appliedClockOffset(db, dive);
    if (!offset)
        return offset.error();
    return ctdDepths(db, dive, latitudeDeg, *offset);
}

Done takeAcoustics(const Database &db, int dive, const SensorLogReader &logs,
                   const std::vector<LogFile> &files, TrackInputs &inputs)
{
    const bool any =
        std::ranges::any_of(files, [](const LogFile &f) { return f.inUse && f.kind == LogKind::Acoustic; });
    if (!any)
        return {};
    const auto ship = shipOfDive(logs, files);
    if (!ship)
        return ship.error();
    std::optional<std::vector<DepthRecord>> depths;
    for (const LogFile &file : files) {
        if (!file.inUse || file.kind != LogKind::Acoustic)
            continue;
        const auto profile = parseFeedProfile(file.profileJson, file.profile);
        if (!profile)
            return profile.error();
        const auto rows = logs.rows(file);
        if (!rows)
            return rows.error();
        const std::vector<AcousticRecord> records = acousticsOf(*rows);
        const bool wanted = std::ranges::any_of(
            records, [&](const AcousticRecord &r) { return needsDepth(r, profile->acoustic); });
        if (wanted && !depths && !ship->empty()) {
            auto read = depthsFor(db, dive, ship->front().latitudeDeg);
            if (!read)
                return read.error();
            depths = std::move(*read);
        }
        const AcousticPositions placed = placeAcoustics(
            records, profile->acoustic,
            {*ship, depths ? std::span<const DepthRecord>(*depths) : std::span<const DepthRecord>()});
        inputs.positions.insert(inputs.positions.end(), placed.positions.begin(), placed.positions.end());
        inputs.remarks << placed.sentences();
    }
    return {};
}

} // namespace

Done readVehiclePositions(const Database &db, int dive, TrackInputs &inputs, TrackOptions &options)
{
    const SensorLogReader logs(db.connection());
    const auto files = logs.files(dive);
    if (!files)
        return files.error();
    for (const LogFile &file : *files) {
        if (!file.inUse || file.kind != LogKind::Position)
            continue;
        if (auto done = takePositions(logs, file, inputs, options); !done)
            return done;
    }
    return takeAcoustics(db, dive, logs, *files, inputs);
}

} // namespace holdfast
