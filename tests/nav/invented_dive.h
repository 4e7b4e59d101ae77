// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// An invented dive whose truth is known, for the tests and benchmarks of core/nav. Same seed, same dive.

#include "feed/records.h"

#include <GeographicLib/LocalCartesian.hpp>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

namespace holdfast::test
{

struct DiveRecipe {
    unsigned seed = 1;
    double hours = 2.0;
    double spacingS = 2.0;
    double depthM = 1200.0;
    double slowShare = 0.0; ///< of the variance, shared by fixes over slowTimeS (first-order Gauss-Markov)
    double slowTimeS = 60.0;
    bool smoothSlow = false;    ///< the slow part is white noise under a Gaussian window of slowTimeS instead
    double sigmaM = 0;          ///< of a fix on each axis; 0: 0.5 % of the depth
    double outlierShare = 0.03; ///< of 20 to 400 m
    double latitudeDeg = -31.0;
    double longitudeDeg = -128.0;
    bool velocities = false;
};

struct InventedDive {
    std::vector<PositionRecord> positions;
    std::vector<VelocityRecord> velocities;
    std::vector<UtcTime> sampleTimes; ///< during stops
    std::vector<double> sampleEastM, sampleNorthM;
    GeographicLib::LocalCartesian plane;

    [[nodiscard]] double errorM(std::size_t sample, double latitudeDeg, double longitudeDeg) const
    {
        double x = 0, y = 0, z = 0;
        plane.Forward(latitudeDeg, longitudeDeg, 0.0, x, y, z);
        return std::hypot(x - sampleEastM[sample], y - sampleNorthM[sample]);
    }
};

/// Random numbers that are the same with every standard library.
class Dice
{
public:
    explicit Dice(unsigned seed) : m_engine(seed * 7919U + 17U) {}
    double uniform(double low = 0.0, double high = 1.0)
    {
        return low + (high - low) * static_cast<double>(m_engine() >> 11U) * 0x1.0p-53;
    }
    double normal()
    {
        return std::sqrt(-2.0 * std::log(1.0 - uniform())) * std::cos(2.0 * std::numbers::pi * uniform());
    }

private:
    std::mt19937_64 m_engine;
};

/// The true track once a second: legs at 0.1 to 0.35 m/s and stops, with a hover of some centimetres a
/// second.
struct TrueTrack {
    std::vector<double> east, north;
    std::vector<bool> stopped;
    [[nodiscard]] static double at(const std::vector<double> &series, double t)
    {
        const auto i = std::min(static_cast<std::size_t>(t), series.size() - 2);
        const double f = t - static_cast<double>(i);
        return series[i] + f * (series[i + 1] - series[i]);
    }
};

inline TrueTrack trueTrack(Dice &dice, double seconds)
{
    TrueTrack track;
    double e = 0, n = 0, hoverE = 0, hoverN = 0, speed = 0,
           course = dice.uniform(0.0, 2.0 * std::numbers::pi);
    double target = 0, left = 0;
    bool stop = false;
    for (double t = 0; t <= seconds + 2.0; t += 1.0) {
        if (left <= 0.0) {
            stop = !stop;
            left = stop ? dice.uniform(60.0, 240.0) : dice.uniform(60.0, 200.0);
            target = stop ? 0.0 : dice.uniform(0.1, 0.35);
            course += 0.4 * dice.normal();
        }
        left -= 1.0;
        speed += (target - speed) / 6.0;
        hoverE += -hoverE / 15.0 + 0.003 * dice.normal();
        hoverN += -hoverN / 15.0 + 0.003 * dice.normal();
        e += speed * std::sin(course) + hoverE;
        n += speed * std::cos(course) + hoverN;
        track.east.push_back(e);
        track.north.push_back(n);
        track.stopped.push_back(stop && speed < 0.01);
    }
    return track;
}

inline UtcTime diveTime(double s)
{
    return utcFromMicroseconds(1'900'000'000'000'000 + std::llround(s * 1e6));
}

/// A slow error of unit variance, one axis, asked for at rising times.
class SlowError
{
public:
    SlowError(const DiveRecipe &recipe, Dice &dice) : m_recipe(recipe)
    {
        if (!recipe.smoothSlow)
            return;
        // Ten values within the window's deviation; the window is cut at four deviations.
        constexpr int half = 40;
        const auto count = static_cast<std::size_t>(recipe.hours * 36000.0 / recipe.slowTimeS) + 2 * half + 3;
        std::vector<double> white(count);
        for (double &w : white)
            w = dice.normal();
        std::array<double, 2 * half + 1> window{};
        double power = 0;
        for (std::size_t k = 0; k < window.size(); ++k) {
            const double z = (static_cast<double>(k) - half) / 10.0;
            window[k] = std::exp(-0.5 * z * z);
            power += window[k] * window[k];
        }
        for (std::size_t i = 0; i + window.size() < count; ++i) {
            double sum = 0;
            for (std::size_t k = 0; k < window.size(); ++k)
                sum += window[k] * white[i + k];
            m_series.push_back(sum / std::sqrt(power));
        }
    }
    double next(double t, Dice &dice)
    {
        if (m_recipe.smoothSlow)
            return TrueTrack::at(m_series, 10.0 * t / m_recipe.slowTimeS);
        const double keep = m_before < 0 ? 0 : std::exp(-(t - m_before) / m_recipe.slowTimeS);
        m_before = t;
        return m_value = keep * m_value + std::sqrt(1.0 - keep * keep) * dice.normal();
    }

private:
    DiveRecipe m_recipe;
    std::vector<double> m_series;
    double m_value = 0, m_before = -1;
};

/// Acoustic fixes with outliers and a dropout now and then.
inline void addPositions(InventedDive &dive, const TrueTrack &track, const DiveRecipe &recipe, Dice &dice)
{
    const double sigma = recipe.sigmaM > 0 ? recipe.sigmaM : 0.005 * recipe.depthM;
    const double slow = sigma * std::sqrt(recipe.slowShare),
                 white = sigma * std::sqrt(1.0 - recipe.slowShare);
    double silentUntil = -1.0;
    SlowError slowEast(recipe, dice), slowNorth(recipe, dice);
    for (double t = 0.0; t < recipe.hours * 3600.0; t += recipe.spacingS) {
        const double slowE = slow * slowEast.next(t, dice), slowN = slow * slowNorth.next(t, dice);
        if (dice.uniform() < recipe.spacingS / 800.0 && t > 200.0)
            silentUntil = t + dice.uniform(10.0, 150.0);
        double e = slowE + white * dice.normal(), n = slowN + white * dice.normal();
        const double reach = dice.uniform(20.0, 400.0), way = dice.uniform(0.0, 2.0 * std::numbers::pi);
        if (dice.uniform() < recipe.outlierShare) {
            e = reach * std::sin(way);
            n = reach * std::cos(way);
        }
        if (t < silentUntil)
            continue;
        PositionRecord r;
        double height = 0;
        r.time = diveTime(t);
        dive.plane.Reverse(TrueTrack::at(track.east, t) + e, TrueTrack::at(track.north, t) + n, 0.0,
                           r.latitudeDeg, r.longitudeDeg, height);
        r.depthM = recipe.depthM + 2.0 * dice.normal();
        r.line = static_cast<std::uint32_t>(dive.positions.size() + 2);
        dive.positions.push_back(r);
    }
}

/// Velocities once a second with the faults of a real log: scale 1.003, 0.5 degrees, 4 and -3 mm/s, 1 cm/s of
/// noise.
inline void addVelocities(InventedDive &dive, const TrueTrack &track, const DiveRecipe &recipe, Dice &dice)
{
    for (double t = 1.0; t < recipe.hours * 3600.0; t += 1.0) {
        const double e = TrueTrack::at(track.east, t + 0.5) - TrueTrack::at(track.east, t - 0.5);
        const double n = TrueTrack::at(track.north, t + 0.5) - TrueTrack::at(track.north, t - 0.5);
        const double heading = 60.0 + 40.0 * std::sin(t / 700.0);
        const double h = (heading + 0.5) * std::numbers::pi / 180.0;
        VelocityRecord v;
        v.time = diveTime(t);
        v.headingDeg = heading;
        v.forwardMs = 1.003 * (e * std::sin(h) + n * std::cos(h)) + 0.004 + 0.01 * dice.normal();
        v.starboardMs = 1.003 * (e * std::cos(h) - n * std::sin(h)) - 0.003 + 0.01 * dice.normal();
        dive.velocities.push_back(v);
    }
}

inline InventedDive inventedDive(const DiveRecipe &recipe)
{
    InventedDive dive;
    Dice dice(recipe.seed);
    dive.plane.Reset(recipe.latitudeDeg, recipe.longitudeDeg, 0.0);
    const TrueTrack track = trueTrack(dice, recipe.hours * 3600.0);
    addPositions(dive, track, recipe, dice);
    if (recipe.velocities)
        addVelocities(dive, track, recipe, dice);
    for (double t = 100.0; t < recipe.hours * 3600.0 - 60.0; t += dice.uniform(20.0, 90.0)) {
        if (!track.stopped[static_cast<std::size_t>(t)])
            continue;
        dive.sampleTimes.push_back(diveTime(t));
        dive.sampleEastM.push_back(TrueTrack::at(track.east, t));
        dive.sampleNorthM.push_back(TrueTrack::at(track.north, t));
    }
    return dive;
}

} // namespace holdfast::test
