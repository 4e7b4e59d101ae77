// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"
#include "base/utc_time.h"
#include "feed/records.h"
#include "nav/geodesic.h"

#include <QString>
#include <QStringList>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

namespace holdfast
{

/// How a fix is made from the position log.
enum class FixMethod {
    Linear, ///< along the geodesic between the accepted positions about the instant: the plain reference
    Smooth, ///< posterior mean of the whole dive's track (core/nav/README.md says how)
};
[[nodiscard]] QString textOf(FixMethod method); ///< "linear", "smooth"
[[nodiscard]] std::optional<FixMethod> fixMethodFrom(const QString &text);

/// Quality of a fix; the numbers are those of the QARTOD flag scheme (U.S. IOOS QARTOD manuals).
enum class FixFlag : int {
    Good = 1,
    NotEvaluated = 2,
    Suspect = 3, ///< usable with care; NavFix::reason says why
    Fail = 4,    ///< a number can be given but should not be used
    NoFix = 9,   ///< no position: none is invented
};

enum class DepthSource {
    None,        ///< no depth known near the instant
    PositionLog, ///< robust local line through the depths of the position log
    DepthSeries, ///< interpolated in the separate depth series (a pressure sensor)
};
[[nodiscard]] QString textOf(DepthSource source); ///< "", "position log", "depth series"

/// Holds the true position 95 times in 100, as the radius does, and follows its shape.
struct ErrorEllipse {
    double semiMajorM = 0;
    double semiMinorM = 0;
    double azimuthDeg = 0; ///< of the major axis, clockwise from north, 0 .. 180
};

/// The vehicle's position at one instant, with everything needed to judge it.
struct NavFix {
    UtcTime time{};
    std::optional<double> latitudeDeg;    ///< WGS 84, north positive; no value when flag is NoFix
    std::optional<double> longitudeDeg;   ///< -180 .. 180
    std::optional<double> uncertainty95M; ///< radius about the position that holds the truth 95 times in 100
    std::optional<ErrorEllipse> ellipse95;
    std::optional<double> depthM; ///< positive down
    DepthSource depthSource = DepthSource::None;
    std::optional<double> gapS; ///< between the accepted positions before and after; none outside the log
    std::optional<double> nearestFixS; ///< to the accepted position nearest in time
    std::optional<double> nearestFixM; ///< distance from this fix to that position as logged
    std::size_t usedCount = 0;     ///< linear: the 1 or 2 positions used; smooth: accepted near the instant
    std::size_t rejectedCount = 0; ///< positions rejected near the instant (TrackReport::nearS either side)
    FixMethod method = FixMethod::Smooth;
    FixFlag flag = FixFlag::NotEvaluated;
    QString reason; ///< one sentence; empty when flag is Good
};

/// A measured depth of the vehicle, positive down.
struct DepthRecord {
    UtcTime time{};
    double depthM = 0;
};

/// What the track is made of. Any order; only positions are needed.
struct TrackInputs {
    std::vector<PositionRecord> positions;
    std::vector<VelocityRecord> velocities; ///< bottom lock only; tightens the smooth track
    std::vector<DepthRecord> depths;        ///< preferred over the depths in the position log
    QStringList
        remarks{}; ///< what a person should know of how they were made; first in TrackReport::sentences
};

/// Stated defaults; what the dive itself can tell replaces them when `estimate` is set and the data suffice
/// (TrackReport shows the values used).
struct TrackOptions {
    FixMethod method = FixMethod::Smooth;
    bool estimate = true;

    /// Standard deviation on each axis of a position without its own sigmaM: acoustic as a share of the slant
    /// range (taken as the depth, the ship being about overhead), at least the floor. 0.2 to 1 % is common
    /// practice.
    double acousticRangeShare = 0.005;
    double acousticFloorM = 0.5;
    double acousticWithoutDepthM = 5.0; ///< where the log has no depth at all
    double satelliteM = 3.0;
    double deadReckoningM = 3.0;        ///< at a correction
    double deadReckoningDriftMs = 0.15; ///< standard deviation on each axis of its unknown drift since then

    /// Share of the acoustic variance that neighbouring fixes have in common, 0 .. 0.95, and over how long
    /// (first-order Gauss-Markov). Defaults are from experience with ray bending and ship attitude errors.
    double slowShare = 0.5;
    double slowTimeS = 60.0;

    double transitSpeedMs = 0.17; ///< typical speed on one axis while under way, 0.01 .. 3
    double outlierShare = 0.03;   ///< expected share of gross outliers, 0.001 .. 0.3

    /// No position is given inside a gap longer than gapLimitS (except as close to its ends as the second
    /// limit allows) nor further than extrapolationLimitS outside the log. Not set: relative to the feed's
    /// own median spacing: gap 20 spacings but 600 s .. 1800 s, extrapolation 2 spacings but 30 s .. 300 s. A
    /// fix is Suspect in a gap longer than suspectGapS; not set: 5 spacings but at least 60 s.
    std::optional<double> gapLimitS;
    std::optional<double> extrapolationLimitS;
    std::optional<double> suspectGapS;
};

/// Why a position was not used.
enum class RejectReason {
    NotANumber,
    OutOfRange, ///< latitude beyond ±90, longitude beyond ±360, or 0, 0: no receiver's place
    Duplicate,  ///< the same time and place again
    SetAside,   ///< dead reckoning beside acoustic positions: the acoustic ones are used
    Outlier,    ///< too far from what its neighbours say
};
[[nodiscard]] QString textOf(RejectReason reason);

struct RejectedPosition {
    std::uint32_t line = 0;
    UtcTime time{};
    RejectReason reason = RejectReason::Outlier;
};

/// What happened to the inputs and which values were chosen.
struct TrackReport {
    std::size_t records = 0;
    std::size_t used = 0;
    std::size_t notANumber = 0;
    std::size_t outOfRange = 0;
    std::size_t looksSwapped = 0; ///< of those out of range: valid when latitude and longitude change places
    std::size_t duplicates = 0;
    std::size_t stale =
        0; ///< the place before to the last digit at a later time; a run counts as one measurement
    std::size_t setAside = 0;
    std::size_t outliers = 0;
    std::size_t sameTime = 0;    ///< another place at a time already seen; judged like any other, not dropped
    std::size_t outOfOrder = 0;  ///< earlier than the row before it; sorted, not dropped
    std::size_t leaps = 0;       ///< moves accepted as real although no vehicle could make them
    std::size_t corrections = 0; ///< steps of a dead-reckoning log back to the truth
    std::size_t velocities = 0;
    std::size_t velocitiesUsed = 0;

    double medianSpacingS = 0;
    double longestGapS = 0;
    double gapLimitS = 0;
    double extrapolationLimitS = 0;
    double suspectGapS = 0;
    double nearS = 0; ///< reach of NavFix::usedCount and rejectedCount, either side

    bool estimated = false;  ///< the values below come from this log, not from the defaults
    double sigmaScale = 1;   ///< on every acoustic standard deviation
    double sigmaMedianM = 0; ///< the scaled one of the middle accepted position
    double slowShare = 0;    ///< as TrackOptions
    double slowTimeS = 0;
    double transitSpeedMs = 0;
    double driftMs = 0;                  ///< dead reckoning: as TrackOptions::deadReckoningDriftMs
    std::optional<double> velocityScale; ///< of the velocity log, and its misalignment and biases
    std::optional<double> velocityMisalignmentDeg;
    std::optional<double> velocityForwardBiasMs;
    std::optional<double> velocityStarboardBiasMs;

    std::vector<RejectedPosition> rejected; ///< in time order
    QStringList sentences;                  ///< what a person should know, the most important first
};

/// The vehicle's track over one dive: built once from all logs, then asked for any instant. Immutable and
/// cheap to copy; any thread. With no usable position it is still a track: one that answers NoFix and says
/// why.
class Track
{
public:
    /// Errors (Usage) only for options outside their stated ranges. Bad rows are counted in report().
    [[nodiscard]] static Result<Track> build(TrackInputs inputs, const TrackOptions &options = {});
    [[nodiscard]] static Result<Track> build(std::vector<PositionRecord> positions,
                                             const TrackOptions &options = {});

    [[nodiscard]] NavFix at(UtcTime time) const;
    [[nodiscard]] std::vector<NavFix> at(std::span<const UtcTime> times) const;
    [[nodiscard]] const TrackReport &report() const;

    /// The accepted positions in time order, as logged (for a chart).
    [[nodiscard]] std::vector<PositionRecord> accepted() const;

    struct Data;

private:
    explicit Track(std::shared_ptr<const Data> data);
    std::shared_ptr<const Data> m_data;
};

} // namespace holdfast
