// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/clock_offset.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

namespace holdfast
{
namespace
{

constexpr std::size_t fewest = 30;
constexpr double longestBreakS = 10.0; ///< in the CTD's depths; nothing is compared across more
constexpr double memoryS = 200.0;      ///< over which neighbouring residuals may share their error

struct Depth {
    double t = 0;
    double z = 0;
};

double medianOf(std::vector<double> values)
{
    const auto half = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), half, values.end());
    return *half;
}

std::vector<Depth> sorted(std::span<const DepthRecord> records, UtcTime start)
{
    std::vector<Depth> depths;
    depths.reserve(records.size());
    for (const DepthRecord &r : records)
        if (std::isfinite(r.depthM))
            depths.push_back({secondsBetween(start, r.time), r.depthM});
    if (!std::ranges::is_sorted(depths, {}, &Depth::t))
        std::ranges::stable_sort(depths, {}, &Depth::t);
    return depths;
}

/// One depth a second at most, the median of those in it: spikes of a few scans disappear.
std::vector<Depth> bySecond(const std::vector<Depth> &depths)
{
    std::vector<Depth> result;
    for (std::size_t from = 0; from < depths.size();) {
        std::size_t end = from;
        double t = 0;
        std::vector<double> zs;
        for (; end < depths.size() && depths[end].t < std::floor(depths[from].t) + 1.0; ++end) {
            t += depths[end].t;
            zs.push_back(depths[end].z);
        }
        result.push_back({t / static_cast<double>(end - from), medianOf(std::move(zs))});
        from = end;
    }
    return result;
}

/// The CTD's depth over time, linear between its seconds.
class Curve
{
public:
    explicit Curve(const std::vector<Depth> &points) : m_points(points) {}

    [[nodiscard]] std::optional<double> at(double t) const
    {
        const auto next = std::ranges::lower_bound(m_points, t, {}, &Depth::t);
        if (next == m_points.begin() || next == m_points.end())
            return std::nullopt;
        const Depth &a = *std::prev(next), &b = *next;
        if (b.t - a.t > longestBreakS)
            return std::nullopt;
        return a.z + (t - a.t) / (b.t - a.t) * (b.z - a.z);
    }
    [[nodiscard]] std::optional<double> speedAt(double t) const
    {
        constexpr double half = 3.0;
        const auto a = at(t - half), b = at(t + half);
        return a && b ? std::optional((*b - *a) / (2.0 * half)) : std::nullopt;
    }

private:
    const std::vector<Depth> &m_points;
};

/// Mean of the squared differences at a trial offset, each capped, the common difference taken out. Offsets
/// with few comparisons lose against those with many.
double misfit(const Curve &ctd, const std::vector<Depth> &vehicle, double offset, double cap)
{
    std::vector<double> differences;
    differences.reserve(vehicle.size());
    for (const Depth &v : vehicle)
        if (const auto z = ctd.at(v.t + offset))
            differences.push_back(*z - v.z);
    if (differences.size() < fewest)
        return cap * cap;
    const double bias = medianOf(differences);
    double sum = cap * cap * static_cast<double>(vehicle.size() - differences.size());
    for (const double d : differences)
        sum += std::min((d - bias) * (d - bias), cap * cap);
    return sum / static_cast<double>(vehicle.size());
}

/// One comparison: difference of the depths and how it depends on offset, bias and scale.
struct Pair {
    double t = 0, difference = 0, speed = 0, depth = 0;
};

std::vector<Pair> pairsAt(const Curve &ctd, const std::vector<Depth> &vehicle, double offset)
{
    std::vector<Pair> pairs;
    pairs.reserve(vehicle.size());
    for (const Depth &v : vehicle) {
        const auto z = ctd.at(v.t + offset), speed = ctd.speedAt(v.t + offset);
        if (z && speed)
            pairs.push_back({v.t, *z - v.z, *speed, *z});
    }
    return pairs;
}

using Triple = std::array<double, 3>;

/// Solves the symmetric 3 x 3 system by Cramer's rule; the first row of the inverse comes along.
Triple solve(const std::array<Triple, 3> &a, const Triple &b, Triple &firstOfInverse)
{
    const auto minor = [&a](std::size_t r0, std::size_t c0, std::size_t r1, std::size_t c1) {
        return a[r0][c0] * a[r1][c1] - a[r0][c1] * a[r1][c0];
    };
    const double c00 = minor(1, 1, 2, 2), c01 = -minor(1, 0, 2, 2), c02 = minor(1, 0, 2, 1);
    const double det = a[0][0] * c00 + a[0][1] * c01 + a[0][2] * c02;
    const double c11 = minor(0, 0, 2, 2), c12 = -minor(0, 0, 2, 1), c22 = minor(0, 0, 1, 1);
    firstOfInverse = {c00 / det, c01 / det, c02 / det};
    return {(c00 * b[0] + c01 * b[1] + c02 * b[2]) / det, (c01 * b[0] + c11 * b[1] + c12 * b[2]) / det,
            (c02 * b[0] + c12 * b[1] + c22 * b[2]) / det};
}

struct Fit {
    double step = 0, bias = 0, spread = 0, standardError = 0, speed = 0;
};

/// Least squares with Tukey's weights of difference = speed step + bias + scale depth. The standard error
/// allows for neighbours that share their error (Newey and West 1987, Econometrica 55, 703-708, their weights
/// over memoryS).
Fit fitStep(const std::vector<Pair> &pairs)
{
    const double n = static_cast<double>(pairs.size());
    double meanDepth = 0, squares = 0;
    for (const Pair &p : pairs) {
        meanDepth += p.depth / n;
        squares += p.speed * p.speed / n;
    }
    const auto rowOf = [meanDepth](const Pair &p) {
        return Triple{p.speed, 1.0, (p.depth - meanDepth) * 1e-3};
    };
    Triple solution{}, inverse{};
    std::vector<double> residuals(pairs.size()), weights(pairs.size(), 1.0);
    std::vector<double> differences(pairs.size());
    std::ranges::transform(pairs, differences.begin(), &Pair::difference);
    solution[1] = medianOf(differences);
    double spread = 0;
    for (int round = 0; round < 6; ++round) {
        std::vector<double> sizes(pairs.size());
        for (std::size_t i = 0; i < pairs.size(); ++i) {
            const Triple row = rowOf(pairs[i]);
            residuals[i] =
                pairs[i].difference - row[0] * solution[0] - row[1] * solution[1] - row[2] * solution[2];
            sizes[i] = std::abs(residuals[i]);
        }
        spread = std::max(1e-4, 1.4826 * medianOf(sizes));
        std::array<Triple, 3> normal{Triple{1e-12, 0, 0}, Triple{0, 1e-12, 0}, Triple{0, 0, 1e-6}};
        Triple right{};
        for (std::size_t i = 0; i < pairs.size(); ++i) {
            const double u = residuals[i] / (4.685 * spread);
            weights[i] = std::abs(u) < 1.0 ? (1.0 - u * u) * (1.0 - u * u) : 0.0;
            const Triple row = rowOf(pairs[i]);
            for (std::size_t r = 0; r < 3; ++r) {
                right[r] += weights[i] * row[r] * pairs[i].difference;
                for (std::size_t c = 0; c < 3; ++c)
                    normal[r][c] += weights[i] * row[r] * row[c];
            }
        }
        solution = solve(normal, right, inverse);
    }
    std::vector<double> influence(pairs.size());
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        const Triple row = rowOf(pairs[i]);
        influence[i] =
            weights[i] * residuals[i] * (inverse[0] * row[0] + inverse[1] * row[1] + inverse[2] * row[2]);
    }
    double variance = 0;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        variance += influence[i] * influence[i];
        for (std::size_t k = i + 1; k < pairs.size() && pairs[k].t - pairs[i].t < memoryS; ++k)
            variance += 2.0 * (1.0 - (pairs[k].t - pairs[i].t) / memoryS) * influence[i] * influence[k];
    }
    return {solution[0], solution[1], spread, std::sqrt(std::max(0.0, variance)), std::sqrt(squares)};
}

double coarseOffset(const Curve &ctd, const std::vector<Depth> &vehicle, double searchS)
{
    std::vector<double> steps;
    for (std::size_t i = 1; i < vehicle.size(); ++i)
        steps.push_back(std::abs(vehicle[i].z - vehicle[i - 1].z));
    const double cap = std::max(1.0, 6.0 * medianOf(std::move(steps)));
    std::vector<Depth> some;
    const std::size_t every = std::max<std::size_t>(1, vehicle.size() / 3000);
    for (std::size_t i = 0; i < vehicle.size(); i += every)
        some.push_back(vehicle[i]);
    double best = 0, least = misfit(ctd, some, 0.0, cap);
    const double step = std::clamp(searchS / 150.0, 0.5, 20.0);
    const auto look = [&](double offset) {
        if (const double m = misfit(ctd, some, offset, cap); m < least) {
            least = m;
            best = offset;
        }
    };
    for (double offset = step; offset <= searchS; offset += step) {
        look(offset);
        look(-offset);
    }
    return best;
}

QString describe(const ClockOffset &o, bool insideSearch)
{
    if (o.confident)
        return QStringLiteral("The CTD clock is %1 s %2 the vehicle's (standard error %3 s, %4 comparisons).")
            .arg(std::abs(o.offsetS), 0, 'f', 2)
            .arg(o.offsetS >= 0 ? QStringLiteral("ahead of") : QStringLiteral("behind"))
            .arg(o.standardErrorS, 0, 'f', 2)
            .arg(o.pairs);
    if (!insideSearch)
        return QStringLiteral("No offset within the range searched fits; the best, %1 s, lies at its border.")
            .arg(o.offsetS, 0, 'f', 1);
    return QStringLiteral(
               "The offset of %1 s is uncertain by %2 s: the depth changes too little (%3 m/s) or the depths "
               "agree too badly (%4 m) to tell it better.")
        .arg(o.offsetS, 0, 'f', 1)
        .arg(o.standardErrorS, 0, 'f', 1)
        .arg(o.verticalSpeedMs, 0, 'f', 2)
        .arg(o.depthSpreadM, 0, 'f', 1);
}

Error tooFew(const QString &whose, std::size_t count)
{
    return fail(ErrorKind::Malformed,
                QStringLiteral("The %1 has %2 usable depths; at least %3 are needed to compare "
                               "clocks.")
                    .arg(whose)
                    .arg(count)
                    .arg(fewest));
}

} // namespace

Result<ClockOffset> estimateClockOffset(std::span<const DepthRecord> ctd,
                                        std::span<const DepthRecord> vehicle, double searchS)
{
    if (!(searchS >= 1.0 && searchS <= 86'400.0))
        return fail(
            ErrorKind::Usage,
            QStringLiteral("A search within %1 s was asked for; 1 to 86400 is expected.").arg(searchS));
    const UtcTime start = vehicle.empty() ? UtcTime{} : vehicle.front().time;
    const std::vector<Depth> vehicleDepths = sorted(vehicle, start), ctdAll = sorted(ctd, start);
    if (ctdAll.size() < fewest)
        return tooFew(QStringLiteral("CTD log"), ctdAll.size());
    if (vehicleDepths.size() < fewest)
        return tooFew(QStringLiteral("position log"), vehicleDepths.size());
    const std::vector<Depth> ctdDepths = bySecond(ctdAll);
    const Curve curve(ctdDepths);

    ClockOffset result;
    result.offsetS = coarseOffset(curve, vehicleDepths, searchS);
    Fit fit;
    for (int round = 0; round < 6; ++round) {
        const auto pairs = pairsAt(curve, vehicleDepths, result.offsetS);
        result.pairs = pairs.size();
        if (pairs.size() < fewest)
            return fail(ErrorKind::Malformed,
                        QStringLiteral("The depths of the CTD and of the vehicle overlap for only "
                                       "%1 comparisons: are they of the same dive?")
                            .arg(pairs.size()));
        fit = fitStep(pairs);
        const double step = std::clamp(-fit.step, -20.0, 20.0);
        result.offsetS = std::clamp(result.offsetS + step, -searchS, searchS);
        if (std::abs(step) < 0.005)
            break;
    }
    result.standardErrorS = fit.standardError;
    result.depthBiasM = fit.bias;
    result.depthSpreadM = fit.spread;
    result.verticalSpeedMs = fit.speed;
    const bool inside = std::abs(result.offsetS) < searchS;
    result.confident = inside && result.standardErrorS < 1.0 && result.verticalSpeedMs > 0.01;
    result.sentence = describe(result, inside);
    return result;
}

} // namespace holdfast
