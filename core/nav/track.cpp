// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/track.h"

#include "nav/track_detail.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdfast
{
namespace
{

using nav_detail::Estimate;
using nav_detail::Fix;

/// The radius about the mean that holds 95 % of a normal distribution with these standard deviations along
/// and across. Between the line (minor 0: 1.960) and the circle (2.448) by a fit that is within 0.1 % of the
/// exact integral over all shapes (tests/nav/track_test.cpp integrates it).
double radiusOf95(double major, double minor)
{
    if (!(major > 0.0))
        return 0.0;
    const double r = minor / major;
    const double rr = r * r;
    return major * (1.959964 + rr * (0.2100 + rr * (0.4177 - rr * 0.1399)));
}

void setError(NavFix &fix, const Estimate &e)
{
    const double half = 0.5 * (e.xx + e.yy), diff = 0.5 * (e.xx - e.yy), spread = std::hypot(diff, e.xy);
    const double major = std::sqrt(std::max(0.0, half + spread)),
                 minor = std::sqrt(std::max(0.0, half - spread));
    double azimuth = 90.0 - 0.5 * std::atan2(e.xy, diff) * 180.0 / std::numbers::pi;
    if (spread <= 1e-12 * half)
        azimuth = 0.0;
    fix.uncertainty95M = radiusOf95(major, minor);
    fix.ellipse95 = ErrorEllipse{nav_detail::radius95 * major, nav_detail::radius95 * minor,
                                 std::fmod(azimuth + 180.0, 180.0)};
}

/// A robust line through the depths of the accepted fixes about t, read at t.
std::optional<double> depthFromFixes(const Track::Data &data, double t)
{
    const double reach = std::max(20.0, 1.5 * data.report.medianSpacingS);
    const auto &times = data.acceptedTimes;
    const auto from = static_cast<std::size_t>(std::ranges::lower_bound(times, t - reach) - times.begin());
    const auto to = static_cast<std::size_t>(std::ranges::upper_bound(times, t + reach) - times.begin());
    const std::size_t step = std::max<std::size_t>(1, (to - from) / 64);
    std::vector<std::pair<double, double>> points; // time from t, depth
    for (std::size_t k = from; k < to; k += step) {
        const Fix &fix = data.fixes[data.accepted[k]];
        if (std::isfinite(fix.depthM))
            points.emplace_back(fix.t - t, fix.depthM);
    }
    if (points.empty())
        return std::nullopt;
    double depth = 0, slope = 0, limit = std::numeric_limits<double>::infinity();
    for (int round = 0; round < 3; ++round) {
        double n = 0, st = 0, stt = 0, sz = 0, stz = 0;
        for (const auto &[s, z] : points) {
            if (std::abs(z - depth - slope * s) > limit)
                continue;
            n += 1;
            st += s;
            stt += s * s;
            sz += z;
            stz += s * z;
        }
        const double determinant = n * stt - st * st;
        slope = determinant > 1e-6 * stt ? (n * stz - st * sz) / determinant : 0.0;
        depth = n > 0 ? (sz - slope * st) / n : depth;
        std::vector<double> residuals;
        for (const auto &[s, z] : points)
            residuals.push_back(std::abs(z - depth - slope * s));
        const auto half = residuals.begin() + static_cast<std::ptrdiff_t>(residuals.size() / 2);
        std::nth_element(residuals.begin(), half, residuals.end());
        limit = std::max(0.1, 4.0 * *half);
    }
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

QString seconds(double s)
{
    return QString::number(s, 'f', s < 10.0 ? 1 : 0);
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

/// Good or Suspect, and why.
void judge(NavFix &fix, const Track::Data &data)
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
}

QString nothingUsable(const TrackReport &report)
{
    if (report.records == 0)
        return QStringLiteral("There are no positions for this dive.");
    return QStringLiteral("None of the log's %1 positions can be used.").arg(report.records);
}

Done checkOptions(const TrackOptions &o)
{
    const auto within = [](double value, double low, double high, const char *name) -> Done {
        if (value >= low && value <= high)
            return {};
        return fail(ErrorKind::Usage, QStringLiteral("The track option %1 is %2; %3 to %4 is expected.")
                                          .arg(QLatin1String(name))
                                          .arg(value)
                                          .arg(low)
                                          .arg(high));
    };
    constexpr double day = 86'400.0;
    for (const Done &done :
         {within(o.acousticRangeShare, 1e-5, 0.2, "acousticRangeShare"),
          within(o.acousticFloorM, 0.01, 1000.0, "acousticFloorM"),
          within(o.acousticWithoutDepthM, 0.01, 1000.0, "acousticWithoutDepthM"),
          within(o.satelliteM, 0.01, 1000.0, "satelliteM"),
          within(o.deadReckoningM, 0.01, 1000.0, "deadReckoningM"),
          within(o.deadReckoningDriftMs, 1e-4, 5.0, "deadReckoningDriftMs"),
          within(o.slowShare, 0.0, 0.95, "slowShare"), within(o.slowTimeS, 1.0, 3600.0, "slowTimeS"),
          within(o.transitSpeedMs, 0.01, 3.0, "transitSpeedMs"),
          within(o.outlierShare, 0.001, 0.3, "outlierShare"),
          within(o.gapLimitS.value_or(1.0), 0.0, day, "gapLimitS"),
          within(o.extrapolationLimitS.value_or(1.0), 0.0, day, "extrapolationLimitS"),
          within(o.suspectGapS.value_or(1.0), 0.0, day, "suspectGapS")})
        if (!done)
            return done;
    return {};
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
    if (const auto checked = checkOptions(options); !checked)
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
    const Estimate e = m_data->estimator->at(t);
    const GeoPoint place = m_data->plane.reverse(e.x, e.y);
    fix.latitudeDeg = place.latitudeDeg;
    fix.longitudeDeg = place.longitudeDeg;
    fix.nearestFixM = distanceToNearest(*m_data, e, t);
    setError(fix, e);
    judge(fix, *m_data);
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
