// SPDX-License-Identifier: GPL-3.0-or-later
#include "simulated_dive.h"

#include "nav/geodesic.h"
#include "water/depth.h"
#include "water/salinity.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdfast::demo
{

namespace
{

constexpr double descentMs = 0.5;
constexpr double soakMin = 4; // the vehicle hangs at the surface after launch and before it is lifted

/// A generator of our own, so that the demo has the same bytes with every standard library (SplitMix64,
/// public domain algorithm by Sebastiano Vigna).
class Random
{
public:
    explicit Random(std::uint64_t seed) : m_state(seed) {}
    double uniform() { return static_cast<double>(next() >> 11) * 0x1.0p-53; }
    double normal()
    {
        const double r = std::sqrt(-2 * std::log(1 - uniform()));
        return r * std::cos(2 * std::numbers::pi * uniform());
    }

private:
    std::uint64_t next()
    {
        std::uint64_t z = (m_state += 0x9e3779b97f4a7c15);
        z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9;
        z = (z ^ (z >> 27)) * 0x94d049bb133111eb;
        return z ^ (z >> 31);
    }
    std::uint64_t m_state;
};

/// A value that wanders about zero with a memory of `tauS` (first-order Gauss-Markov).
class Wander
{
public:
    Wander(double sigma, double tauS) : m_sigma(sigma), m_tau(tauS) {}
    double step(Random &random, double dt)
    {
        const double keep = std::exp(-dt / m_tau);
        m_value = keep * m_value + m_sigma * std::sqrt(1 - keep * keep) * random.normal();
        return m_value;
    }

private:
    double m_sigma, m_tau, m_value = 0;
};

struct Place {
    double eastM, northM, depthM;
};

double smooth(double x)
{
    x = std::clamp(x, 0.0, 1.0);
    return x * x * (3 - 2 * x);
}

/// Where the vehicle truly is, `t` seconds after launch.
Place placeAt(const DivePlan &plan, double t)
{
    const double min = t / 60;
    const Stop &first = plan.stops.front();
    const Stop &last = plan.stops.back();
    double east = first.eastM * smooth((min - soakMin) / (first.fromMin - soakMin));
    double north = first.northM * smooth((min - soakMin) / (first.fromMin - soakMin));
    double way = 0;
    for (std::size_t i = 0; i + 1 < plan.stops.size(); ++i) {
        const Stop &a = plan.stops[i];
        const Stop &b = plan.stops[i + 1];
        if (min < a.toMin)
            break;
        const double share = smooth((min - a.toMin) / (b.fromMin - a.toMin));
        east = a.eastM + share * (b.eastM - a.eastM);
        north = a.northM + share * (b.northM - a.northM);
        way += share * std::hypot(b.eastM - a.eastM, b.northM - a.northM);
    }
    double depth = plan.bottomM - plan.risePerMetre * way;
    if (min < first.fromMin)
        depth = std::clamp((t - soakMin * 60) * descentMs, 0.0, plan.bottomM);
    if (min > last.toMin)
        depth = std::max(0.0, depth - (min - last.toMin) * 60 * descentMs * 1.1);
    return {east, north, depth};
}

double temperatureAt(double depthM)
{
    return 2.3 + 22.5 * std::exp(-std::max(depthM - 55, 0.0) / 330);
}
double salinityAt(double depthM)
{
    const double z = std::max(depthM - 55, 0.0);
    return 34.62 + 0.75 * std::exp(-z / 260) - 0.22 * std::exp(-std::pow((z - 720) / 240, 2));
}
double oxygenAt(double depthM)
{
    return 205 - 68 * std::exp(-std::pow((depthM - 620) / 310, 2));
}

QByteArray timeText(const DivePlan &plan, double t)
{
    const auto offset = Microseconds(static_cast<std::int64_t>(std::llround(t * 1000)) * 1000);
    return toIso(plan.launch + offset).toLatin1();
}

QByteArray fixed(double value, int decimals)
{
    return QByteArray::number(value, 'f', decimals);
}

double heading(const DivePlan &plan, double t)
{
    const Place a = placeAt(plan, t - 20);
    const Place b = placeAt(plan, t + 20);
    const double h = std::atan2(b.eastM - a.eastM, b.northM - a.northM) * 180 / std::numbers::pi;
    return std::fmod(h + 360, 360);
}

QByteArray positionLog(const DivePlan &plan)
{
    Random random(plan.seed);
    Wander slowEast(1, 35);
    Wander slowNorth(1, 35);
    Wander realEast(0.2, 25);
    Wander realNorth(0.2, 25);
    QByteArray out = "time_utc,latitude_deg,longitude_deg,depth_m,heading_deg\n";
    QByteArray late;
    double silentUntil = 0;
    const double step = 1 / plan.fixHz;
    for (double t = 30; t < plan.endMin * 60; t += step) {
        const Place p = placeAt(plan, t);
        const double sigma = std::max(0.5, 0.005 * p.depthM) * std::numbers::sqrt2 / 2;
        double east =
            p.eastM + realEast.step(random, step) + sigma * (random.normal() + slowEast.step(random, step));
        double north = p.northM + realNorth.step(random, step) +
                       sigma * (random.normal() + slowNorth.step(random, step));
        if (random.uniform() < 0.02) {
            const double angle = 2 * std::numbers::pi * random.uniform();
            const double miss = 30 + 300 * random.uniform();
            east += miss * std::sin(angle);
            north += miss * std::cos(angle);
        }
        if (random.uniform() < step / 900)
            silentUntil = t + 15 + 120 * random.uniform();
        const double fate = random.uniform();
        if (t < silentUntil)
            continue;
        const auto place =
            geodesicPoint({plan.latitudeDeg, plan.longitudeDeg},
                          std::atan2(east, north) * 180 / std::numbers::pi, std::hypot(east, north));
        if (!place)
            continue;
        const double depth = std::max(0.0, p.depthM + 0.4 * random.normal());
        const QByteArray row = timeText(plan, t + 0.04 * random.normal()) + ',' +
                               fixed(place->latitudeDeg, 7) + ',' + fixed(place->longitudeDeg, 7) + ',' +
                               fixed(depth, 2) + ',' + fixed(heading(plan, t), 1) + '\n';
        if (fate < 0.002 && late.isEmpty()) {
            late = row; // comes after the next one
            continue;
        }
        out += row + late;
        late.clear();
        if (fate > 0.998)
            out += row; // logged twice
    }
    return out;
}

QByteArray ctdLog(const DivePlan &plan)
{
    Random random(plan.seed + 1000);
    QByteArray out = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg\n";
    const double frozenFrom = (onBottomMin(plan) + 25) * 60;
    double frozen = 0;
    const double end = plan.endMin * 60;
    const auto rows = static_cast<std::int64_t>(end * plan.ctdHz);
    for (std::int64_t i = 0; i < rows; ++i) {
        const double t = static_cast<double>(i) / plan.ctdHz;
        const Place p = placeAt(plan, t);
        const double internalWave = p.depthM > 30 ? 5 * std::sin(t / 860) + 1.5 * std::sin(t / 190) : 0;
        const double z = p.depthM + internalWave;
        const bool inAir = t < 90 || t > end - 120;
        double temperature = inAir ? 27.5 : temperatureAt(z);
        double pressure = inAir ? 0 : pressureFromDepthTeos10(p.depthM, plan.latitudeDeg);
        double conductivity = inAir ? 0.01 : conductivityFromSalinity(salinityAt(z), temperature, pressure);
        double oxygen = inAir ? 205 : oxygenAt(z);
        if (t > frozenFrom && t < frozenFrom + 60)
            conductivity = frozen == 0 ? (frozen = conductivity) : frozen;
        else
            conductivity += 0.0006 * random.normal();
        if (random.uniform() < 1 / (700 * plan.ctdHz))
            temperature += 6 * (random.uniform() - 0.5);
        temperature += 0.0005 * random.normal();
        pressure += 0.02 * random.normal();
        oxygen += 0.25 * random.normal();
        out += timeText(plan, t) + ',' + fixed(conductivity, 4) + ',' + fixed(temperature, 4) + ',' +
               fixed(pressure, 3) + ',' + fixed(oxygen, 2) + '\n';
    }
    return out;
}

QByteArray velocityLog(const DivePlan &plan)
{
    Random random(plan.seed + 2000);
    QByteArray out = "time_utc,forward_m_s,starboard_m_s,down_m_s,altitude_m,heading_deg\n";
    for (double t = onBottomMin(plan) * 60; t < offBottomMin(plan) * 60; t += 1) {
        const Place a = placeAt(plan, t - 0.5);
        const Place b = placeAt(plan, t + 0.5);
        const double h = heading(plan, t);
        const double rad = h * std::numbers::pi / 180;
        const double east = b.eastM - a.eastM;
        const double north = b.northM - a.northM;
        out += timeText(plan, t) + ',' +
               fixed(east * std::sin(rad) + north * std::cos(rad) + 0.01 * random.normal(), 4) + ',' +
               fixed(east * std::cos(rad) - north * std::sin(rad) + 0.01 * random.normal(), 4) + ',' +
               fixed(b.depthM - a.depthM + 0.01 * random.normal(), 4) + ',' +
               fixed(1.6 + 0.1 * random.normal(), 2) + ',' + fixed(h, 2) + '\n';
    }
    return out;
}

} // namespace

double onBottomMin(const DivePlan &plan)
{
    return soakMin + plan.bottomM / descentMs / 60;
}

double offBottomMin(const DivePlan &plan)
{
    return plan.stops.back().toMin;
}

DiveLogs simulate(const DivePlan &plan)
{
    return {positionLog(plan), ctdLog(plan), plan.withVelocities ? velocityLog(plan) : QByteArray()};
}

} // namespace holdfast::demo
