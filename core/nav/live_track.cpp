// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/live_track.h"

#include "nav/switching_smoother.h"
#include "nav/track_detail.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdfast
{
namespace
{

using namespace nav_detail;

constexpr std::size_t witnesses =
    4;                            ///< rejected positions in a row that agree on a place make it the new one
constexpr double unlikely = 12.0; ///< Agreement::surprise beyond which an always-right source moves the track

} // namespace

struct LiveTrack::State {
    TrackOptions options;
    SwitchingParameters parameters;
    LocalPlane plane;
    UtcTime start{};
    Mixture mixture;
    double t = 0;         ///< of the mixture
    double lastTaken = 0; ///< time of the last record that was not late
    bool begun = false;
    Fix lastFix;            ///< accepted
    double correctedAt = 0; ///< dead reckoning: when it was last right
    double spacing = 0;
    std::size_t used = 0, rejected = 0;
    std::vector<Fix> doubtful; ///< rejected in a row
    TrackReport counts;

    [[nodiscard]] Measurement measurement(const Fix &fix) const
    {
        const double scale = parameters.sigmaScale;
        Node node;
        node.x = fix.x;
        node.y = fix.y;
        node.sigmaM = fix.sigmaM;
        node.count = 1.0;
        node.acoustic = fix.source == PositionSource::Acoustic;
        return measurementOf(node, scale * std::sqrt(parameters.slowShare),
                             scale * scale * (1.0 - parameters.slowShare));
    }

    /// Dead reckoning is not averaged: its error is the same from row to row, and grows.
    [[nodiscard]] Estimate estimateAt(double when) const
    {
        if (lastFix.source == PositionSource::DeadReckoning) {
            const double moved = options.transitSpeedMs * (when - lastFix.t);
            const double variance = lastFix.sigmaM * lastFix.sigmaM + moved * moved;
            return {lastFix.x, lastFix.y, variance, 0.0, variance};
        }
        Mixture ahead = mixture;
        advance(ahead, parameters.motion, when - t, Direction::Forward, Aid::None);
        Estimate e = momentsOf(ahead);
        if (lastFix.source ==
            PositionSource::Satellite) { // its error goes over minutes: no mean takes it away
            e.xx = std::max(e.xx, lastFix.sigmaM * lastFix.sigmaM);
            e.yy = std::max(e.yy, lastFix.sigmaM * lastFix.sigmaM);
        }
        return e;
    }

    void restartAt(const Fix &fix)
    {
        mixture = vague(parameters.motion, Aid::None, fix.x, fix.y);
        t = fix.t;
        begun = true;
    }

    void accept(const Fix &fix)
    {
        advance(mixture, parameters.motion, fix.t - t, Direction::Forward, Aid::None);
        t = fix.t;
        update(mixture, measurement(fix));
        if (used > 0 && fix.t > lastFix.t)
            spacing = spacing > 0.0 ? spacing + 0.1 * (fix.t - lastFix.t - spacing) : fix.t - lastFix.t;
        lastFix = fix;
        ++used;
    }

    /// The same place to within the scatter, as far as the time between allows.
    [[nodiscard]] bool doubtfulAgree() const
    {
        if (doubtful.size() < witnesses)
            return false;
        const Fix &last = doubtful.back();
        return std::ranges::all_of(doubtful, [&last](const Fix &f) {
            return std::hypot(f.x - last.x, f.y - last.y) <
                   4.0 * (f.sigmaM + last.sigmaM) + 1.0 * (last.t - f.t);
        });
    }

    /// What the record is worth; the sentence says why it was not taken.
    QString judge(Fix fix)
    {
        if (!begun) {
            restartAt(fix);
            correctedAt = fix.t;
            accept(fix);
            return {};
        }
        Mixture ahead = mixture;
        advance(ahead, parameters.motion, fix.t - t, Direction::Forward, Aid::None);
        if (fix.source == PositionSource::DeadReckoning) {
            const double drifted = options.deadReckoningDriftMs * (fix.t - correctedAt);
            fix.sigmaM = std::hypot(fix.sigmaM, drifted);
        }
        const Agreement agreement = update(ahead, measurement(fix));
        if (fix.source != PositionSource::Acoustic) {
            const bool stepped = agreement.surprise > unlikely;
            if (stepped || fix.source == PositionSource::Satellite)
                correctedAt = fix.t;
            if (stepped)
                restartAt(fix);
            doubtful.clear();
            accept(fix);
            return {};
        }
        const double odds = std::log((1.0 - options.outlierShare) / options.outlierShare);
        const double off = std::max(1.0, std::hypot(fix.x - mixture[0].x[0], fix.y - mixture[0].y[0]));
        if (agreement.logDensity + odds > -std::log(2.0 * std::numbers::pi * off * std::max(400.0, off))) {
            doubtful.clear();
            accept(fix);
            return {};
        }
        return doubt(fix);
    }

    QString doubt(const Fix &fix)
    {
        doubtful.push_back(fix);
        if (doubtful.size() > witnesses)
            doubtful.erase(doubtful.begin());
        if (doubtfulAgree()) {
            restartAt(doubtful.front());
            for (const Fix &f : doubtful)
                accept(f);
            doubtful.clear();
            return {};
        }
        ++rejected;
        return QStringLiteral("The last position is too far from the track and was not used.");
    }
};

LiveTrack::LiveTrack(std::unique_ptr<State> state) : m_state(std::move(state)) {}
LiveTrack::LiveTrack(LiveTrack &&) noexcept = default;
LiveTrack &LiveTrack::operator=(LiveTrack &&) noexcept = default;
LiveTrack::~LiveTrack() = default;

Result<LiveTrack> LiveTrack::start(const TrackOptions &options)
{
    if (const auto checked = checkOptions(options); !checked)
        return checked.error();
    auto state = std::make_unique<State>();
    state->options = options;
    state->parameters = statedParameters(options);
    return LiveTrack(std::move(state));
}

NavFix LiveTrack::add(const PositionRecord &record)
{
    State &s = *m_state;
    QString why;
    UtcTime now = record.time;
    if (const auto reason = fault(record, s.counts)) {
        why = QStringLiteral("The last position was refused: %1.").arg(textOf(*reason));
    } else {
        if (!s.begun) {
            s.start = record.time;
            s.plane = LocalPlane({record.latitudeDeg, record.longitudeDeg});
        }
        Fix fix;
        fix.t = secondsBetween(s.start, record.time);
        s.plane.forward({record.latitudeDeg, record.longitudeDeg}, fix.x, fix.y);
        fix.sigmaM = statedSigma(record, s.options);
        fix.depthM = record.depthM.value_or(missingValue);
        fix.source = record.source;
        const bool again = s.used > 0 && fix.x == s.lastFix.x && fix.y == s.lastFix.y;
        if (s.begun && fix.t < s.lastTaken) {
            why = QStringLiteral("The last position is %1 s older than one already taken and was not used.")
                      .arg(seconds(s.lastTaken - fix.t));
            now = s.start + Microseconds(std::llround(s.lastTaken * 1e6));
        } else if (again && s.options.method == FixMethod::Smooth) {
            why = QStringLiteral(
                "The last position repeats the one before to the last digit and was not used.");
            s.lastTaken = fix.t;
        } else {
            s.lastTaken = fix.t;
            why = s.judge(fix);
        }
    }
    if (s.begun)
        now = std::max(now, s.start + Microseconds(std::llround(s.t * 1e6)));
    NavFix fix = at(now);
    if (!why.isEmpty()) {
        if (fix.flag == FixFlag::Good)
            fix.flag = FixFlag::Suspect;
        fix.reason = why;
    }
    return fix;
}

NavFix LiveTrack::at(UtcTime now) const
{
    const State &s = *m_state;
    NavFix fix;
    fix.time = now;
    fix.method = FixMethod::Smooth;
    fix.usedCount = s.used;
    fix.rejectedCount = s.rejected;
    fix.flag = FixFlag::NoFix;
    if (!s.begun) {
        fix.reason = QStringLiteral("No usable position has come yet.");
        return fix;
    }
    const double t = secondsBetween(s.start, now), age = t - s.lastFix.t;
    const double limit = s.options.extrapolationLimitS.value_or(std::clamp(2.0 * s.spacing, 30.0, 300.0));
    fix.nearestFixS = std::abs(age);
    if (std::isfinite(s.lastFix.depthM)) {
        fix.depthM = s.lastFix.depthM;
        fix.depthSource = DepthSource::PositionLog;
    }
    if (age > limit || t < s.t) {
        fix.reason = age > limit
                         ? QStringLiteral("The last accepted position is %1 s old; the limit is %2 s.")
                               .arg(seconds(age), seconds(limit))
                         : QStringLiteral("The live track only knows the present.");
        return fix;
    }
    const Estimate e = s.estimateAt(t);
    if (const Done told = setPlace(fix, e, s.plane); !told) {
        fix.reason = told.error().sentence;
        return fix;
    }
    fix.nearestFixM = std::hypot(e.x - s.lastFix.x, e.y - s.lastFix.y);
    fix.flag = age > std::max(3.0 * s.spacing, 10.0) ? FixFlag::Suspect : FixFlag::Good;
    if (fix.flag == FixFlag::Suspect)
        fix.reason = QStringLiteral("The last accepted position is %1 s old.").arg(seconds(age));
    return fix;
}

} // namespace holdfast
