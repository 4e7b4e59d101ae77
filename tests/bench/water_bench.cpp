// SPDX-License-Identifier: GPL-3.0-or-later

// Throughput of the seawater columns, of the quality tests and of sample windows on the scans of a 12 h dive
// at 24 Hz (1,036,800), one core. water_reference.py runs this and times the reference library on the same
// arrays.

#include "water/columns.h"
#include "water/quality.h"
#include "water/sample_window.h"

#include <QString>
#include <QtGlobal>
#include <benchmark/benchmark.h>
#include <cmath>
#include <vector>

namespace holdfast
{
namespace
{

constexpr std::size_t scans = 1'036'800;

/// The invented dive of water_reference.py: the same formulas, so that both sides work on the same numbers.
const CtdColumns &dive()
{
    static const CtdColumns columns = [] {
        CtdColumns c;
        for (std::size_t i = 0; i < scans; ++i) {
            const double x = static_cast<double>(i);
            const double p = 620.0 - 620.0 * std::cos(x * 6.2e-6);
            const double t = 2.4 + 17.0 * std::exp(-p / 400.0);
            c.timeUs.push_back(static_cast<std::int64_t>(x * 1e6 / 24.0));
            c.pressureDbar.push_back(p);
            c.temperatureDegC.push_back(t);
            c.conductivityMsCm.push_back(31.0 + 0.93 * t + 0.0006 * std::sin(x * 0.7));
            c.oxygenUmolKg.push_back(200.0 + 0.2 * std::sin(x * 0.9));
        }
        return c;
    }();
    return columns;
}

DerivedColumns room(std::size_t count)
{
    DerivedColumns d;
    d.practicalSalinity.resize(count);
    d.depthM.resize(count);
    d.sigma0KgM3.resize(count);
    d.soundSpeedMs.resize(count);
    d.outside.resize(count);
    return d;
}

/// All four derived columns; the argument chooses the methods of range.h: 0 the default, 1 TEOS-10
/// throughout.
void DeriveColumns(benchmark::State &state)
{
    const CtdColumns &c = dive();
    DerivedColumns d = room(c.size());
    WaterMethods methods;
    if (state.range(0) == 1)
        methods = {SeawaterFormula::DepthTeos10, SeawaterFormula::DensityTeos10,
                   SeawaterFormula::SoundSpeedTeos10};
    for (auto _ : state) {
        deriveColumns({c.conductivityMsCm, c.temperatureDegC, c.pressureDbar}, -31.27, methods,
                      {d.practicalSalinity, d.depthM, d.sigma0KgM3, d.soundSpeedMs, d.outside});
        benchmark::DoNotOptimize(d.soundSpeedMs.data());
        benchmark::ClobberMemory();
    }
    state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(scans));
}
BENCHMARK(DeriveColumns)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

/// The template named by HOLDFAST_SOURCE_DIR, or the one found from the build folder or the repository.
QualityLimits limits()
{
    const QString root = qEnvironmentVariable("HOLDFAST_SOURCE_DIR", QStringLiteral("."));
    auto read = readQualityLimits(root + QStringLiteral("/templates/quality/deep-rov-ctd.json"));
    return read ? *read : QualityLimits{};
}

/// All tests of the default template, flags and summary.
void FlagADive(benchmark::State &state)
{
    const CtdColumns &c = dive();
    const DerivedColumns d = derive(c, -31.27);
    const QualityLimits l = limits();
    if (l.name.isEmpty()) {
        state.SkipWithError("templates/quality/deep-rov-ctd.json not found: run in the repository");
        return;
    }
    for (auto _ : state) {
        QualityReport report = qualityReport(c, d, l);
        benchmark::DoNotOptimize(report.flags.aggregate.data());
    }
    state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(scans));
}
BENCHMARK(FlagADive)->Unit(benchmark::kMillisecond);

/// The water values of one sample from the minutes around it, as a reader of the log store hands them over.
void ValuesOfASample(benchmark::State &state)
{
    const CtdColumns &all = dive();
    const auto cut = [](const auto &v) {
        return std::vector(v.begin() + 500'000, v.begin() + 500'000 + 2 * 60 * 24);
    };
    CtdColumns c;
    c.timeUs = cut(all.timeUs);
    c.conductivityMsCm = cut(all.conductivityMsCm);
    c.temperatureDegC = cut(all.temperatureDegC);
    c.pressureDbar = cut(all.pressureDbar);
    c.oxygenUmolKg = cut(all.oxygenUmolKg);
    const DerivedColumns d = derive(c, -31.27);
    const ScanFlags flags = qualityOf(c, d, limits());
    const UtcTime at = utcFromMicroseconds(c.timeUs[c.size() / 2]);
    for (auto _ : state) {
        WaterValues values = waterAt(at, c, d, flags);
        benchmark::DoNotOptimize(values);
    }
}
BENCHMARK(ValuesOfASample)->Unit(benchmark::kMicrosecond);

} // namespace
} // namespace holdfast

BENCHMARK_MAIN();
