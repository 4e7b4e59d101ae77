// SPDX-License-Identifier: GPL-3.0-or-later

// Throughput of the seawater columns and of the quality tests on the scans of a 12 h dive at 24 Hz (1,036,800).
// tests/bench/water_reference.py times the reference library on the same arrays in the same run; see
// tests/bench/README.md.

#include "water/columns.h"
#include "water/quality.h"
#include "water/sample_window.h"

#include <benchmark/benchmark.h>
#include <cmath>

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

/// All four derived columns; the argument chooses the methods of range.h: 0 the default, 1 TEOS-10 throughout.
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

} // namespace
} // namespace holdfast

BENCHMARK_MAIN();
