// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/switching_smoother.h"

#include <array>
#include <cmath>

namespace holdfast::nav_detail
{
namespace
{

constexpr std::size_t columns =
    faultCount + 1; ///< the measured places, and what a unit of each fault makes of them
constexpr FaultArray priorDeviation{0.01, 0.026, 0.01, 0.01};
constexpr double unknownVar = 1e6;

/// One axis of each column: position, velocity, slow error.
using Means = std::array<std::array<double, 3>, columns>;

/// A filter with the aided model for all columns at once. It is linear in the data, so the innovations of the
/// measured places are those of the faults' patterns times the faults, plus white noise: a regression.
class ColumnFilter
{
public:
    explicit ColumnFilter(const SwitchingParameters &p)
        : m_model(p.motion), m_slow(p.sigmaScale * std::sqrt(p.slowShare)),
          m_white(p.sigmaScale * p.sigmaScale * (1.0 - p.slowShare))
    {
        forget();
    }

    void forget()
    {
        m_state[0].pp += unknownVar;
        m_state[0].pv = m_state[0].pu = m_state[0].vu = 0.0;
        m_state[0].vv = m_model.aidedSpeedMs * m_model.aidedSpeedMs;
        m_state[0].uu = 1.0;
        for (Means *axis : {&m_x, &m_y})
            for (auto &column : *axis)
                column[1] = column[2] = 0.0;
    }

    void advanceBy(double dt)
    {
        // the covariance, and the transition read off from unit states
        m_state[1] = Gaussian{};
        m_state[1].x = {0.0, 1.0, 0.0};
        m_state[1].y = {0.0, 0.0, 1.0};
        advance(m_state, m_model, dt, Direction::Forward, Aid::Velocity);
        const double reach = m_state[1].x[0], keep = m_state[1].x[1], slowKeep = m_state[1].y[2];
        for (Means *axis : {&m_x, &m_y})
            for (auto &column : *axis) {
                column[0] += reach * column[1];
                column[1] *= keep;
                column[2] *= slowKeep;
            }
    }

    /// Takes the node; innovations of all columns on both axes, divided by their deviation.
    void take(const Node &node, const std::array<Displacement, faultCount> &patterns,
              std::array<double, columns> &ex, std::array<double, columns> &ey)
    {
        const Measurement z = measurementOf(node, m_slow, m_white);
        Gaussian &g = m_state[0];
        const double a = z.slowM, hp = g.pp + a * g.pu, hv = g.pv + a * g.vu, hu = g.pu + a * g.uu;
        const double s = hp + a * hu + z.whiteVar, root = std::sqrt(s);
        for (std::size_t c = 0; c < columns; ++c) {
            const double zx = c == 0 ? z.x : patterns[c - 1].x, zy = c == 0 ? z.y : patterns[c - 1].y;
            const double dx = zx - m_x[c][0] - a * m_x[c][2], dy = zy - m_y[c][0] - a * m_y[c][2];
            const std::array<double, 3> gain{hp / s, hv / s, hu / s};
            for (std::size_t k = 0; k < 3; ++k) {
                m_x[c][k] += gain[k] * dx;
                m_y[c][k] += gain[k] * dy;
            }
            ex[c] = dx / root;
            ey[c] = dy / root;
        }
        g.pp -= hp * hp / s;
        g.pv -= hp * hv / s;
        g.pu -= hp * hu / s;
        g.vv -= hv * hv / s;
        g.vu -= hv * hu / s;
        g.uu -= hu * hu / s;
    }

private:
    MotionModel m_model;
    double m_slow, m_white;
    Mixture m_state; ///< the covariance of all columns in the first, a probe of the transition in the second
    Means m_x{}, m_y{};
};

/// Solves the symmetric positive definite system by elimination.
FaultArray solve(std::array<FaultArray, faultCount> a, FaultArray b)
{
    for (std::size_t k = 0; k < faultCount; ++k)
        for (std::size_t r = k + 1; r < faultCount; ++r) {
            const double f = a[r][k] / a[k][k];
            for (std::size_t c = k; c < faultCount; ++c)
                a[r][c] -= f * a[k][c];
            b[r] -= f * b[k];
        }
    for (std::size_t k = faultCount; k-- > 0;) {
        for (std::size_t c = k + 1; c < faultCount; ++c)
            b[k] -= a[k][c] * b[c];
        b[k] /= a[k][k];
    }
    return b;
}

} // namespace

VelocityFault fitVelocityFault(std::span<const Node> nodes, const VelocityAid &aid,
                               const SwitchingParameters &parameters)
{
    const FaultArray so_far{aid.fault().scale, aid.fault().misalignmentRad, aid.fault().forwardBiasMs,
                            aid.fault().starboardBiasMs};
    std::array<FaultArray, faultCount> normal{};
    FaultArray right{};
    for (std::size_t k = 0; k < faultCount; ++k) {
        normal[k][k] = 1.0 / (priorDeviation[k] * priorDeviation[k]);
        right[k] = -so_far[k] * normal[k][k];
    }
    ColumnFilter filter(parameters);
    double before = nodes.empty() ? 0.0 : nodes.front().t;
    for (const Node &node : nodes) {
        if (node.aid != Aid::Velocity)
            filter.forget();
        else
            filter.advanceBy(node.t - before);
        before = node.t;
        if (node.aid != Aid::Velocity || node.count == 0.0)
            continue;
        std::array<double, columns> ex{}, ey{};
        filter.take(node, aid.sensitivity(node.t), ex, ey);
        for (std::size_t r = 0; r < faultCount; ++r) {
            right[r] += ex[r + 1] * ex[0] + ey[r + 1] * ey[0];
            for (std::size_t c = 0; c < faultCount; ++c)
                normal[r][c] += ex[r + 1] * ex[c + 1] + ey[r + 1] * ey[c + 1];
        }
    }
    const FaultArray more = solve(normal, right);
    return {so_far[0] + more[0], so_far[1] + more[1], so_far[2] + more[2], so_far[3] + more[3]};
}

} // namespace holdfast::nav_detail
