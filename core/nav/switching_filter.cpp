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

constexpr double longestStepS = 15.0;
constexpr double leastWeight = 1e-9; ///< a mode is never given up for good

/// exp(-x) for x >= 0; by its series where that is exact enough, which is most of the time and several times
/// faster.
double decay(double x)
{
    if (x > 0.2)
        return std::exp(-x);
    return 1.0 - x * (1.0 - x / 2.0 * (1.0 - x / 3.0 * (1.0 - x / 4.0 * (1.0 - x / 5.0 * (1.0 - x / 6.0)))));
}

/// An integrated Ornstein-Uhlenbeck velocity over dt.
struct Drift {
    double keep = 1, reach = 0, qpp = 0, qpv = 0, qvv = 0;

    Drift(double speedMs, double memoryS, double dt)
    {
        const double x = dt / memoryS, f = decay(x), var = speedMs * speedMs, tau = memoryS;
        keep = f;
        reach = tau * (1.0 - f);
        qvv = var * (1.0 - f * f);
        qpv = var * reach * (1.0 - f);
        // the closed form cancels for short steps, where the leading terms of its series are exact enough
        qpp = x < 0.02 ? var * 2.0 * dt * dt * x / 3.0 * (1.0 - 0.75 * x)
                       : var * tau * (2.0 * dt - tau * (3.0 - 4.0 * f + f * f));
    }
};

/// Position and slow error kept, velocity drawn anew.
Gaussian redrawn(const Gaussian &g, double speedMs, double factor)
{
    Gaussian r = g;
    r.x[1] = r.y[1] = 0.0;
    r.pv = r.vu = 0.0;
    r.vv = speedMs * speedMs;
    r.weight *= factor;
    return r;
}

/// One Gaussian with the moments of the sum (spread of the means averaged over both axes).
template <std::size_t N>
Gaussian merged(const std::array<Gaussian, N> &parts)
{
    double sum = 0;
    for (const Gaussian &g : parts)
        sum += g.weight;
    Gaussian r;
    r.weight = sum;
    std::array<double, N> w{};
    for (std::size_t i = 0; i < N; ++i) {
        w[i] = parts[i].weight / sum;
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
void carry(Gaussian &g, const Drift &d, double slowKeep, double sign, double leapVar)
{
    const double f = d.keep, h = sign * d.reach, c = slowKeep;
    for (auto *axis : {&g.x, &g.y}) {
        (*axis)[0] += h * (*axis)[1];
        (*axis)[1] *= f;
        (*axis)[2] *= c;
    }
    const double pp = g.pp + 2.0 * h * g.pv + h * h * g.vv;
    const double pv = f * (g.pv + h * g.vv);
    const double pu = c * (g.pu + h * g.vu);
    g.pp = pp + d.qpp + leapVar;
    g.pv = pv + sign * d.qpv;
    g.pu = pu;
    g.vv = f * f * g.vv + d.qvv;
    g.vu = f * c * g.vu;
    g.uu = c * c * g.uu + 1.0 - c * c;
}

void normalize(Mixture &mixture)
{
    double sum = 0;
    for (const Gaussian &g : mixture)
        sum += g.weight;
    for (Gaussian &g : mixture)
        g.weight = std::max(leastWeight, g.weight / sum);
}

/// Changes of mode, then the dynamics of each.
void stepUnaided(Mixture &mixture, const MotionModel &model, double dt, bool forward, double leapVar)
{
    const double starts = 1.0 - decay(dt / model.restS);
    const double stop = dt / model.transitS, turn = dt / model.courseS;
    const double changes = 1.0 - decay(stop + turn);
    const double stops = changes * stop / (stop + turn), turns = changes - stops;
    // The likelihood of what comes later, given the mode now, sums over the modes to come: the same sum with
    // the probabilities of change transposed.
    const double intoRest = forward ? stops : starts, intoTransit = forward ? starts : stops;
    Gaussian rest = mixture[0], transit = mixture[1];
    const Gaussian toRest = redrawn(transit, model.speedMs[0], intoRest);
    const Gaussian toTransit = redrawn(rest, model.speedMs[1], intoTransit);
    const Gaussian turned = redrawn(transit, model.speedMs[1], turns);
    rest.weight *= 1.0 - starts;
    transit.weight *= 1.0 - changes;
    mixture[0] = merged<2>({rest, toRest});
    mixture[1] = merged<3>({transit, toTransit, turned});
    const double slowKeep = decay(dt / model.slowTimeS), sign = forward ? 1.0 : -1.0;
    for (std::size_t k = 0; k < modes; ++k)
        carry(mixture[k], Drift(model.speedMs[k], model.memoryS[k], dt), slowKeep, sign, leapVar);
}

double speedOf(const MotionModel &model, Aid aid, std::size_t mode)
{
    return aid == Aid::Velocity ? model.aidedSpeedMs : model.speedMs[mode];
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

Mixture vague(const MotionModel &model, Aid aid, double x, double y)
{
    Mixture mixture;
    for (std::size_t k = 0; k < modes; ++k) {
        Gaussian &g = mixture[k];
        g.x[0] = x;
        g.y[0] = y;
        g.pp = 1e6;
        g.vv = speedOf(model, aid, k) * speedOf(model, aid, k);
        g.uu = 1.0;
        g.weight = 1.0 / modes;
    }
    return mixture;
}

void advance(Mixture &mixture, const MotionModel &model, double dt, Direction direction, Aid aid,
             double leapVar)
{
    const bool forward = direction == Direction::Forward;
    if (!(dt > 0.0)) {
        for (Gaussian &g : mixture)
            g.pp += leapVar;
    } else if (aid == Aid::Velocity) {
        const Drift drift(model.aidedSpeedMs, model.aidedMemoryS, dt);
        for (Gaussian &g : mixture)
            carry(g, drift, decay(dt / model.slowTimeS), forward ? 1.0 : -1.0, leapVar);
    } else if (dt <= longestStepS) {
        stepUnaided(mixture, model, dt, forward, leapVar);
    } else {
        const int steps = std::min(static_cast<int>(std::ceil(dt / longestStepS)), 240);
        for (int i = 0; i < steps; ++i)
            stepUnaided(mixture, model, dt / steps, forward, leapVar / steps);
    }
}

void enter(Mixture &mixture, const MotionModel &model, Aid aid)
{
    for (std::size_t k = 0; k < modes; ++k)
        mixture[k] = redrawn(mixture[k], speedOf(model, aid, k), 1.0);
}

Agreement update(Mixture &mixture, const Measurement &z)
{
    const double a = z.slowM;
    std::array<double, modes> exponent{}, perVariance{};
    for (std::size_t k = 0; k < modes; ++k) {
        Gaussian &g = mixture[k];
        const double hp = g.pp + a * g.pu, hv = g.pv + a * g.vu, hu = g.pu + a * g.uu;
        const double inverse = 1.0 / (hp + a * hu + z.whiteVar);
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
        exponent[k] = 0.5 * (ex * ex + ey * ey) * inverse;
        perVariance[k] = inverse;
    }
    const double least = std::min(exponent[0], exponent[1]);
    double sum = 0;
    for (std::size_t k = 0; k < modes; ++k) {
        const double above = exponent[k] - least;
        mixture[k].weight *= perVariance[k] * (above > 0.0 ? std::exp(-above) : 1.0);
        sum += mixture[k].weight;
    }
    for (Gaussian &g : mixture)
        g.weight = std::max(leastWeight, g.weight / sum);
    return {std::log(sum / (2.0 * std::numbers::pi)) - least, least};
}

Mixture combine(const Mixture &forward, const Mixture &backward, const MotionModel &model, Aid aid)
{
    Mixture result;
    std::array<double, modes> logWeight{};
    for (std::size_t k = 0; k < modes; ++k) {
        const Gaussian &f = forward[k], &b = backward[k];
        const double prior = 1.0 / (speedOf(model, aid, k) * speedOf(model, aid, k));
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
        logWeight[k] = std::log(f.weight * b.weight / (fd * bd * prior * id));
        const auto axis = [&](const std::array<double, 3> &fm, const std::array<double, 3> &bm) {
            // about the forward position, so that no large coordinates are squared
            const std::array<double, 3> a{0.0, fm[1], fm[2]}, c{bm[0] - fm[0], bm[1], bm[2]};
            const auto fa = fi.times(a), bb = bi.times(c);
            const std::array<double, 3> eta{fa[0] + bb[0], fa[1] + bb[1], fa[2] + bb[2]};
            std::array<double, 3> mean = cov.times(eta);
            logWeight[k] -= 0.5 * (dot(a, fa) + dot(c, bb) - dot(eta, mean));
            mean[0] += fm[0];
            return mean;
        };
        r.x = axis(f.x, b.x);
        r.y = axis(f.y, b.y);
    }
    const double top = std::max(logWeight[0], logWeight[1]);
    for (std::size_t k = 0; k < modes; ++k)
        result[k].weight = std::exp(logWeight[k] - top);
    normalize(result);
    return result;
}

} // namespace holdfast::nav_detail
