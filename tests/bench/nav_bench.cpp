// SPDX-License-Identifier: GPL-3.0-or-later

// A dive of 12 h with a fix every second (43,200): building the track, and 1,000 fixes from it.

#include "nav/invented_dive.h"
#include "nav/track.h"

#include <benchmark/benchmark.h>

using namespace holdfast;

namespace
{

const test::InventedDive &longDive()
{
    static const test::InventedDive dive = [] {
        test::DiveRecipe recipe;
        recipe.hours = 12.5; // dropouts take some away
        recipe.spacingS = 1.0;
        recipe.slowShare = 0.4;
        auto made = test::inventedDive(recipe);
        made.positions.resize(std::min<std::size_t>(made.positions.size(), 43'200));
        return made;
    }();
    return dive;
}

TrackOptions optionsFor(const benchmark::State &state)
{
    TrackOptions options;
    options.method = state.range(0) == 0 ? FixMethod::Linear : FixMethod::Smooth;
    return options;
}

void buildTrack(benchmark::State &state)
{
    const TrackOptions options = optionsFor(state);
    for (auto _ : state) {
        state.PauseTiming();
        auto positions = longDive().positions;
        state.ResumeTiming();
        benchmark::DoNotOptimize(Track::build(std::move(positions), options));
    }
    state.counters["fixes"] = static_cast<double>(longDive().positions.size());
    state.SetLabel(textOf(options.method).toStdString());
}

void thousandFixes(benchmark::State &state)
{
    const TrackOptions options = optionsFor(state);
    const auto track = Track::build(longDive().positions, options);
    std::vector<UtcTime> times;
    for (int i = 0; i < 1000; ++i)
        times.push_back(test::diveTime(30.0 + 43.1 * i));
    for (auto _ : state)
        benchmark::DoNotOptimize(track->at(times));
    state.SetLabel(textOf(options.method).toStdString());
}

BENCHMARK(buildTrack)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);
BENCHMARK(thousandFixes)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

} // namespace

BENCHMARK_MAIN();
