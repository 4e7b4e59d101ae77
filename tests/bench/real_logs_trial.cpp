// SPDX-License-Identifier: GPL-3.0-or-later

// Leaves each tenth position of real logs out, ten times over, and says how far both methods come from the
// positions left out, as logged, for the table in README.md:
//   real_logs_trial DATA PROFILES
// DATA holds the folders glider and nmea (README.md says where they come from), PROFILES is templates/feeds.

#include "feed/intake.h"
#include "nav/track.h"

#include <algorithm>
#include <cstdio>
#include <vector>

using namespace holdfast;

namespace
{

struct Log {
    QString file;
    const char *profile;
};

double quantile(std::vector<double> &values, double q)
{
    std::ranges::sort(values);
    return values.empty()
               ? missingValue
               : values[static_cast<std::size_t>(q * static_cast<double>(values.size() - 1) + 0.5)];
}

/// The positions with the deviation that the profile states, as they go into a dive's track.
Result<std::vector<PositionRecord>> positionsOf(const QString &path, const FeedProfile &profile)
{
    IntakeOptions options;
    options.dateHint = parseIsoUtc("2020-01-01T12:00:00Z"); // one log has no date; any day will do
    auto data = intakeFile(path, profile, options);
    if (!data)
        return data.error();
    for (PositionRecord &r : data->positions)
        if (!r.sigmaM && profile.source == PositionSource::Satellite)
            r.sigmaM = profile.sigmaM;
    return std::move(data->positions);
}

/// Which of the rows are scored.
enum class Scored { All, Measured };

/// A receiver without a fix gives its last place again, to the last digit: that row says nothing of its own
/// time.
bool isRepeat(const std::vector<PositionRecord> &all, std::size_t i)
{
    return i > 0 && all[i].latitudeDeg == all[i - 1].latitudeDeg &&
           all[i].longitudeDeg == all[i - 1].longitudeDeg;
}

void trial(const QString &name, const char *profile, const std::vector<PositionRecord> &all, FixMethod method,
           Scored scored)
{
    std::vector<double> errors, radii;
    std::size_t inside = 0, missing = 0;
    for (std::size_t offset = 0; offset < 10; ++offset) {
        std::vector<PositionRecord> kept;
        for (std::size_t i = 0; i < all.size(); ++i)
            if (i % 10 != offset)
                kept.push_back(all[i]);
        TrackOptions options;
        options.method = method;
        const auto track = Track::build(std::move(kept), options);
        for (std::size_t i = offset; track && i < all.size(); i += 10) {
            if (scored == Scored::Measured && isRepeat(all, i))
                continue;
            const NavFix fix = track->at(all[i].time);
            if (!fix.latitudeDeg) {
                ++missing;
                continue;
            }
            const auto line = geodesicBetween({*fix.latitudeDeg, *fix.longitudeDeg},
                                              {all[i].latitudeDeg, all[i].longitudeDeg});
            errors.push_back(line->lengthM);
            radii.push_back(*fix.uncertainty95M);
            inside += line->lengthM <= radii.back() ? 1U : 0U;
        }
    }
    const double share =
        errors.empty() ? 0 : static_cast<double>(inside) / static_cast<double>(errors.size());
    std::printf("| %s | %s | %zu | %s | %zu | %.2f | %.1f | %.1f | %.1f | %.3f |\n", qPrintable(name),
                profile, all.size(), qPrintable(textOf(method)), missing, quantile(errors, 0.5),
                quantile(errors, 0.95), quantile(errors, 1.0), quantile(radii, 0.5), share);
}

} // namespace

int main(int argc, char **argv)
{
    if (argc != 3) {
        std::fprintf(stderr, "usage: real_logs_trial DATA PROFILES\n");
        return 2;
    }
    const QString data = QString::fromLocal8Bit(argv[1]), profiles = QString::fromLocal8Bit(argv[2]);
    std::vector<Log> logs;
    for (const char *day : {"day252", "day253"}) {
        const QString path = QStringLiteral("glider/%1_%2.csv").arg(QLatin1StringView(day));
        logs.push_back({path.arg(QStringLiteral("position")), "position-dead-reckoning-csv"});
        logs.push_back({path.arg(QStringLiteral("surface_gps")), "position-satellite-csv"});
    }
    for (int i = 1; i <= 12; ++i)
        logs.push_back(
            {QStringLiteral("nmea/receiver%1.log").arg(i, 2, 10, QLatin1Char('0')), "nmea-satellite"});
    std::printf(
        "| log | profile | positions | method | none | median m | p95 m | max m | radius m | inside |\n"
        "|---|---|---|---|---|---|---|---|---|---|\n");
    for (const Log &log : logs) {
        const auto profile = loadFeedProfile(QString::fromLatin1(log.profile), {profiles});
        if (!profile) {
            std::fprintf(stderr, "%s\n", qPrintable(profile.error().sentence));
            return 1;
        }
        const auto positions = positionsOf(data + QLatin1Char('/') + log.file, *profile);
        if (!positions || positions->size() < 10) {
            std::printf("| %s | %s | %zu | too few | | | | | | |\n", qPrintable(log.file), log.profile,
                        positions ? positions->size() : std::size_t{0});
            continue;
        }
        const bool held = log.file.contains(QStringLiteral("surface_gps"));
        for (const FixMethod method : {FixMethod::Linear, FixMethod::Smooth}) {
            trial(log.file, log.profile, *positions, method, Scored::All);
            if (held)
                trial(log.file + QStringLiteral(", rows measured then"), log.profile, *positions, method,
                      Scored::Measured);
        }
    }
    return 0;
}
