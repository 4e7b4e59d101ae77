// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/records.h"
#include "water/quality_limits.h"
#include "water/salinity.h"

#include <QByteArray>
#include <cmath>
#include <gtest/gtest.h>
#include <random>

namespace holdfast::test
{

/// An invented dive, 24 scans a second: down through a thermocline at 0.5 m/s to 600 dbar, a while at the
/// bottom. Noise as a good instrument has it, and values rounded to what logs print.
inline CtdColumns inventedDive(std::size_t scans = 40'000, unsigned seed = 1)
{
    std::mt19937_64 random(seed);
    std::normal_distribution<double> noise;
    const auto rounded = [](double value, double step) { return std::round(value / step) * step; };
    CtdColumns c;
    for (std::size_t i = 0; i < scans; ++i) {
        const double seconds = static_cast<double>(i) / 24.0;
        const double p = std::min(12.0 + 0.5 * seconds, 600.0);
        const double t = 3.0 + 16.0 * std::exp(-p / 180.0);
        const double s = 34.5 + 0.9 * std::exp(-p / 150.0);
        c.timeUs.push_back(1'900'000'000'000'000 + std::llround(seconds * 1000.0) * 1000);
        c.conductivityMsCm.push_back(rounded(conductivityFromSalinity(s, t, p) + 6e-4 * noise(random), 1e-4));
        c.temperatureDegC.push_back(rounded(t + 5e-4 * noise(random), 1e-4));
        c.pressureDbar.push_back(rounded(p + 0.02 * noise(random), 1e-3));
        c.oxygenUmolKg.push_back(rounded(180.0 + 40.0 * std::exp(-p / 200.0) + 0.25 * noise(random), 0.01));
        c.line.push_back(static_cast<std::uint32_t>(i + 2));
    }
    return c;
}

/// The default template as shipped.
inline QualityLimits shippedLimits(const char *name = "deep-rov-ctd")
{
    const QString path = QString::fromLocal8Bit(qgetenv("HOLDFAST_SOURCE_DIR")) +
                         QStringLiteral("/templates/quality/%1.json").arg(QString::fromLatin1(name));
    auto limits = readQualityLimits(path);
    EXPECT_TRUE(limits) << qPrintable(limits ? QString() : limits.error().sentence);
    return limits ? *limits : QualityLimits{};
}

inline bool isBad(QcFlag flag)
{
    return flag == QcFlag::Suspect || flag == QcFlag::Fail;
}

} // namespace holdfast::test
