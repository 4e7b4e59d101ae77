// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/velocity_aid.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdfast::nav_detail
{
namespace
{

constexpr double longestBreakS = 5.0;     ///< bridged by the mean of the velocities on both sides
constexpr double shortestStretchS = 15.0; ///< less tells nothing
constexpr double fastestMs = 5.0;         ///< more is no velocity of a work vehicle
constexpr double radian = std::numbers::pi / 180.0;

/// Headings of the positions by time, for velocities that have none of their own.
class HeadingSeries
{
public:
    explicit HeadingSeries(const Track::Data &data)
    {
        for (std::size_t i = 0; i < data.records.size(); ++i)
            if (const auto heading = data.records[i].headingDeg; heading && std::isfinite(*heading)) {
                m_times.push_back(data.fixes[i].t);
                m_headings.push_back(*heading);
            }
    }

    [[nodiscard]] std::optional<double> at(double t) const
    {
        const auto next = static_cast<std::size_t>(std::ranges::lower_bound(m_times, t) - m_times.begin());
        if (next == 0 || next == m_times.size() || m_times[next] - m_times[next - 1] > 10.0)
            return std::nullopt;
        const double f = (t - m_times[next - 1]) / (m_times[next] - m_times[next - 1]);
        const double turn = std::remainder(m_headings[next] - m_headings[next - 1], 360.0);
        return m_headings[next - 1] + f * turn;
    }

private:
    std::vector<double> m_times, m_headings;
};

/// A velocity over ground in sums of its parts.
struct Reading {
    double t = 0, sinHeading = 0, cosHeading = 0, forward = 0, starboard = 0;
};

std::vector<Reading> readings(const Track::Data &data)
{
    const HeadingSeries headings(data);
    std::vector<Reading> result;
    for (const VelocityRecord &v : data.velocities) {
        const double t = secondsBetween(data.start, v.time);
        const auto heading = v.headingDeg && std::isfinite(*v.headingDeg) ? v.headingDeg : headings.at(t);
        if (!heading || !(std::hypot(v.forwardMs, v.starboardMs) < fastestMs))
            continue;
        result.push_back(
            {t, std::sin(*heading * radian), std::cos(*heading * radian), v.forwardMs, v.starboardMs});
    }
    std::ranges::stable_sort(result, {}, &Reading::t);
    const auto repeated = std::ranges::unique(result, {}, &Reading::t);
    result.erase(repeated.begin(), repeated.end());
    return result;
}

} // namespace

VelocityAid::VelocityAid(const Track::Data &data)
{
    const std::vector<Reading> all = readings(data);
    Sums total;
    for (std::size_t from = 0; from < all.size();) {
        std::size_t end = from + 1;
        while (end < all.size() && all[end].t - all[end - 1].t <= longestBreakS)
            ++end;
        if (all[end - 1].t - all[from].t >= shortestStretchS) {
            for (std::size_t i = from; i < end; ++i) {
                if (i > from) {
                    const Reading &a = all[i - 1], &b = all[i];
                    const double dt = b.t - a.t, half = 0.5 * dt;
                    const double sinH = half * (a.sinHeading + b.sinHeading),
                                 cosH = half * (a.cosHeading + b.cosHeading);
                    total.moved.x += half * (a.forward * a.sinHeading + a.starboard * a.cosHeading +
                                             b.forward * b.sinHeading + b.starboard * b.cosHeading);
                    total.moved.y += half * (a.forward * a.cosHeading - a.starboard * a.sinHeading +
                                             b.forward * b.cosHeading - b.starboard * b.sinHeading);
                    total.ahead.x += sinH;
                    total.ahead.y += cosH;
                    total.starboard.x += cosH;
                    total.starboard.y -= sinH;
                }
                m_times.push_back(all[i].t);
                m_sums.push_back(total);
            }
            m_stretches.push_back({all[from].t, all[end - 1].t});
        }
        from = end;
    }
}

VelocityAid::Sums VelocityAid::sumsAt(double t) const
{
    const auto next = static_cast<std::size_t>(std::ranges::lower_bound(m_times, t) - m_times.begin());
    if (next == m_times.size())
        return m_sums.back();
    if (next == 0)
        return m_sums.front();
    const Sums &a = m_sums[next - 1], &b = m_sums[next];
    const double f = (t - m_times[next - 1]) / (m_times[next] - m_times[next - 1]);
    const auto between = [f](const Displacement &p, const Displacement &q) {
        return Displacement{p.x + f * (q.x - p.x), p.y + f * (q.y - p.y)};
    };
    return {between(a.moved, b.moved), between(a.ahead, b.ahead), between(a.starboard, b.starboard)};
}

std::array<Displacement, faultCount> VelocityAid::sensitivity(double t) const
{
    if (empty())
        return {};
    const Sums s = sumsAt(t);
    return {s.moved, Displacement{s.moved.y, -s.moved.x}, Displacement{-s.ahead.x, -s.ahead.y},
            Displacement{-s.starboard.x, -s.starboard.y}};
}

Displacement VelocityAid::displacement(double t) const
{
    if (empty())
        return {};
    Displacement d = sumsAt(t).moved;
    const auto by = sensitivity(t);
    const FaultArray fault{m_fault.scale, m_fault.misalignmentRad, m_fault.forwardBiasMs,
                           m_fault.starboardBiasMs};
    for (std::size_t k = 0; k < faultCount; ++k) {
        d.x += fault[k] * by[k].x;
        d.y += fault[k] * by[k].y;
    }
    return d;
}

} // namespace holdfast::nav_detail
