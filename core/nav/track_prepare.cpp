// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/track_detail.h"

#include <GeographicLib/Geocentric.hpp>
#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace holdfast::nav_detail
{
namespace
{

constexpr double earthRadiusM = 6'371'000.0;

double middle(std::vector<double> &values)
{
    const auto half = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), half, values.end());
    return *half;
}

/// A place amid the records: the median in earth-centred coordinates, which knows no antimeridian and no
/// pole, and is not moved by outliers.
GeoPoint amid(const std::vector<PositionRecord> &records)
{
    const std::size_t step = std::max<std::size_t>(1, records.size() / 500);
    std::array<std::vector<double>, 3> axes;
    for (std::size_t i = 0; i < records.size(); i += step) {
        double x = 0, y = 0, z = 0;
        GeographicLib::Geocentric::WGS84().Forward(records[i].latitudeDeg, records[i].longitudeDeg, 0.0, x, y,
                                                   z);
        axes[0].push_back(x);
        axes[1].push_back(y);
        axes[2].push_back(z);
    }
    GeoPoint place;
    double height = 0;
    GeographicLib::Geocentric::WGS84().Reverse(middle(axes[0]), middle(axes[1]), middle(axes[2]),
                                               place.latitudeDeg, place.longitudeDeg, height);
    return place;
}

/// Valid records in time order, without repeats of both time and place.
std::vector<PositionRecord> validInOrder(std::vector<PositionRecord> &records, TrackReport &report)
{
    report.records = records.size();
    std::vector<PositionRecord> valid;
    valid.reserve(records.size());
    std::optional<UtcTime> before;
    for (PositionRecord &r : records) {
        if (before && r.time < *before)
            ++report.outOfOrder;
        before = r.time;
        if (const auto reason = fault(r, report))
            report.rejected.push_back({r.line, r.time, *reason});
        else
            valid.push_back(r);
    }
    if (report.outOfOrder > 0)
        std::ranges::stable_sort(valid, {}, &PositionRecord::time);

    std::size_t kept = 0;
    for (std::size_t i = 0; i < valid.size(); ++i) {
        bool repeated = false, timeSeen = false;
        for (std::size_t k = kept; k-- > 0 && valid[k].time == valid[i].time;) {
            timeSeen = true;
            repeated = repeated || (valid[k].latitudeDeg == valid[i].latitudeDeg &&
                                    valid[k].longitudeDeg == valid[i].longitudeDeg);
        }
        if (repeated) {
            ++report.duplicates;
            report.rejected.push_back({valid[i].line, valid[i].time, RejectReason::Duplicate});
            continue;
        }
        report.sameTime += timeSeen ? 1U : 0U;
        if (kept != i)
            valid[kept] = valid[i];
        ++kept;
    }
    valid.resize(kept);
    return valid;
}

/// Dead reckoning is no help where acoustic positions are: theirs is the truth that it drifts from.
void setDeadReckoningAside(std::vector<PositionRecord> &records, TrackReport &report)
{
    const auto isSource = [](PositionSource s) {
        return [s](const PositionRecord &r) { return r.source == s; };
    };
    if (std::ranges::none_of(records, isSource(PositionSource::Acoustic)))
        return;
    for (const PositionRecord &r : records)
        if (r.source == PositionSource::DeadReckoning) {
            ++report.setAside;
            report.rejected.push_back({r.line, r.time, RejectReason::SetAside});
        }
    std::erase_if(records, isSource(PositionSource::DeadReckoning));
}

/// The same place to the last digit at later times is one measurement held, not several: a run of n shares
/// its evidence, each row getting sqrt(n) times the standard deviation.
void shareEvidenceOfStaleRuns(std::vector<Fix> &fixes, TrackReport &report)
{
    for (std::size_t i = 0; i < fixes.size();) {
        std::size_t end = i + 1;
        while (end < fixes.size() && fixes[end].x == fixes[i].x && fixes[end].y == fixes[i].y)
            ++end;
        const std::size_t run = end - i;
        report.stale += run - 1;
        for (; i < end; ++i)
            fixes[i].sigmaM *= std::sqrt(static_cast<double>(run));
    }
}

void takeDepthSeries(std::vector<DepthRecord> &depths, Track::Data &data)
{
    std::erase_if(depths, [](const DepthRecord &d) { return !std::isfinite(d.depthM); });
    std::ranges::stable_sort(depths, {}, &DepthRecord::time);
    for (const DepthRecord &d : depths) {
        data.depthTimes.push_back(secondsBetween(data.start, d.time));
        data.depths.push_back(d.depthM);
    }
}

} // namespace

/// Why a record cannot be used at all, if so. 0, 0 is what receivers write before their first fix (common
/// practice).
std::optional<RejectReason> fault(const PositionRecord &r, TrackReport &report)
{
    if (!std::isfinite(r.latitudeDeg) || !std::isfinite(r.longitudeDeg)) {
        ++report.notANumber;
        return RejectReason::NotANumber;
    }
    const bool nowhere = r.latitudeDeg == 0.0 && r.longitudeDeg == 0.0;
    if (std::abs(r.latitudeDeg) > 90.0 || std::abs(r.longitudeDeg) > 360.0 || nowhere) {
        ++report.outOfRange;
        if (!nowhere && std::abs(r.longitudeDeg) <= 90.0 && std::abs(r.latitudeDeg) <= 360.0)
            ++report.looksSwapped;
        return RejectReason::OutOfRange;
    }
    return std::nullopt;
}

double statedSigma(const PositionRecord &r, const TrackOptions &o)
{
    constexpr double finestM = 0.001, coarsestM = 1e5; ///< beyond these no position system states anything
    if (r.sigmaM && std::isfinite(*r.sigmaM) && *r.sigmaM > 0.0)
        return std::clamp(*r.sigmaM, finestM, coarsestM);
    switch (r.source) {
    case PositionSource::Satellite:
        return o.satelliteM;
    case PositionSource::DeadReckoning:
        return o.deadReckoningM;
    case PositionSource::Acoustic:
        break;
    }
    if (!r.depthM || !std::isfinite(*r.depthM))
        return o.acousticWithoutDepthM;
    return std::max(o.acousticFloorM, o.acousticRangeShare * std::abs(*r.depthM));
}

void LocalPlane::forward(const GeoPoint &place, double &x, double &y) const
{
    double z = 0;
    m_plane.Forward(place.latitudeDeg, place.longitudeDeg, 0.0, x, y, z);
}

GeoPoint LocalPlane::reverse(double x, double y) const
{
    GeoPoint place;
    double height = 0, z = -(x * x + y * y) / (2.0 * earthRadiusM);
    for (int round = 0; round < 4; ++round) {
        m_plane.Reverse(x, y, z, place.latitudeDeg, place.longitudeDeg, height);
        if (std::abs(height) < 1e-3)
            break;
        z -= height;
    }
    return place;
}

void prepare(TrackInputs &inputs, Track::Data &data)
{
    data.report.sentences = std::move(inputs.remarks);
    data.records = validInOrder(inputs.positions, data.report);
    setDeadReckoningAside(data.records, data.report);
    data.velocities = std::move(inputs.velocities);
    data.report.velocities = data.velocities.size();
    if (data.records.empty())
        return;
    data.start = data.records.front().time;
    data.plane = LocalPlane(amid(data.records));
    data.fixes.reserve(data.records.size());
    for (const PositionRecord &r : data.records) {
        Fix fix;
        fix.t = secondsBetween(data.start, r.time);
        data.plane.forward({r.latitudeDeg, r.longitudeDeg}, fix.x, fix.y);
        fix.sigmaM = fix.statedM = statedSigma(r, data.options);
        fix.depthM = r.depthM.value_or(missingValue);
        fix.source = r.source;
        data.fixes.push_back(fix);
    }
    shareEvidenceOfStaleRuns(data.fixes, data.report);
    takeDepthSeries(inputs.depths, data);
}

} // namespace holdfast::nav_detail
