// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/track_detail.h"

#include <algorithm>
#include <cmath>

namespace holdfast::nav_detail
{
namespace
{

constexpr double smallestStepM = 10.0; ///< a correction below this is lost in the motion and does no harm

double middleOf(std::vector<double> values, double otherwise)
{
    if (values.empty())
        return otherwise;
    const auto half = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), half, values.end());
    return *half;
}

struct Offset {
    double x = 0;
    double y = 0;
    [[nodiscard]] double length() const { return std::hypot(x, y); }
};

/// A dead-reckoned track, set right: where it steps, the step is the truth and the rows before it have
/// drifted. Each stretch between two corrections is shifted, from nothing just after the first to the whole
/// step at the second, in proportion to the time (steady drift, common practice). Half way nobody knows how
/// the drift grew: the deviation on each axis is |step| f (1 - f). After the last correction it grows with
/// the usual drift.
class DeadReckonedEstimator final : public Estimator
{
public:
    explicit DeadReckonedEstimator(Track::Data &data)
    {
        findUsualSpeed(data.fixes);
        rejectSpikes(data.fixes);
        for (std::size_t i = 0; i < data.fixes.size(); ++i)
            if (data.fixes[i].accepted)
                m_rows.push_back({data.fixes[i], isHeldAtSurface(data.fixes, i), 0.0});
        findCorrections();
        m_drift = usualDrift(data.options.deadReckoningDriftMs);
        for (std::size_t c = 0; c < m_corrections.size(); ++c)
            shiftBefore(c);
        growAfterLast();
    }

    [[nodiscard]] std::size_t corrections() const { return m_corrections.size(); }
    [[nodiscard]] double driftMs() const { return m_drift; }
    [[nodiscard]] double speedMs() const { return m_speed; }

    [[nodiscard]] Estimate at(double t) const override
    {
        const auto after = std::ranges::upper_bound(m_rows, t, {}, [](const Row &r) { return r.fix.t; });
        if (after == m_rows.begin())
            return held(m_rows.front(), m_rows.front().fix.t - t);
        if (after == m_rows.end())
            return held(m_rows.back(), t - m_rows.back().fix.t);
        const Row &a = *std::prev(after), &b = *after;
        const double gap = b.fix.t - a.fix.t, f = (t - a.fix.t) / gap;
        const double deviation = a.deviation + f * (b.deviation - a.deviation);
        const double strayed = m_speed * gap * f * (1.0 - f);
        return estimate(a.fix.x + f * (b.fix.x - a.fix.x), a.fix.y + f * (b.fix.y - a.fix.y),
                        std::max(a.fix.sigmaM, b.fix.sigmaM), deviation, strayed);
    }

private:
    struct Row {
        Fix fix; ///< shifted in place
        bool heldAtSurface = false;
        double deviation = 0;
    };
    struct Correction {
        std::size_t row = 0; ///< the first row that is right again
        Offset step;
    };

    static bool isHeldAtSurface(const std::vector<Fix> &fixes, std::size_t i)
    {
        constexpr double surfaceM = 1.5;
        return i > 0 && fixes[i].x == fixes[i - 1].x && fixes[i].y == fixes[i - 1].y &&
               !(fixes[i].depthM > surfaceM);
    }

    static Estimate estimate(double x, double y, double base, double deviation, double strayed)
    {
        const double var = base * base + deviation * deviation + strayed * strayed;
        return {x, y, var, 0.0, var};
    }

    [[nodiscard]] Estimate held(const Row &row, double s) const
    {
        return estimate(row.fix.x, row.fix.y, row.fix.sigmaM, row.deviation + m_drift * s, m_speed * s);
    }

    void findUsualSpeed(const std::vector<Fix> &fixes)
    {
        std::vector<double> speeds;
        for (std::size_t i = 1; i < fixes.size(); ++i)
            if (const double moved = std::hypot(fixes[i].x - fixes[i - 1].x, fixes[i].y - fixes[i - 1].y),
                dt = fixes[i].t - fixes[i - 1].t;
                moved > 0.0 && dt > 0.0)
                speeds.push_back(moved / dt);
        m_speed = middleOf(std::move(speeds), 0.2);
    }

    [[nodiscard]] Offset stepTo(const Fix &before, const Fix &after) const
    {
        const Offset moved{after.x - before.x, after.y - before.y};
        const double allowed = 2.5 * m_speed * (after.t - before.t) + smallestStepM;
        return moved.length() > allowed ? moved : Offset{};
    }

    /// One row away and back again is no correction.
    void rejectSpikes(std::vector<Fix> &fixes) const
    {
        for (std::size_t i = 1; i + 1 < fixes.size(); ++i) {
            if (fixes[i].source == PositionSource::Satellite)
                continue;
            const Offset out = stepTo(fixes[i - 1], fixes[i]), back = stepTo(fixes[i], fixes[i + 1]);
            if (out.length() > 0.0 && back.length() > 0.0 &&
                std::hypot(out.x + back.x, out.y + back.y) < 0.3 * out.length())
                fixes[i].accepted = false;
        }
    }

    /// Satellite rows are right whatever they correct; of the others those are that a step leads to.
    void findCorrections()
    {
        for (std::size_t i = 1; i < m_rows.size(); ++i) {
            const Fix &before = m_rows[i - 1].fix, &after = m_rows[i].fix;
            const bool satellite = after.source == PositionSource::Satellite;
            Offset step = stepTo(before, after);
            if (satellite && before.source != PositionSource::Satellite)
                step = {after.x - before.x, after.y - before.y};
            if (step.length() > 0.0 || (satellite && before.source != PositionSource::Satellite))
                m_corrections.push_back({i, step});
        }
    }

    /// When the row that begins a stretch was itself right.
    [[nodiscard]] std::size_t stretchBegin(std::size_t correction) const
    {
        std::size_t begin = correction == 0 ? 0 : m_corrections[correction - 1].row;
        // a run of satellite rows stays right to its end
        while (begin + 1 < m_corrections[correction].row &&
               m_rows[begin + 1].fix.source == PositionSource::Satellite)
            ++begin;
        return begin;
    }

    [[nodiscard]] double usualDrift(double stated) const
    {
        std::vector<double> drifts;
        for (std::size_t c = 1; c < m_corrections.size(); ++c) {
            const double dt = m_rows[m_corrections[c].row].fix.t - m_rows[stretchBegin(c)].fix.t;
            if (dt > 0.0)
                drifts.push_back(m_corrections[c].step.length() / dt /
                                 1.177); // median of a Rayleigh distribution
        }
        return drifts.size() < 3 ? stated : middleOf(std::move(drifts), stated);
    }

    void shiftBefore(std::size_t c)
    {
        const std::size_t begin = stretchBegin(c), end = m_corrections[c].row;
        const double from = m_rows[begin].fix.t, whole = std::max(1e-3, m_rows[end].fix.t - from);
        const Offset step = m_corrections[c].step;
        // whether the log began right is not known, unless with a satellite row: then half of the step may be
        // its
        const bool known = c > 0 || m_rows[begin].fix.source == PositionSource::Satellite;
        for (std::size_t i = begin; i < end; ++i) {
            const double f = (m_rows[i].fix.t - from) / whole;
            if (m_rows[i].heldAtSurface) {
                m_rows[i].deviation = 0.5 * step.length() * f;
                continue;
            }
            const double shift = known ? f : 0.5 * (1.0 + f);
            m_rows[i].fix.x += shift * step.x;
            m_rows[i].fix.y += shift * step.y;
            m_rows[i].deviation =
                step.length() * std::max(known ? f * (1.0 - f) : 0.3 * (1.0 - f), 1.1 * shift / radius95);
        }
    }

    void growAfterLast()
    {
        std::size_t right = m_corrections.empty() ? 0 : m_corrections.back().row;
        for (std::size_t i = right; i < m_rows.size(); ++i) {
            if (m_rows[i].fix.source == PositionSource::Satellite)
                right = i;
            m_rows[i].deviation = m_drift * (m_rows[i].fix.t - m_rows[right].fix.t);
        }
    }

    double m_speed = 0.2;
    double m_drift = 0.15;
    std::vector<Row> m_rows;
    std::vector<Correction> m_corrections;
};

} // namespace

std::unique_ptr<const Estimator> makeDeadReckoned(Track::Data &data)
{
    auto estimator = std::make_unique<DeadReckonedEstimator>(data);
    settle(data);
    data.report.corrections = estimator->corrections();
    data.report.driftMs = estimator->driftMs();
    data.report.transitSpeedMs = estimator->speedMs();
    data.report.estimated = true;
    return estimator;
}

} // namespace holdfast::nav_detail
