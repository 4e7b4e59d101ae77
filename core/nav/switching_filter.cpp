// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/switching_filter.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace holdfast::nav_detail
{
namespace
{

/// What a step of dt does to velocity (integrated Ornstein-Uhlenbeck) and slow error, and how modes change.
struct Step {
    std::array<double, modes> decay{}, reach{}, qpp{}, qpv{}, qvv{};
    double slowDecay = 0, quu = 0;
    double logRestStays = 0, logRestStarts = 0;
    double logTransitStays = 0, logTransitStops = 0, logTransitTurns = 0;

    Step(const MotionModel &m, double dt)
    {
        for (std::size_t k = 0; k < modes; ++k) {
            const double tau = m.memoryS[k], var = m.speedMs[k] * m.speedMs[k];
            const double f = std::exp(-dt / tau);
            decay[k] = f;
            reach[k] = tau * (1.0 - f);
            qvv[k] = var * (1.0 - f * f);
            qpv[k] = var * tau * (1.0 - f) * (1.0 - f);
            // the closed form cancels for short steps, where the leading term of its series is exact enough
            qpp[k] = dt < 0.01 * tau ? var * 2.0 * dt * dt * dt / (3.0 * tau)
                                     : var * tau * (2.0 * dt - tau * (3.0 - 4.0 * f + f * f));
        }
        slowDecay = std::exp(-dt / m.slowTimeS);
        quu = 1.0 - slowDecay * slowDecay;
        const double start = -std::expm1(-dt / m.restS);
        const double stop = dt / m.transitS, turn = dt / m.courseS;
        const double change = -std::expm1(-stop - turn);
        logRestStarts = std::log(start);
        logRestStays = -dt / m.restS;
        logTransitStays = -stop - turn;
        logTransitStops = std::log(change * stop / (stop + turn));
        logTransitTurns = std::log(change * turn / (stop + turn));
    }
};

/// Position and slow error kept, velocity drawn anew.
Gaussian redrawn(const Gaussian &g, double speedMs, double logFactor)
{
    Gaussian r = g;
    r.x[1] = r.y[1] = 0.0;
    r.pv = r.vu = 0.0;
    r.vv = speedMs * speedMs;
    r.logWeight += logFactor;
    return r;
}

/// One Gaussian with the moments of the sum (spread of the means averaged over both axes).
template <std::size_t N>
Gaussian merged(const std::array<Gaussian, N> &parts)
{
    double top = parts[0].logWeight;
    for (const Gaussian &g : parts)
        top = std::max(top, g.logWeight);
    std::array<double, N> w{};
    double sum = 0;
    for (std::size_t i = 0; i < N; ++i)
        sum += w[i] = std::exp(parts[i].logWeight - top);
    Gaussian r;
    r.logWeight = top + std::log(sum);
    for (std::size_t i = 0; i < N; ++i) {
        w[i] /= sum;
        for (std::size_t k = 0; k < 3; ++k) {
            r.x[k] += w[i] * parts[i].x[k];
            r.y[k] += w[i] * parts[i].y[k];
        }
    }
    for (std::size_t i = 0; i < N; ++i) {
        const Gaussian &g = parts[i];
        std::array<double, 3> dx{}, dy{};
        for (std::size_t k = 0; k < 3; ++k) {
            dx[k] = g.x[k] - r.x[k];
            dy[k] = g.y[k] - r.y[k];
        }
        const auto spread = [&](std::size_t a, std::size_t b) {
            return 0.5 * (dx[a] * dx[b] + dy[a] * dy[b]);
        };
        r.pp += w[i] * (g.pp + spread(0, 0));
        r.pv += w[i] * (g.pv + spread(0, 1));
        r.pu += w[i] * (g.pu + spread(0, 2));
        r.vv += w[i] * (g.vv + spread(1, 1));
        r.vu += w[i] * (g.vu + spread(1, 2));
        r.uu += w[i] * (g.uu + spread(2, 2));
    }
    return r;
}

/// The dynamics of one mode; backward, the reversed process of the same stationary velocity.
void carry(Gaussian &g, const Step &s, std::size_t mode, double sign, double leapVar)
{
    const double f = s.decay[mode], h = sign * s.reach[mode], c = s.slowDecay;
    for (auto *axis : {&g.x, &g.y}) {
        (*axis)[0] += h * (*axis)[1];
        (*axis)[1] *= f;
        (*axis)[2] *= c;
    }
    const double pp = g.pp + 2.0 * h * g.pv + h * h * g.vv;
    const double pv = f * (g.pv + h * g.vv);
    const double pu = c * (g.pu + h * g.vu);
    g.pp = pp + s.qpp[mode] + leapVar;
    g.pv = pv + sign * s.qpv[mode];
    g.pu = pu;
    g.vv = f * f * g.vv + s.qvv[mode];
    g.vu = f * c * g.vu;
    g.uu = c * c * g.uu + s.quu;
}

/// A symmetric 3 x 3 matrix in the order pp pv pu vv vu uu.
struct Symmetric {
    double pp, pv, pu, vv, vu, uu;

    [[nodiscard]] double determinant() const
    {
        return pp * (vv * uu - vu * vu) - pv * (pv * uu - vu * pu) + pu * (pv * vu - vv * pu);
    }
    [[nodiscard]] Symmetric inverse(double det) const
    {
        const double d = 1.0 / det;
        return {d * (vv * uu - vu * vu), d * (pu * vu - pv * uu), d * (pv * vu - pu * vv),
                d * (pp * uu - pu * pu), d * (pv * pu - pp * vu), d * (pp * vv - pv * pv)};
    }
    [[nodiscard]] std::array<double, 3> times(const std::array<double, 3> &a) const
    {
        return {pp * a[0] + pv * a[1] + pu * a[2], pv * a[0] + vv * a[1] + vu * a[2],
                pu * a[0] + vu * a[1] + uu * a[2]};
    }
};

double dot(const std::array<double, 3> &a, const std::array<double, 3> &b)
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

Symmetric covarianceOf(const Gaussian &g)
{
    return {g.pp, g.pv, g.pu, g.vv, g.vu, g.uu};
}

} // namespace

Mixture vague(const MotionModel &model, double x, double y)
{
    Mixture mixture;
    for (std::size_t k = 0; k < modes; ++k) {
        Gaussian &g = mixture[k];
        g.x[0] = x;
        g.y[0] = y;
        g.pp = 1e6;
        g.vv = model.speedMs[k] * model.speedMs[k];
        g.uu = 1.0;
        g.logWeight = -std::numbers::ln2;
    }
    return mixture;
}

void advance(Mixture &mixture, const MotionModel &model, double dt, Direction direction, double leapVar)
{
    if (!(dt > 0.0))
        return;
    const Step s(model, dt);
    Gaussian rest = mixture[0], transit = mixture[1];
    const bool forward = direction == Direction::Forward;
    // The likelihood of what comes later, given the mode now, sums over the modes to come: the same sum with
    // the probabilities of change transposed.
    const double intoRest = forward ? s.logTransitStops : s.logRestStarts;
    const double intoTransit = forward ? s.logRestStarts : s.logTransitStops;
    const Gaussian toRest = redrawn(transit, model.speedMs[0], intoRest);
    const Gaussian toTransit = redrawn(rest, model.speedMs[1], intoTransit);
    const Gaussian turned = redrawn(transit, model.speedMs[1], s.logTransitTurns);
    rest.logWeight += s.logRestStays;
    transit.logWeight += s.logTransitStays;
    mixture[0] = merged<2>({rest, toRest});
    mixture[1] = merged<3>({transit, toTransit, turned});
    const double sign = forward ? 1.0 : -1.0;
    carry(mixture[0], s, 0, sign, leapVar);
    carry(mixture[1], s, 1, sign, leapVar);
}

double update(Mixture &mixture, const Measurement &z)
{
    const double a = z.slowM;
    double top = -std::numeric_limits<double>::infinity();
    for (Gaussian &g : mixture) {
        const double hp = g.pp + a * g.pu, hv = g.pv + a * g.vu, hu = g.pu + a * g.uu;
        const double s = hp + a * hu + z.whiteVar, inverse = 1.0 / s;
        const double ex = z.x - g.x[0] - a * g.x[2], ey = z.y - g.y[0] - a * g.y[2];
        const double kp = hp * inverse, kv = hv * inverse, ku = hu * inverse;
        g.x[0] += kp * ex;
        g.x[1] += kv * ex;
        g.x[2] += ku * ex;
        g.y[0] += kp * ey;
        g.y[1] += kv * ey;
        g.y[2] += ku * ey;
        g.pp -= kp * hp;
        g.pv -= kp * hv;
        g.pu -= kp * hu;
        g.vv -= kv * hv;
        g.vu -= kv * hu;
        g.uu -= ku * hu;
        g.logWeight -= 0.5 * (ex * ex + ey * ey) * inverse + std::log(2.0 * std::numbers::pi * s);
        top = std::max(top, g.logWeight);
    }
    double sum = 0;
    for (const Gaussian &g : mixture)
        sum += std::exp(g.logWeight - top);
    const double total = top + std::log(sum);
    for (Gaussian &g : mixture)
        g.logWeight -= total;
    return total;
}

void normalize(Mixture &mixture)
{
    double top = -std::numeric_limits<double>::infinity(), sum = 0;
    for (const Gaussian &g : mixture)
        top = std::max(top, g.logWeight);
    for (const Gaussian &g : mixture)
        sum += std::exp(g.logWeight - top);
    for (Gaussian &g : mixture)
        g.logWeight -= top + std::log(sum);
}

Mixture combine(const Mixture &forward, const Mixture &backward, const MotionModel &model)
{
    Mixture result;
    for (std::size_t k = 0; k < modes; ++k) {
        const Gaussian &f = forward[k], &b = backward[k];
        const double prior = 1.0 / (model.speedMs[k] * model.speedMs[k]);
        const Symmetric fc = covarianceOf(f), bc = covarianceOf(b);
        const double fd = fc.determinant(), bd = bc.determinant();
        const Symmetric fi = fc.inverse(fd), bi = bc.inverse(bd);
        // velocity and slow error have their stationary prior in both: once too often
        const Symmetric information{fi.pp + bi.pp,         fi.pv + bi.pv, fi.pu + bi.pu,
                                    fi.vv + bi.vv - prior, fi.vu + bi.vu, fi.uu + bi.uu - 1.0};
        const double id = information.determinant();
        const Symmetric cov = information.inverse(id);
        Gaussian &r = result[k];
        r.pp = cov.pp;
        r.pv = cov.pv;
        r.pu = cov.pu;
        r.vv = cov.vv;
        r.vu = cov.vu;
        r.uu = cov.uu;
        r.logWeight =
            f.logWeight + b.logWeight - std::log(fd) - std::log(bd) - std::log(prior) - std::log(id);
        const auto axis = [&](const std::array<double, 3> &fm, const std::array<double, 3> &bm) {
            // about the forward position, so that no large coordinates are squared
            const std::array<double, 3> a{0.0, fm[1], fm[2]}, c{bm[0] - fm[0], bm[1], bm[2]};
            const auto fa = fi.times(a), bb = bi.times(c);
            const std::array<double, 3> eta{fa[0] + bb[0], fa[1] + bb[1], fa[2] + bb[2]};
            std::array<double, 3> mean = cov.times(eta);
            r.logWeight -= 0.5 * (dot(a, fa) + dot(c, bb) - dot(eta, mean));
            mean[0] += fm[0];
            return mean;
        };
        r.x = axis(f.x, b.x);
        r.y = axis(f.y, b.y);
    }
    normalize(result);
    return result;
}

} // namespace holdfast::nav_detail
