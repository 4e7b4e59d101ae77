// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/track_detail.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

namespace holdfast::nav_detail
{
namespace
{

constexpr std::size_t halfWindow = 7;
constexpr std::size_t leapWitnesses = 5;  ///< fixes on each side that must agree on a leap
constexpr double impossibleSpeedMs = 4.0; ///< no work vehicle moves itself this fast

double middle(std::span<double> values)
{
    const auto half = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), half, values.end());
    return *half;
}

/// The values of a moving window, kept in order.
class OrderedWindow
{
public:
    void insert(double value)
    {
        std::size_t k = m_count++;
        for (; k > 0 && m_values[k - 1] > value; --k)
            m_values[k] = m_values[k - 1];
        m_values[k] = value;
    }
    void remove(double value)
    {
        std::size_t k = 0;
        while (m_values[k] != value)
            ++k;
        for (--m_count; k < m_count; ++k)
            m_values[k] = m_values[k + 1];
    }
    [[nodiscard]] double median() const { return m_values[m_count / 2]; }

private:
    std::array<double, 2 * halfWindow + 2> m_values{};
    std::size_t m_count = 0;
};

/// Distance of each fix from the median of up to 15 neighbours (itself included).
std::vector<double> distancesFromNeighbours(const std::vector<Fix> &fixes)
{
    std::vector<double> distances(fixes.size());
    OrderedWindow xs, ys;
    for (std::size_t i = 0; i < std::min(halfWindow, fixes.size()); ++i) {
        xs.insert(fixes[i].x);
        ys.insert(fixes[i].y);
    }
    for (std::size_t i = 0; i < fixes.size(); ++i) {
        if (i + halfWindow < fixes.size()) {
            xs.insert(fixes[i + halfWindow].x);
            ys.insert(fixes[i + halfWindow].y);
        }
        if (i > halfWindow) {
            xs.remove(fixes[i - halfWindow - 1].x);
            ys.remove(fixes[i - halfWindow - 1].y);
        }
        const double dx = fixes[i].x - xs.median(), dy = fixes[i].y - ys.median();
        distances[i] = std::sqrt(dx * dx + dy * dy);
    }
    return distances;
}

/// The place that the witnesses agree on, before index `end` going down or from it going up.
bool witnessedLeap(const std::vector<Fix> &fixes, const std::vector<std::uint32_t> &accepted, std::size_t at)
{
    const auto place = [&](std::size_t from, std::size_t to) {
        std::array<double, leapWitnesses> xs{}, ys{};
        for (std::size_t k = from; k < to; ++k) {
            xs[k - from] = fixes[accepted[k]].x;
            ys[k - from] = fixes[accepted[k]].y;
        }
        return std::pair{middle({xs.data(), to - from}), middle({ys.data(), to - from})};
    };
    const std::size_t from = at < leapWitnesses ? 0 : at - leapWitnesses;
    const std::size_t to = std::min(accepted.size(), at + leapWitnesses);
    const auto [bx, by] = place(from, at);
    const auto [ax, ay] = place(at, to);
    const Fix &before = fixes[accepted[at - 1]], &after = fixes[accepted[at]];
    const double across = fixes[accepted[to - 1]].t - fixes[accepted[from]].t;
    const double allowed = 8.0 * std::max(before.sigmaM, after.sigmaM) + 20.0;
    return std::hypot(after.x - before.x, after.y - before.y) >
               allowed + impossibleSpeedMs * (after.t - before.t) &&
           std::hypot(ax - bx, ay - by) > allowed + 0.5 * std::min(across, after.t - before.t + 20.0);
}

double middleOfAll(std::vector<double> values)
{
    return middle(values);
}

/// A satellite fix is taken at its word, unless those beside it say another place for the same time, again
/// and again: as where a clock was set back, or two logs of different things are one. No vehicle zigzags like
/// that.
std::size_t findContradictions(std::vector<Fix> &fixes)
{
    constexpr std::size_t reach = 3;
    constexpr double besideS = 10.0;
    std::vector<double> off(fixes.size()), again(fixes.size());
    for (std::size_t i = 1; i + 1 < fixes.size(); ++i) {
        const Fix &a = fixes[i - 1], &b = fixes[i + 1];
        const double dt = b.t - a.t, f = dt > 0.0 ? (fixes[i].t - a.t) / dt : 0.5;
        const double distance =
            std::hypot(fixes[i].x - a.x - f * (b.x - a.x), fixes[i].y - a.y - f * (b.y - a.y));
        if (distance > 4.0 * fixes[i].sigmaM + 5.0 + 0.5 * impossibleSpeedMs * dt)
            off[i] = distance;
    }
    std::size_t count = 0;
    for (std::size_t i = 0; i < fixes.size(); ++i) {
        if (fixes[i].source != PositionSource::Satellite)
            continue;
        const std::size_t from = i < reach ? 0 : i - reach, to = std::min(fixes.size(), i + reach + 1);
        again[i] = middleOfAll(
            {off.begin() + static_cast<std::ptrdiff_t>(from), off.begin() + static_cast<std::ptrdiff_t>(to)});
        count += again[i] > 0.0 ? 1U : 0U;
    }
    // the track is drawn between both places already a little before and after
    for (std::size_t i = 0; i < fixes.size(); ++i)
        for (std::size_t k = i < 2 * reach ? 0 : i - 2 * reach; k < std::min(fixes.size(), i + 2 * reach + 1);
             ++k)
            if (fixes[i].source == PositionSource::Satellite && std::abs(fixes[k].t - fixes[i].t) <= besideS)
                fixes[i].contradictionM = std::max(fixes[i].contradictionM, again[k]);
    return count;
}

/// A satellite place repeated to the last digit and then left by a step is an old place held: it was right
/// when it first came, and of its repeats nobody knows how much of the step was gone by then.
std::size_t findHeldPlaces(std::vector<Fix> &fixes, double usualSpeedMs)
{
    std::size_t count = 0;
    for (std::size_t first = 0; first < fixes.size();) {
        std::size_t next = first + 1;
        while (next < fixes.size() && fixes[next].x == fixes[first].x && fixes[next].y == fixes[first].y)
            ++next;
        if (next - first > 1 && next < fixes.size() && fixes[first].source == PositionSource::Satellite) {
            const Fix &then = fixes[next];
            const double step = std::hypot(then.x - fixes[first].x, then.y - fixes[first].y);
            if (step > 8.0 * then.sigmaM + 20.0 && step > 3.0 * usualSpeedMs * (then.t - fixes[next - 1].t)) {
                fixes[first].sigmaM /= std::sqrt(static_cast<double>(next - first)); // it shares with no one
                for (std::size_t i = first + 1; i < next; ++i, ++count) {
                    const double gone = (fixes[i].t - fixes[first].t) / (then.t - fixes[first].t);
                    fixes[i].sigmaM = std::hypot(fixes[i].sigmaM, step * gone);
                    fixes[i].held = true;
                }
            }
        }
        first = next;
    }
    return count;
}

} // namespace

void gateByNeighbours(Track::Data &data)
{
    std::vector<Fix> &fixes = data.fixes;
    if (fixes.size() < 3)
        return;
    if (const std::size_t n = findContradictions(fixes); n > 0)
        data.report.sentences
            << QStringLiteral("%1 satellite positions are contradicted by those beside them in time, "
                              "as where a clock was set back: the uncertainty there holds both places.")
                   .arg(n);
    if (const std::size_t n = findHeldPlaces(fixes, data.options.transitSpeedMs); n > 0)
        data.report.sentences << QStringLiteral(
                                     "%1 satellite positions repeat an old place until a step away from it: "
                                     "they count less, the nearer to the step.")
                                     .arg(n);
    const std::vector<double> distances = distancesFromNeighbours(fixes);
    std::vector<double> relative(fixes.size());
    for (std::size_t i = 0; i < fixes.size(); ++i)
        relative[i] = distances[i] / (fixes[i].sigmaM + 0.5);
    const double usual = std::max(1.0, middle(relative)); // 1.18 for round normal scatter of the stated size
    for (std::size_t i = 0; i < fixes.size(); ++i)
        if (fixes[i].source == PositionSource::Acoustic)
            fixes[i].accepted = distances[i] <= 4.5 * usual * (fixes[i].sigmaM + 0.5) + 2.0;

    std::vector<std::uint32_t> accepted;
    for (std::size_t i = 0; i < fixes.size(); ++i)
        if (fixes[i].accepted)
            accepted.push_back(static_cast<std::uint32_t>(i));
    for (std::size_t k = 1; k < accepted.size(); ++k) {
        Fix &fix = fixes[accepted[k]];
        if (fix.source != PositionSource::DeadReckoning && witnessedLeap(fixes, accepted, k))
            fix.leapBefore = true;
    }
}

} // namespace holdfast::nav_detail
