// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/switching_smoother.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace holdfast::nav_detail
{
namespace
{

constexpr std::size_t fewest = 200; ///< aided nodes; with less the first-order model stands
constexpr std::size_t mostNodes = 6000;
/// Log odds against the smoother kinds before the data speak: where they can't tell, the wider radius stands.
constexpr double doubt = 3.0;

bool isAided(const Node &node)
{
    return node.count > 0.0 && node.acoustic && node.aid == Aid::Velocity;
}

/// How the slow error goes on: the Matern processes of half an order and of one and two more derivatives. The
/// first is Gauss-Markov.
enum class Shape { FirstOrder, SecondOrder, ThirdOrder };
constexpr std::array<Shape, 3> shapes{Shape::FirstOrder, Shape::SecondOrder, Shape::ThirdOrder};

/// Logarithms of the white and the slow deviation, over the stated one, and of the slow time.
using Errors = std::array<double, 3>;

/// Integral of the autocorrelation over all lags, per slow time. One that fits the third order best may be
/// smoother still, down to a Gaussian autocorrelation of the same curvature, sqrt(6 pi) instead of 16 / 3:
/// what stands here is 4 % above the former and 16 % below the latter.
double lengthOf(Shape shape)
{
    constexpr double third = 4.5;
    return shape == Shape::FirstOrder ? 2.0 : shape == Shape::SecondOrder ? 4.0 : third;
}

/// Variance of a mean over long times, times that time, over the stated variance: what the posterior is made
/// of.
double powerOf(Shape shape, const Errors &e, double spacingS)
{
    return std::exp(2.0 * e[0]) * spacingS + lengthOf(shape) * std::exp(2.0 * e[1] + e[2]);
}

constexpr std::size_t slowStates = 3;
using Slow = std::array<std::array<double, slowStates>, slowStates>;

/// Covariance of the slow error and its derivatives at any one time; `r` is the rate, one over the slow time.
Slow stationary(Shape shape, double r)
{
    Slow p{};
    p[0][0] = 1.0;
    if (shape == Shape::SecondOrder)
        p[1][1] = r * r;
    if (shape == Shape::ThirdOrder) {
        p[1][1] = r * r / 3.0;
        p[0][2] = p[2][0] = -r * r / 3.0;
        p[2][2] = r * r * r * r;
    }
    return p;
}

/// What they become on the mean after dt.
Slow transition(Shape shape, double r, double dt)
{
    const double x = r * dt, fade = std::exp(-x);
    Slow a{};
    if (shape == Shape::FirstOrder)
        a[0][0] = 1.0;
    else if (shape == Shape::SecondOrder)
        a = {{{1.0 + x, dt, 0.0}, {-r * x, 1.0 - x, 0.0}, {0.0, 0.0, 0.0}}};
    else
        a = {{{1.0 + x + 0.5 * x * x, dt * (1.0 + x), 0.5 * dt * dt},
              {-0.5 * r * x * x, 1.0 + x - x * x, dt * (1.0 - 0.5 * x)},
              {-r * r * x * (1.0 - 0.5 * x), -r * x * (3.0 - x), 1.0 - 2.0 * x + 0.5 * x * x}}};
    for (auto &row : a)
        for (double &v : row)
            v *= fade;
    return a;
}

/// Position, error of the velocity, slow error and its derivatives on both axes, with one covariance.
class ShapeFilter
{
public:
    ShapeFilter(Shape shape, const Errors &e, const MotionModel &motion)
        : m_shape(shape), m_slow(std::exp(e[1])), m_white(std::exp(2.0 * e[0])), m_rate(std::exp(-e[2])),
          m_speedVar(motion.aidedSpeedMs * motion.aidedSpeedMs), m_memoryS(motion.aidedMemoryS),
          m_stationary(stationary(shape, m_rate))
    {
    }

    /// Begins at a node, about which nothing else is known.
    void begin(const Node &node)
    {
        m_x = {node.x};
        m_y = {node.y};
        m_p = {};
        m_p[0][0] = 1e6;
        m_p[1][1] = m_speedVar;
        for (std::size_t r = 0; r < slowStates; ++r)
            for (std::size_t c = 0; c < slowStates; ++c)
                m_p[2 + r][2 + c] = m_stationary[r][c];
    }

    void advance(double dt)
    {
        const double keep = std::exp(-dt / m_memoryS), reach = m_memoryS * (1.0 - keep);
        const Slow a = transition(m_shape, m_rate, dt);
        const auto carry = [&](Vector &v) {
            v = {v[0] + reach * v[1], keep * v[1], a[0][0] * v[2] + a[0][1] * v[3] + a[0][2] * v[4],
                 a[1][0] * v[2] + a[1][1] * v[3] + a[1][2] * v[4],
                 a[2][0] * v[2] + a[2][1] * v[3] + a[2][2] * v[4]};
        };
        carry(m_x);
        carry(m_y);
        for (int side = 0; side < 2; ++side) { // the rows of the transposed, twice: transition on both sides
            for (Vector &row : m_p)
                carry(row);
            for (std::size_t r = 0; r < states; ++r)
                for (std::size_t c = 0; c < r; ++c)
                    std::swap(m_p[r][c], m_p[c][r]);
        }
        // noise of the integrated velocity by the leading term of its series: steps are short beside its
        // memory
        m_p[0][0] += m_speedVar * 2.0 * dt * dt * dt / (3.0 * m_memoryS);
        m_p[0][1] += m_speedVar * reach * (1.0 - keep);
        m_p[1][0] = m_p[0][1];
        m_p[1][1] += m_speedVar * (1.0 - keep * keep);
        for (std::size_t r = 0; r < slowStates; ++r)
            for (std::size_t c = 0; c < slowStates; ++c) {
                double left = m_stationary[r][c];
                for (std::size_t k = 0; k < slowStates; ++k)
                    for (std::size_t l = 0; l < slowStates; ++l)
                        left -= a[r][k] * m_stationary[k][l] * a[c][l];
                m_p[2 + r][2 + c] += left;
            }
    }

    /// Takes the node and gives the log density of its place.
    double take(const Node &node)
    {
        const Measurement z = measurementOf(node, m_slow, m_white);
        Vector h{};
        for (std::size_t k = 0; k < states; ++k)
            h[k] = m_p[k][0] + z.slowM * m_p[k][2];
        const double s = h[0] + z.slowM * h[2] + z.whiteVar;
        const double dx = z.x - m_x[0] - z.slowM * m_x[2], dy = z.y - m_y[0] - z.slowM * m_y[2];
        for (std::size_t r = 0; r < states; ++r) {
            m_x[r] += h[r] / s * dx;
            m_y[r] += h[r] / s * dy;
            for (std::size_t c = 0; c < states; ++c)
                m_p[r][c] -= h[r] * h[c] / s;
        }
        return -std::log(s) - 0.5 * (dx * dx + dy * dy) / s;
    }

private:
    static constexpr std::size_t states = 2 + slowStates;
    using Vector = std::array<double, states>;

    Shape m_shape;
    double m_slow, m_white, m_rate, m_speedVar, m_memoryS;
    Slow m_stationary;
    Vector m_x{}, m_y{};
    std::array<Vector, states> m_p{};
};

double penalty(double deviation, double below, double above)
{
    const double d = deviation / (deviation < 0.0 ? below : above);
    return 0.5 * d * d;
}

/// Log likelihood of the aided nodes, with what was known of the errors before (as the search has it).
double valueOf(Shape shape, const Errors &e, const Errors &stated, std::span<const Node> nodes,
               const MotionModel &motion)
{
    ShapeFilter filter(shape, e, motion);
    double sum =
        -penalty(e[1] - stated[1] - e[0] + stated[0], 2.0, 0.3) - penalty(e[2] - stated[2], 0.6, 0.4);
    bool known = false;
    double before = 0;
    for (const Node &node : nodes) {
        if (node.aid != Aid::Velocity || node.leapVar > 0.0)
            known = false;
        if (!isAided(node))
            continue;
        if (known)
            filter.advance(node.t - before);
        else
            filter.begin(node);
        const double density = filter.take(node);
        sum += known ? density : 0.0;
        known = true;
        before = node.t;
    }
    return sum;
}

struct Fit {
    Errors errors;
    double value;
};

Fit fitted(Shape shape, Errors start, const Errors &stated, std::span<const Node> nodes,
           const MotionModel &motion)
{
    Fit best{start, valueOf(shape, start, stated, nodes, motion)};
    Errors step{0.1, 0.2, 0.4};
    for (int round = 0; round < 8; ++round)
        for (std::size_t k = 0; k < step.size(); ++k) {
            bool improved = false;
            for (const double sign : {1.0, -1.0}) {
                Errors tried = best.errors;
                tried[k] += sign * step[k];
                if (const double v = valueOf(shape, tried, stated, nodes, motion); v > best.value) {
                    best = {tried, v};
                    step[k] *= sign;
                    improved = true;
                    break;
                }
            }
            step[k] *= improved ? 1.2 : 0.45;
        }
    return best;
}

Errors errorsOf(const SwitchingParameters &p, Shape shape)
{
    const double scale = std::log(p.sigmaScale);
    // the time that has the same power over long times
    const double time = p.motion.slowTimeS * lengthOf(Shape::FirstOrder) / lengthOf(shape);
    return {scale + 0.5 * std::log(1.0 - p.slowShare), scale + 0.5 * std::log(p.slowShare), std::log(time)};
}

} // namespace

double aidedVarianceRatio(std::span<const Node> nodes, const SwitchingParameters &p,
                          const SwitchingParameters &stated)
{
    const auto aided = static_cast<std::size_t>(std::ranges::count_if(nodes, isAided));
    if (aided < fewest)
        return 1.0;
    const auto first = std::ranges::find_if(nodes, isAided);
    if (aided > mostNodes) { // the first hours tell it
        auto end = first;
        for (std::size_t seen = 0; seen < mostNodes; ++end)
            seen += isAided(*end) ? 1U : 0U;
        nodes = std::span(first, end);
    } else {
        nodes = std::span(first, nodes.end());
    }
    double covered = 0;
    for (std::size_t i = 1; i < nodes.size(); ++i)
        covered += isAided(nodes[i]) ? std::min(nodes[i].t - nodes[i - 1].t, 60.0) : 0.0;
    const double spacing = covered / static_cast<double>(std::min(aided, mostNodes));
    std::array<Fit, shapes.size()> fits{};
    double best = -1e300;
    for (std::size_t k = 0; k < shapes.size(); ++k) {
        fits[k] = fitted(shapes[k], errorsOf(p, shapes[k]), errorsOf(stated, shapes[k]), nodes, p.motion);
        fits[k].value -= shapes[k] == Shape::FirstOrder ? 0.0 : doubt;
        best = std::max(best, fits[k].value);
    }
    const double modelled = powerOf(Shape::FirstOrder, errorsOf(p, Shape::FirstOrder), spacing);
    double ratio = 0, weights = 0;
    for (std::size_t k = 0; k < shapes.size(); ++k) {
        const double weight = std::exp(fits[k].value - best);
        // the search has its own say on the first order
        ratio +=
            weight *
            (shapes[k] == Shape::FirstOrder ? 1.0 : powerOf(shapes[k], fits[k].errors, spacing) / modelled);
        weights += weight;
    }
    return ratio / weights;
}

} // namespace holdfast::nav_detail
