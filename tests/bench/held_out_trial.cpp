// SPDX-License-Identifier: GPL-3.0-or-later

// Fixes on invented dives of kinds that no value of core/nav was chosen on, for the table in README.md:
//   held_out_trial [SEEDS]
// 20 dives of 3 h of each kind unless SEEDS says otherwise; the errors at the stops are scored against the
// truth.

#include "../nav/invented_dive.h"
#include "nav/track.h"

#include <cstdio>
#include <cstdlib>

using namespace holdfast;
using test::DiveRecipe;

namespace
{

struct Kind {
    const char *title;
    DiveRecipe recipe;
    double statedSigmaM = 0; ///< what the profile would state, if not the truth
};

DiveRecipe made(double spacingS, double slowShare, double slowTimeS)
{
    DiveRecipe r;
    r.hours = 3;
    r.spacingS = spacingS;
    r.slowShare = slowShare;
    r.slowTimeS = slowTimeS;
    return r;
}

DiveRecipe with(DiveRecipe r, double sigmaM, double outlierShare)
{
    r.sigmaM = sigmaM;
    r.outlierShare = outlierShare;
    return r;
}

DiveRecipe smooth(DiveRecipe r)
{
    r.smoothSlow = true;
    return r;
}

DiveRecipe aided(DiveRecipe r)
{
    r.velocities = true;
    return r;
}

std::vector<Kind> kinds()
{
    return {
        {"0.1 Hz, white", made(10, 0, 60)},
        {"0.1 Hz, half slow over 60 s", made(10, 0.5, 60)},
        {"1 Hz, half slow over 60 s", made(1, 0.5, 60)},
        {"0.5 Hz, half slow over 15 s", made(2, 0.5, 15)},
        {"0.5 Hz, half slow over 60 s", made(2, 0.5, 60)},
        {"0.5 Hz, half slow over 120 s", made(2, 0.5, 120)},
        {"0.5 Hz, half slow, smooth, 15 s", smooth(made(2, 0.5, 15))},
        {"0.5 Hz, half slow, smooth, 60 s", smooth(made(2, 0.5, 60))},
        {"0.5 Hz, a fifth slow over 60 s", made(2, 0.2, 60)},
        {"0.5 Hz, four fifths slow over 30 s", made(2, 0.8, 30)},
        {"0.5 Hz, white, deviation 2 m", with(made(2, 0, 60), 2, 0.03), 2},
        {"0.5 Hz, half slow over 30 s, 10 m", with(made(2, 0.5, 30), 10, 0.03), 10},
        {"0.5 Hz, white, 10 % outliers", with(made(2, 0, 60), 0, 0.1)},
        {"0.5 Hz, half slow over 30 s, 10 % outliers", with(made(2, 0.5, 30), 0, 0.1)},
        {"0.5 Hz, white, half of it stated", made(2, 0, 60), 3},
        {"0.5 Hz, white, twice it stated", made(2, 0, 60), 12},
        {"velocities, 0.1 Hz, white", aided(made(10, 0, 60))},
        {"velocities, 0.5 Hz, white, 10 m", aided(with(made(2, 0, 60), 10, 0.03)), 10},
        {"velocities, half slow over 15 s", aided(made(2, 0.5, 15))},
        {"velocities, half slow over 60 s", aided(made(2, 0.5, 60))},
        {"velocities, half slow over 120 s", aided(made(2, 0.5, 120))},
        {"velocities, half slow, smooth, 30 s", aided(smooth(made(2, 0.5, 30)))},
        {"velocities, half slow, smooth, 60 s", aided(smooth(made(2, 0.5, 60)))},
        {"velocities, four fifths slow over 30 s", aided(made(2, 0.8, 30))},
    };
}

double quantile(std::vector<double> &values, double q)
{
    std::ranges::sort(values);
    return values.empty()
               ? missingValue
               : values[static_cast<std::size_t>(q * static_cast<double>(values.size() - 1) + 0.5)];
}

void trial(const Kind &kind, FixMethod method, unsigned seeds)
{
    std::vector<double> errors, radii;
    std::size_t inside = 0, missing = 0;
    for (unsigned seed = 101; seed < 101 + seeds; ++seed) {
        DiveRecipe recipe = kind.recipe;
        recipe.seed = seed;
        const test::InventedDive dive = test::inventedDive(recipe);
        TrackInputs inputs;
        inputs.positions = dive.positions;
        inputs.velocities = dive.velocities;
        if (kind.statedSigmaM > 0)
            for (PositionRecord &r : inputs.positions)
                r.sigmaM = kind.statedSigmaM;
        TrackOptions options;
        options.method = method;
        const auto track = Track::build(std::move(inputs), options);
        if (!track)
            std::abort();
        if (seed == 101 && std::getenv("HELD_OUT_VALUES") != nullptr) {
            const TrackReport &r = track->report();
            std::fprintf(stderr, "%s: scale %.3f slow %.3f over %.1f s\n", kind.title, r.sigmaScale,
                         r.slowShare, r.slowTimeS);
        }
        for (std::size_t i = 0; i < dive.sampleTimes.size(); ++i) {
            const NavFix fix = track->at(dive.sampleTimes[i]);
            if (!fix.latitudeDeg) {
                ++missing;
                continue;
            }
            errors.push_back(dive.errorM(i, *fix.latitudeDeg, *fix.longitudeDeg));
            radii.push_back(*fix.uncertainty95M);
            inside += errors.back() <= radii.back() ? 1U : 0U;
        }
    }
    const auto n = static_cast<double>(errors.size());
    std::printf("| %s | %s | %zu | %zu | %.2f | %.2f | %.1f | %.2f | %.3f |\n", kind.title,
                textOf(method).toStdString().c_str(), errors.size(), missing, quantile(errors, 0.5),
                quantile(errors, 0.95), quantile(errors, 1.0), quantile(radii, 0.5),
                static_cast<double>(inside) / n);
    std::fflush(stdout);
}

} // namespace

int main(int argc, char **argv)
{
    const auto seeds = argc > 1 ? static_cast<unsigned>(std::strtoul(argv[1], nullptr, 10)) : 20U;
    std::printf(
        "| dives | method | stops | none | median m | p95 m | max m | radius m | inside 95 %% radius |\n"
        "|---|---|---|---|---|---|---|---|---|\n");
    for (const Kind &kind : kinds())
        for (const FixMethod method : {FixMethod::Linear, FixMethod::Smooth})
            trial(kind, method, seeds);
    return 0;
}
