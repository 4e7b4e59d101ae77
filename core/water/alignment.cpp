// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/alignment.h"

#include "water/quality_detail.h"
#include "water/salinity.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

/// Temperature read `lagUs` later in the log, linear between the scans on each side.
std::vector<double> shifted(const CtdColumns &ctd, std::int64_t lagUs)
{
    const std::size_t count = std::min(ctd.size(), ctd.temperatureDegC.size());
    std::vector<double> result(ctd.size(), missingValue);
    if (!std::is_sorted(ctd.timeUs.begin(), ctd.timeUs.end()))
        return result;
    std::size_t later = 0; // first scan later than the time wanted; both only move forward
    for (std::size_t i = 0; i < count; ++i) {
        const std::int64_t wanted = ctd.timeUs[i] + lagUs;
        while (later < count && ctd.timeUs[later] <= wanted)
            ++later;
        if (later == 0)
            continue;
        const std::size_t before = later - 1;
        if (ctd.timeUs[before] == wanted) {
            result[i] = ctd.temperatureDegC[before];
        } else if (later < count) {
            const double share = static_cast<double>(wanted - ctd.timeUs[before]) /
                                 static_cast<double>(ctd.timeUs[later] - ctd.timeUs[before]);
            result[i] = ctd.temperatureDegC[before] +
                        share * (ctd.temperatureDegC[later] - ctd.temperatureDegC[before]);
        }
    }
    return result;
}

double medianInterval(std::span<const std::int64_t> timeUs)
{
    std::vector<double> intervals;
    for (std::size_t i = 1; i < timeUs.size(); ++i) {
        if (timeUs[i] > timeUs[i - 1])
            intervals.push_back(static_cast<double>(timeUs[i] - timeUs[i - 1]) * 1e-6);
    }
    return intervals.empty() ? 0.0 : detail::medianOf(intervals);
}

/// Change over `span` scans centred on each scan; NaN where a scan does not pass or the log has a gap.
std::vector<double> changes(std::span<const std::int64_t> timeUs, std::span<const double> values,
                            std::span<const QcFlag> flags, std::size_t half, double intervalS)
{
    std::vector<double> result(values.size(), missingValue);
    const double longest = 2.0 * static_cast<double>(half) * intervalS * 1.5;
    for (std::size_t i = half; i + half < values.size(); ++i) {
        const double seconds = static_cast<double>(timeUs[i + half] - timeUs[i - half]) * 1e-6;
        if (flags[i - half] == QcFlag::Pass && flags[i + half] == QcFlag::Pass && seconds <= longest)
            result[i] = values[i + half] - values[i - half];
    }
    return result;
}

/// Pearson correlation of a(i) with b(i + lag).
struct Correlation {
    double value = 0;
    std::size_t pairs = 0;
};
Correlation correlate(std::span<const double> a, std::span<const double> b, std::ptrdiff_t lag)
{
    const auto count = static_cast<std::ptrdiff_t>(a.size());
    double sa = 0, sb = 0, saa = 0, sbb = 0, sab = 0;
    std::size_t pairs = 0;
    for (std::ptrdiff_t i = std::max<std::ptrdiff_t>(0, -lag); i < count - std::max<std::ptrdiff_t>(0, lag);
         ++i) {
        const double x = a[static_cast<std::size_t>(i)];
        const double y = b[static_cast<std::size_t>(i + lag)];
        if (std::isnan(x) || std::isnan(y))
            continue;
        ++pairs;
        sa += x;
        sb += y;
        saa += x * x;
        sbb += y * y;
        sab += x * y;
    }
    if (pairs < 2)
        return {0, pairs};
    const double n = static_cast<double>(pairs);
    const double va = saa - sa * sa / n;
    const double vb = sbb - sb * sb / n;
    return {va > 0 && vb > 0 ? (sab - sa * sb / n) / std::sqrt(va * vb) : 0.0, pairs};
}

/// The tenth of the scans with the largest change.
std::vector<std::size_t> steepest(const std::vector<double> &changes)
{
    std::vector<std::size_t> indexes;
    for (std::size_t i = 0; i < changes.size(); ++i) {
        if (std::isfinite(changes[i]))
            indexes.push_back(i);
    }
    const auto kept = static_cast<std::ptrdiff_t>(indexes.size() / 10);
    std::nth_element(
        indexes.begin(), indexes.begin() + kept, indexes.end(),
        [&](std::size_t a, std::size_t b) { return std::abs(changes[a]) > std::abs(changes[b]); });
    indexes.resize(static_cast<std::size_t>(kept));
    return indexes;
}

/// Mean distance of salinity from the mean of its neighbours `half` scans away, at the given scans.
double roughness(const CtdColumns &ctd, const std::vector<std::size_t> &scans, std::size_t half)
{
    const auto salinity = [&ctd](std::size_t i) {
        return practicalSalinity(ctd.conductivityMsCm[i], ctd.temperatureDegC[i], ctd.pressureDbar[i]);
    };
    double sum = 0;
    std::size_t count = 0;
    for (const std::size_t i : scans) {
        if (i < half || i + half >= ctd.size())
            continue;
        const double off = std::abs(salinity(i) - (salinity(i - half) + salinity(i + half)) / 2.0);
        if (std::isfinite(off)) {
            sum += off;
            ++count;
        }
    }
    return count > 0 ? sum / static_cast<double>(count) : missingValue;
}

/// The peak of a correlation by lag: place in scans from the table's start, relative curvature.
struct Peak {
    double at, correlation, sharpness;
    std::size_t pairs;
};
/// A parabola by least squares through `side` lags on each side of the largest correlation.
std::optional<Peak> peakOf(const std::vector<Correlation> &table, std::ptrdiff_t side)
{
    const auto best = std::max_element(table.begin(), table.end(),
                                       [](const auto &a, const auto &b) { return a.value < b.value; });
    if (best - table.begin() < side || table.end() - best <= side)
        return std::nullopt;
    // With x symmetric about 0 the normal equations fall apart: slope from x, bend from x2 less its mean.
    double sx2 = 0, sx4 = 0, sr = 0, sxr = 0, sx2r = 0;
    for (std::ptrdiff_t k = -side; k <= side; ++k) {
        const double x = static_cast<double>(k);
        const double r = (best + k)->value;
        sx2 += x * x;
        sx4 += x * x * x * x;
        sr += r;
        sxr += x * r;
        sx2r += x * x * r;
    }
    const double n = static_cast<double>(2 * side + 1);
    const double slope = sxr / sx2;
    const double bend = (sx2r - sr * sx2 / n) / (sx4 - sx2 * sx2 / n);
    if (!(bend < 0.0) || !(best->value > 0.0))
        return std::nullopt;
    const double limit = static_cast<double>(side);
    const double shift = std::clamp(-slope / (2.0 * bend), -limit, limit);
    return Peak{static_cast<double>(best - table.begin()) + shift, best->value, -2.0 * bend / best->value,
                best->pairs};
}

} // namespace

CtdColumns corrected(const CtdColumns &ctd, const SensorCorrections &corrections)
{
    CtdColumns result = ctd;
    if (corrections.pressureOffsetDbar != 0.0) {
        for (double &p : result.pressureDbar)
            p -= corrections.pressureOffsetDbar;
    }
    if (corrections.temperatureLagS != 0.0)
        result.temperatureDegC = shifted(ctd, std::llround(corrections.temperatureLagS * 1e6));
    return result;
}

MismatchReport salinityMismatch(const DerivedColumns &derived, const ScanFlags &flags,
                                const QualityLimits &limits)
{
    const std::vector<double> &s = derived.practicalSalinity;
    std::vector<QcFlag> spike(s.size(), QcFlag::NotEvaluated), burst = spike;
    if (limits.salinity.spike)
        spikeTest(s, *limits.salinity.spike, spike);
    if (limits.salinity.burst)
        burstTest(s, *limits.salinity.burst, burst);
    const auto sound = [&flags](std::size_t i) {
        return flags.flags(QcParameter::Conductivity)[i] == QcFlag::Pass &&
               flags.flags(QcParameter::Temperature)[i] == QcFlag::Pass &&
               flags.flags(QcParameter::Pressure)[i] == QcFlag::Pass;
    };
    MismatchReport report;
    std::vector<double> off;
    for (std::size_t i = 0; i < s.size() && i < flags.size(); ++i) {
        // The neighbours count too: a spike's neighbour is off because of the spike.
        if (!sound(i) || (i > 0 && !sound(i - 1)) || (i + 1 < s.size() && !sound(i + 1)))
            continue;
        ++report.evaluated;
        const QcFlag flag = worse(spike[i], burst[i]);
        report.spikes += flag == QcFlag::Suspect || flag == QcFlag::Fail;
        if (i > 0 && i + 1 < s.size() && std::isfinite(s[i - 1] + s[i] + s[i + 1]))
            off.push_back(std::abs(s[i] - (s[i - 1] + s[i + 1]) / 2.0));
    }
    if (!off.empty())
        report.roughness = detail::medianOf(off);
    return report;
}

std::optional<LagEstimate> estimateTemperatureLag(const CtdColumns &ctd, const ScanFlags &flags,
                                                  double maxLagS)
{
    const std::size_t count = ctd.size();
    const double interval = medianInterval(ctd.timeUs);
    if (interval <= 0.0 || ctd.temperatureDegC.size() < count || ctd.conductivityMsCm.size() < count ||
        ctd.pressureDbar.size() < count || flags.size() < count)
        return std::nullopt;
    const auto half = std::max<std::size_t>(1, static_cast<std::size_t>(std::llround(0.25 / interval)));
    const std::vector<double> dc =
        changes(ctd.timeUs, ctd.conductivityMsCm, flags.flags(QcParameter::Conductivity), half, interval);
    const std::vector<double> dt =
        changes(ctd.timeUs, ctd.temperatureDegC, flags.flags(QcParameter::Temperature), half, interval);
    const auto reach = static_cast<std::ptrdiff_t>(std::clamp(maxLagS / interval, 1.0, 500.0));
    std::vector<Correlation> table;
    for (std::ptrdiff_t lag = -reach; lag <= reach; ++lag)
        table.push_back(correlate(dc, dt, lag));
    const std::optional<Peak> peak =
        peakOf(table, std::max<std::ptrdiff_t>(1, static_cast<std::ptrdiff_t>(half)));
    if (!peak || peak->correlation < 0.3 || peak->pairs < 100)
        return std::nullopt;
    // Changes over overlapping stretches repeat each other: 2 half + 1 of them are worth one.
    const double independent = static_cast<double>(peak->pairs) / static_cast<double>(2 * half + 1);
    const double r2 = peak->correlation * peak->correlation;
    const double sigmaScans = std::sqrt((1.0 - r2) / (r2 * independent * peak->sharpness));
    LagEstimate estimate{(peak->at - static_cast<double>(reach)) * interval, sigmaScans * interval,
                         peak->correlation, peak->pairs};
    const std::vector<std::size_t> steep = steepest(dt);
    estimate.roughnessBefore = roughness(ctd, steep, half);
    // Tried at the nearest whole number of scans: between scans the shift would average two temperatures and
    // look smoother for their noise alone.
    const double wholeScans = std::round(estimate.lagS / interval);
    estimate.roughnessAfter =
        roughness(corrected(ctd, {.temperatureLagS = wholeScans * interval}), steep, half);
    const bool better = estimate.roughnessAfter < 0.95 * estimate.roughnessBefore;
    if (estimate.sigmaS > 0.25 * maxLagS || wholeScans == 0.0 || !better)
        return std::nullopt;
    return estimate;
}

} // namespace holdfast
