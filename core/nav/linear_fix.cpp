// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/track_detail.h"

#include <GeographicLib/Geodesic.hpp>
#include <algorithm>
#include <cmath>

namespace holdfast::nav_detail
{
namespace
{

/// The plain reference: the geodesic between the accepted positions before and after.
class LinearEstimator final : public Estimator
{
public:
    explicit LinearEstimator(const Track::Data &data) : m_data(data) {}

    [[nodiscard]] Estimate at(double t) const override
    {
        const auto &times = m_data.acceptedTimes;
        const auto next = static_cast<std::size_t>(std::ranges::upper_bound(times, t) - times.begin());
        if (next == 0)
            return outside(m_data.accepted.front(), times.front() - t);
        if (next == times.size())
            return outside(m_data.accepted.back(), t - times.back());
        return between(m_data.accepted[next - 1], m_data.accepted[next], t);
    }

private:
    /// Held where the nearest position was, with the vehicle free to have moved at its usual speed.
    [[nodiscard]] Estimate outside(std::uint32_t index, double s) const
    {
        const Fix &fix = m_data.fixes[index];
        const double moved = m_data.options.transitSpeedMs * s;
        const double variance = fix.sigmaM * fix.sigmaM + moved * moved;
        return {fix.x, fix.y, variance, 0.0, variance};
    }

    /// Between two fixes the error is their weighted mean, half of the variance taken as common to both, and
    /// the vehicle may have left the straight line: by its usual speed times ab / (a + b) with a and b the
    /// times to each end. Dead reckoning adds its drift since the fix.
    [[nodiscard]] Estimate between(std::uint32_t i, std::uint32_t j, double t) const
    {
        const Fix &a = m_data.fixes[i], &b = m_data.fixes[j];
        const double gap = b.t - a.t, f = gap > 0.0 ? (t - a.t) / gap : 0.0;
        const PositionRecord &from = m_data.records[i], &to = m_data.records[j];
        const auto &wgs84 = GeographicLib::Geodesic::WGS84();
        double length = 0, azimuth = 0, azimuthAtEnd = 0;
        wgs84.Inverse(from.latitudeDeg, from.longitudeDeg, to.latitudeDeg, to.longitudeDeg, length, azimuth,
                      azimuthAtEnd);
        GeoPoint place;
        wgs84.Direct(from.latitudeDeg, from.longitudeDeg, azimuth, f * length, place.latitudeDeg,
                     place.longitudeDeg);
        Estimate e;
        m_data.plane.forward(place, e.x, e.y);
        const double sa = (1.0 - f) * a.sigmaM, sb = f * b.sigmaM;
        double strayed = m_data.options.transitSpeedMs * gap * f * (1.0 - f);
        if (b.leapBefore || b.source == PositionSource::DeadReckoning)
            strayed = std::max(strayed, length * std::min(f, 1.0 - f) + 0.05 * length);
        const double variance = sa * sa + sb * sb + sa * sb + strayed * strayed;
        e.xx = e.yy = variance;
        return e;
    }

    const Track::Data &m_data;
};

} // namespace

std::unique_ptr<const Estimator> makeLinear(const Track::Data &data)
{
    return std::make_unique<LinearEstimator>(data);
}

} // namespace holdfast::nav_detail
