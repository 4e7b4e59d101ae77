// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/vehicle_positions.h"

#include "dive/dive_values.h"
#include "dive/scan_log.h"
#include "feed/feed_profile.h"
#include "nav/ship_acoustics.h"
#include "store/sensor_log.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

Done takePositions(const SensorLogReader &logs, const LogFile &file, TrackInputs &inputs,
                   const TrackOptions &options)
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
    const bool fixedDeviation = !byRange && profile->source != PositionSource::DeadReckoning;
    for (PositionRecord record : positionsOf(*rows)) {
        if (!record.sigmaM && fixedDeviation)
            record.sigmaM = profile->sigmaM;
        else if (!record.sigmaM && byRange && record.depthM && std::isfinite(*record.depthM))
            record.sigmaM = std::max(options.acousticFloorM,
                                     *profile->sigmaPercentOfSlantRange / 100 * std::abs(*record.depthM));
        else if (!record.sigmaM && byRange)
            record.sigmaM = profile->sigmaM.value_or(options.acousticWithoutDepthM);
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

double metresApart(const GeoPoint &a, const GeoPoint &b)
{
    const auto line = geodesicBetween(a, b);
    return line ? line->lengthM : missingValue;
}

/// A log with latitude and longitude exchanged, both within 90 degrees, is as good a track as any: only the
/// dive's other logs can tell. What to ask about it, by the middle rows of the logs.
Result<QStringList> askAboutExchanged(const SensorLogReader &logs, const std::vector<LogFile> &files)
{
    constexpr double elsewhereM = 100e3, besideM = 20e3; // common sense: farther than a ship goes in a dive
    struct Place {
        QString file;
        LogKind kind;
        GeoPoint at;
    };
    std::vector<Place> places;
    const auto hasPlaces = [](const LogFile &f) {
        return f.inUse && (f.kind == LogKind::Position || f.kind == LogKind::Ship);
    };
    if (std::ranges::count_if(files, hasPlaces) < 2)
        return QStringList{};
    for (const LogFile &file : files) {
        if (!hasPlaces(file))
            continue;
        const auto rows = logs.rows(file);
        if (!rows)
            return rows.error();
        const std::vector<PositionRecord> records = positionsOf(*rows);
        if (records.empty())
            continue;
        const PositionRecord &middle = records[records.size() / 2];
        places.push_back({file.fileName, file.kind, {middle.latitudeDeg, middle.longitudeDeg}});
    }
    QStringList questions;
    for (const Place &place : places)
        for (const Place &other : places) {
            const GeoPoint exchanged{place.at.longitudeDeg, place.at.latitudeDeg};
            if (place.kind != LogKind::Position || std::abs(exchanged.latitudeDeg) > 90.0 ||
                !(metresApart(place.at, other.at) > elsewhereM) ||
                !(metresApart(exchanged, other.at) < besideM))
                continue;
            questions << QStringLiteral("%1 lies %2 km from %3, but beside it with latitude and longitude "
                                        "exchanged: are the columns of one of them swapped?")
                             .arg(place.file)
                             .arg(metresApart(place.at, other.at) / 1000.0, 0, 'f', 0)
                             .arg(other.file);
        }
    return questions;
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

Done readVehiclePositions(const Database &db, int dive, TrackInputs &inputs, const TrackOptions &options)
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
    const auto questions = askAboutExchanged(logs, *files);
    if (!questions)
        return questions.error();
    inputs.remarks << *questions;
    return takeAcoustics(db, dive, logs, *files, inputs);
}

} // namespace holdfast
