// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// What the parts of the track share; nothing outside core/nav includes it.

#include "nav/track.h"

#include <GeographicLib/LocalCartesian.hpp>
#include <memory>
#include <vector>

namespace holdfast::nav_detail
{

/// Radius of the circle that holds 95 % of a round normal distribution of unit standard deviation on each
/// axis: sqrt(-2 ln 0.05).
inline constexpr double radius95 = 2.447746830680816;

/// The plane in which the track is estimated: metres east (x) and north (y) of an origin amid the positions,
/// tangent to the ellipsoid there. Neither the antimeridian nor a pole is special in it.
class LocalPlane
{
public:
    LocalPlane() = default;
    explicit LocalPlane(const GeoPoint &origin) : m_plane(origin.latitudeDeg, origin.longitudeDeg, 0.0) {}

    /// Of a place on the ellipsoid.
    void forward(const GeoPoint &place, double &x, double &y) const;
    /// The place on the ellipsoid at x, y; exact to a millimetre within 300 km.
    [[nodiscard]] GeoPoint reverse(double x, double y) const;

private:
    GeographicLib::LocalCartesian m_plane;
};

/// One valid position in the plane. Times are seconds since Track::Data::start.
struct Fix {
    double t = 0;
    double x = 0;
    double y = 0;
    double sigmaM = 0;  ///< on each axis, as the log or the options state it, before any scaling
    double statedM = 0; ///< the same for a row by itself: sigmaM of a place that is repeated is more
    double depthM = missingValue;
    PositionSource source = PositionSource::Acoustic;
    bool accepted = true;
    bool held = false;         ///< an old satellite place given again
    double contradictionM = 0; ///< how far its neighbours say that the place is elsewhere; 0: they agree
    bool leapBefore = false;   ///< the vehicle was moved between the fix before and this one
};

/// A position in the plane with the covariance of its error, m².
struct Estimate {
    double x = 0;
    double y = 0;
    double xx = 0;
    double xy = 0;
    double yy = 0;
    double radius95M =
        0; ///< where the error is not normal: the radius that holds 95 %; 0: as the covariance has it
};

/// One way to give the position at an instant between the first and last accepted fix or a little outside.
class Estimator
{
public:
    Estimator() = default;
    Estimator(const Estimator &) = delete;
    Estimator &operator=(const Estimator &) = delete;
    virtual ~Estimator() = default;
    /// `t` in seconds since Track::Data::start.
    [[nodiscard]] virtual Estimate at(double t) const = 0;
};

} // namespace holdfast::nav_detail

namespace holdfast
{

struct Track::Data {
    TrackOptions options;
    TrackReport report;
    UtcTime start{};
    nav_detail::LocalPlane plane;
    std::vector<PositionRecord> records; ///< valid, time order, parallel to fixes
    std::vector<nav_detail::Fix> fixes;  ///< judged by the estimators
    std::vector<std::uint32_t> accepted; ///< indices of accepted fixes
    std::vector<double> acceptedTimes;   ///< parallel to accepted
    std::vector<double> rejectedTimes;   ///< of outliers, for the counts near an instant
    std::vector<double> depthTimes;      ///< the separate depth series, sorted
    std::vector<double> depths;          ///< parallel to depthTimes
    std::vector<VelocityRecord> velocities;
    std::unique_ptr<const nav_detail::Estimator> estimator; ///< none without an accepted fix
};

} // namespace holdfast

namespace holdfast::nav_detail
{

/// Each option within its stated range, or which is not.
Done checkOptions(const TrackOptions &options);

/// Fills the place, the radius and the ellipse of an estimate. Error (Malformed, for NavFix::reason) and
/// nothing filled where the positions are such nonsense that the numbers ran away: no place is invented.
[[nodiscard]] Done setPlace(NavFix &fix, const Estimate &estimate, const LocalPlane &plane);

/// For sentences: "7.3" or "58".
QString seconds(double s);

/// Why a record cannot be used at all, if so; counts it.
std::optional<RejectReason> fault(const PositionRecord &record, TrackReport &report);

/// The deviation on each axis that a record states or the options give its kind.
double statedSigma(const PositionRecord &record, const TrackOptions &options);

/// Checks, sorts and places the records; fills start, plane, records, fixes, depths and the report's counts.
void prepare(TrackInputs &inputs, Track::Data &data);

/// First judgement of each fix by the median of its neighbours; finds leaps. Sets accepted and leapBefore.
void gateByNeighbours(Track::Data &data);

/// The accepted list, spacing, gaps and limits, from the fixes as judged.
void settle(Track::Data &data);

/// The report's rejected list and sentences; last of all.
void writeReport(Track::Data &data);

/// The estimators. All need at least one accepted fix; the smooth ones may judge the fixes again and then
/// leave the report's chosen values behind.
std::unique_ptr<const Estimator> makeLinear(const Track::Data &data);
std::unique_ptr<const Estimator> makeSwitching(Track::Data &data);
std::unique_ptr<const Estimator> makeDeadReckoned(Track::Data &data);

} // namespace holdfast::nav_detail
