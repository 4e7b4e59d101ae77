// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/track.h"

#include "nav/track_detail.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace holdfast
{
namespace
{

using nav_detail::Estimate;
using nav_detail::Fix;
using nav_detail::seconds;

/// The depths of the accepted fixes about an instant: at most 32, evenly picked.
struct NearDepths {
    std::array<double, 32> t{}, z{};
    std::size_t count = 0;

    NearDepths(const Track::Data &data, double instant)
    {
        const double reach = std::max(20.0, 1.5 * data.report.medianSpacingS);
        const auto &times = data.acceptedTimes;
        const auto from =
            static_cast<std::size_t>(std::ranges::lower_bound(times, instant - reach) - times.begin());
        const auto to =
            static_cast<std::size_t>(std::ranges::upper_bound(times, instant + reach) - times.begin());
        const std::size_t step = (to - from + t.size() - 1) / t.size();
        for (std::size_t k = from; k < to; k += step) {
            const Fix &fix = data.fixes[data.accepted[k]];
            if (!std::isfinite(fix.depthM))
                continue;
            t[count] = fix.t - instant;
            z[count++] = fix.depthM;
        }
    }

    /// The least-squares line, those further than `limit` from the last one left out; read at the instant.
    void fitLine(double &depth, double &slope, double limit) const
    {
        double n = 0, st = 0, stt = 0, sz = 0, stz = 0;
        for (std::size_t k = 0; k < count; ++k) {
            if (std::abs(z[k] - depth - slope * t[k]) > limit)
                continue;
            n += 1.0;
            st += t[k];
            stt += t[k] * t[k];
            sz += z[k];
            stz += t[k] * z[k];
        }
        const double determinant = n * stt - st * st;
        slope = determinant > 1e-6 * stt ? (n * stz - st * sz) / determinant : 0.0;
        depth = n > 0 ? (sz - slope * st) / n : depth;
    }

    [[nodiscard]] double medianResidual(double depth, double slope) const
    {
        std::array<double, 32> residuals{};
        for (std::size_t k = 0; k < count; ++k)
            residuals[k] = std::abs(z[k] - depth - slope * t[k]);
        const auto half = residuals.begin() + static_cast<std::ptrdiff_t>(count / 2);
        std::nth_element(residuals.begin(), half, residuals.begin() + static_cast<std::ptrdiff_t>(count));
        return *half;
    }
};

/// A robust line through the depths of the accepted fixes about t, read at t.
std::optional<double> depthFromFixes(const Track::Data &data, double t)
{
    const NearDepths near(data, t);
    if (near.count == 0)
        return std::nullopt;
    double depth = 0, slope = 0;
    near.fitLine(depth, slope, std::numeric_limits<double>::infinity());
    near.fitLine(depth, slope, std::max(0.1, 4.0 * near.medianResidual(depth, slope)));
    return depth;
}

/// Linear in the separate depth series; nothing across more than 60 s of it.
std::optional<double> depthFromSeries(const Track::Data &data, double t)
{
    const auto &times = data.depthTimes;
    const auto next = static_cast<std::size_t>(std::ranges::lower_bound(times, t) - times.begin());
    if (next == times.size() || (next == 0 && times[next] != t))
        return std::nullopt;
    if (times[next] == t)
        return data.depths[next];
    const double gap = times[next] - times[next - 1];
    if (gap > 60.0)
        return std::nullopt;
    const double f = (t - times[next - 1]) / gap;
    return data.depths[next - 1] + f * (data.depths[next] - data.depths[next - 1]);
}

void setDepth(NavFix &fix, const Track::Data &data, double t)
{
    fix.depthM = depthFromSeries(data, t);
    fix.depthSource = fix.depthM ? DepthSource::DepthSeries : DepthSource::None;
    if (fix.depthM)
        return;
    fix.depthM = depthFromFixes(data, t);
    if (fix.depthM)
        fix.depthSource = DepthSource::PositionLog;
}

std::size_t countWithin(const std::vector<double> &times, double from, double to)
{
    return static_cast<std::size_t>(std::ranges::upper_bound(times, to) -
                                    std::ranges::lower_bound(times, from));
}

/// Gap, nearest fix and counts about t. Gives a sentence when no position may be given there.
QString describeNeighbourhood(NavFix &fix, const Track::Data &data, double t)
{
    const auto &times = data.acceptedTimes;
    const TrackReport &report = data.report;
    const auto next = static_cast<std::size_t>(std::ranges::lower_bound(times, t) - times.begin());
    const double before = next == 0 ? -1.0 : t - times[next - 1];
    const double after = next == times.size() ? -1.0 : times[next] - t;
    fix.nearestFixS = before < 0.0 ? after : after < 0.0 ? before : std::min(before, after);
    if (after == 0.0)
        fix.gapS = 0.0;
    else if (before >= 0.0 && after >= 0.0)
        fix.gapS = before + after;
    fix.usedCount = data.options.method == FixMethod::Linear
                        ? (fix.gapS && *fix.gapS > 0.0 ? 2 : 1)
                        : countWithin(times, t - report.nearS, t + report.nearS);
    fix.rejectedCount = countWithin(data.rejectedTimes, t - report.nearS, t + report.nearS);

    const bool nearEnough = *fix.nearestFixS <= report.extrapolationLimitS;
    if (fix.gapS && *fix.gapS > report.gapLimitS && !nearEnough)
        return QStringLiteral("No accepted position for %1 s around this time; the limit is %2 s.")
            .arg(seconds(*fix.gapS), seconds(report.gapLimitS));
    if (!fix.gapS && !nearEnough)
        return QStringLiteral("The time is %1 s %2 accepted position (%3); the limit is %4 s.")
            .arg(seconds(*fix.nearestFixS),
                 before < 0.0 ? QStringLiteral("before the first") : QStringLiteral("after the last"),
                 toIso(data.records[before < 0.0 ? data.accepted.front() : data.accepted.back()].time),
                 seconds(report.extrapolationLimitS));
    return {};
}

/// The distance to the accepted position nearest in time, as logged.
double distanceToNearest(const Track::Data &data, const Estimate &e, double t)
{
    const auto &times = data.acceptedTimes;
    auto next = static_cast<std::size_t>(std::ranges::lower_bound(times, t) - times.begin());
    if (next == times.size() || (next > 0 && t - times[next - 1] < times[next] - t))
        --next;
    const Fix &fix = data.fixes[data.accepted[next]];
    return std::hypot(e.x - fix.x, e.y - fix.y);
}

/// The larger contradiction of the accepted fixes before and after.
double contradictionAt(const Track::Data &data, double t)
{
    const auto &times = data.acceptedTimes;
    const auto next = static_cast<std::size_t>(std::ranges::lower_bound(times, t) - times.begin());
    double metres = 0;
    for (std::size_t k = next > 0 ? next - 1 : 0; k < std::min(times.size(), next + 1); ++k)
        metres = std::max(metres, data.fixes[data.accepted[k]].contradictionM);
    return metres;
}

/// Whether the accepted fix before or after repeats an old place.
bool isHeldAt(const Track::Data &data, double t)
{
    const auto &times = data.acceptedTimes;
    const auto next = static_cast<std::size_t>(std::ranges::lower_bound(times, t) - times.begin());
    for (std::size_t k = next > 0 ? next - 1 : 0; k < std::min(times.size(), next + 1); ++k)
        if (data.fixes[data.accepted[k]].held)
            return true;
    return false;
}

/// Widens the error so that it holds what contradicts it too.
void widen(Estimate &e, double metres)
{
    const double variance = std::pow(metres / nav_detail::radius95, 2);
    e.xx += variance;
    e.yy += variance;
    if (e.radius95M > 0.0)
        e.radius95M = std::hypot(e.radius95M, metres);
}

/// An uncertainty beyond these is told; the numbers are common sense, no standard.
constexpr double suspectRadiusM = 200;
constexpr double failedRadiusM = 5000;

/// Good, Suspect or Fail, and why.
void judge(NavFix &fix, const Track::Data &data, bool held, double contradictedM)
{
    const TrackReport &report = data.report;
    fix.flag = FixFlag::Good;
    const auto suspect = [&fix](const QString &why) {
        fix.flag = FixFlag::Suspect;
        fix.reason = why;
    };
    if (data.accepted.size() == 1)
        suspect(QStringLiteral("The log has a single usable position; it is %1 s away.")
                    .arg(seconds(*fix.nearestFixS)));
    else if (report.used * 2 < report.records - report.duplicates - report.setAside)
        suspect(
            QStringLiteral("Only %1 of the log's %2 positions could be used; check its profile and columns.")
                .arg(report.used)
                .arg(report.records));
    else if (!fix.gapS)
        suspect(QStringLiteral("Outside the position log by %1 s.").arg(seconds(*fix.nearestFixS)));
    else if (*fix.gapS > report.suspectGapS)
        suspect(QStringLiteral("Within a gap of %1 s without accepted positions.").arg(seconds(*fix.gapS)));
    else if (report.leaps > 3 && report.leaps * 10 > report.used)
        suspect(
            QStringLiteral("%1 of %2 positions are further from the one before than a vehicle can go: the "
                           "log contradicts itself.")
                .arg(report.leaps)
                .arg(report.used));
    if (held)
        suspect(QStringLiteral(
            "The satellite positions about this time repeat an old place: the vehicle was on its "
            "way to the next."));
    if (contradictedM > 0.0)
        suspect(QStringLiteral(
                    "The positions about this time contradict each other by %1 m, as where a clock was "
                    "set back.")
                    .arg(contradictedM, 0, 'f', 0));
    if (fix.uncertainty95M && *fix.uncertainty95M > suspectRadiusM) {
        suspect(QStringLiteral("The place is known to %1 m only: dead reckoning, a leap or a gap lies here.")
                    .arg(*fix.uncertainty95M, 0, 'f', 0));
        if (*fix.uncertainty95M > failedRadiusM)
            fix.flag = FixFlag::Fail;
    }
}

QString nothingUsable(const TrackReport &report)
{
    if (report.records == 0)
        return QStringLiteral("There are no positions for this dive.");
    return QStringLiteral("None of the log's %1 positions can be used.").arg(report.records);
}

std::unique_ptr<const nav_detail::Estimator> makeEstimator(Track::Data &data)
{
    if (data.options.method == FixMethod::Linear)
        return nav_detail::makeLinear(data);
    const auto isReckoned = [](const Fix &f) { return f.source == PositionSource::DeadReckoning; };
    if (std::ranges::any_of(data.fixes, isReckoned))
        return nav_detail::makeDeadReckoned(data);
    return nav_detail::makeSwitching(data);
}

} // namespace

QString textOf(FixMethod method)
{
    return method == FixMethod::Linear ? QStringLiteral("linear") : QStringLiteral("smooth");
}

std::optional<FixMethod> fixMethodFrom(const QString &text)
{
    if (text == textOf(FixMethod::Linear))
        return FixMethod::Linear;
    if (text == textOf(FixMethod::Smooth))
        return FixMethod::Smooth;
    return std::nullopt;
}

QString textOf(DepthSource source)
{
    switch (source) {
    case DepthSource::None:
        return {};
    case DepthSource::PositionLog:
        return QStringLiteral("position log");
    case DepthSource::DepthSeries:
        return QStringLiteral("depth series");
    }
    return {};
}

QString textOf(RejectReason reason)
{
    switch (reason) {
    case RejectReason::NotANumber:
        return QStringLiteral("not a number");
    case RejectReason::OutOfRange:
        return QStringLiteral("no place on earth");
    case RejectReason::Duplicate:
        return QStringLiteral("the same time and place again");
    case RejectReason::SetAside:
        return QStringLiteral("dead reckoning beside acoustic positions");
    case RejectReason::Outlier:
        return QStringLiteral("too far from its neighbours");
    }
    return {};
}

Track::Track(std::shared_ptr<const Data> data) : m_data(std::move(data)) {}

Result<Track> Track::build(TrackInputs inputs, const TrackOptions &options)
{
    if (const auto checked = nav_detail::checkOptions(options); !checked)
        return checked.error();
    auto data = std::make_shared<Data>();
    data->options = options;
    nav_detail::prepare(inputs, *data);
    nav_detail::gateByNeighbours(*data);
    nav_detail::settle(*data);
    if (!data->accepted.empty())
        data->estimator = makeEstimator(*data);
    nav_detail::writeReport(*data);
    return Track(std::move(data));
}

Result<Track> Track::build(std::vector<PositionRecord> positions, const TrackOptions &options)
{
    return build(TrackInputs{std::move(positions), {}, {}}, options);
}

NavFix Track::at(UtcTime time) const
{
    NavFix fix;
    fix.time = time;
    fix.method = m_data->options.method;
    const double t = secondsBetween(m_data->start, time);
    QString why =
        m_data->accepted.empty() ? nothingUsable(m_data->report) : describeNeighbourhood(fix, *m_data, t);
    setDepth(fix, *m_data, t);
    if (!why.isEmpty()) {
        fix.flag = FixFlag::NoFix;
        fix.reason = std::move(why);
        return fix;
    }
    Estimate e = m_data->estimator->at(t);
    const double contradicted = contradictionAt(*m_data, t);
    widen(e, contradicted);
    if (const Done told = nav_detail::setPlace(fix, e, m_data->plane); !told) {
        fix.flag = FixFlag::NoFix;
        fix.reason = told.error().sentence;
        return fix;
    }
    fix.nearestFixM = distanceToNearest(*m_data, e, t);
    judge(fix, *m_data, isHeldAt(*m_data, t), contradicted);
    return fix;
}

std::vector<NavFix> Track::at(std::span<const UtcTime> times) const
{
    std::vector<NavFix> fixes;
    fixes.reserve(times.size());
    for (const UtcTime time : times)
        fixes.push_back(at(time));
    return fixes;
}

const TrackReport &Track::report() const
{
    return m_data->report;
}

std::vector<PositionRecord> Track::accepted() const
{
    std::vector<PositionRecord> records;
    records.reserve(m_data->accepted.size());
    for (const std::uint32_t index : m_data->accepted)
        records.push_back(m_data->records[index]);
    return records;
}

} // namespace holdfast
