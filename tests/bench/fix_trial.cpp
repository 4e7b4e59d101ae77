// SPDX-License-Identifier: GPL-3.0-or-later

// Puts positions on the collections of invented dives, for tests/bench/fix_trial.py to score:
//   fix_trial linear|smooth FOLDER...
//   fix_trial leave-out acoustic|dead-reckoning POSITIONS.csv [SATELLITE.csv]
// Reads FOLDER/position.csv, FOLDER/dvl.csv where there is one and FOLDER/collections.csv; writes
// FOLDER/fixes_<method>.csv and prints one line of chosen values a folder. The second form leaves each tenth
// position of a real log out, ten times over, and says how far both methods come from the positions left out,
// from all of them and from those that the satellite log has too.

#include "nav/track.h"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <set>
#include <sstream>

using namespace holdfast;

namespace
{

/// The rows of a CSV file with a header, cells found by the first part of the column's name.
class Table
{
public:
    explicit Table(const std::string &path) : m_in(path)
    {
        std::string line;
        std::getline(m_in, line);
        split(line, m_names);
    }
    bool next()
    {
        std::string line;
        if (!std::getline(m_in, line))
            return false;
        split(line, m_cells);
        return true;
    }
    [[nodiscard]] std::string cell(const std::string &name) const
    {
        for (std::size_t i = 0; i < m_names.size() && i < m_cells.size(); ++i)
            if (m_names[i].rfind(name, 0) == 0)
                return m_cells[i];
        return {};
    }
    [[nodiscard]] std::optional<double> number(const std::string &name) const
    {
        const std::string text = cell(name);
        return text.empty() ? std::nullopt : std::optional(std::strtod(text.c_str(), nullptr));
    }

private:
    static void split(const std::string &line, std::vector<std::string> &cells)
    {
        cells.clear();
        std::istringstream in(line);
        for (std::string cell; std::getline(in, cell, ',');)
            cells.push_back(cell);
    }
    std::ifstream m_in;
    std::vector<std::string> m_names, m_cells;
};

std::vector<PositionRecord> readPositions(const std::string &path)
{
    std::vector<PositionRecord> positions;
    std::uint32_t line = 1;
    for (Table table(path); table.next();) {
        const auto time = parseIsoUtc(table.cell("time_utc"));
        if (!time)
            continue;
        PositionRecord r;
        r.time = *time;
        r.latitudeDeg = table.number("latitude").value_or(missingValue);
        r.longitudeDeg = table.number("longitude").value_or(missingValue);
        r.depthM = table.number("depth");
        r.headingDeg = table.number("heading");
        r.line = ++line;
        positions.push_back(r);
    }
    return positions;
}

TrackInputs readInputs(const std::string &folder)
{
    TrackInputs inputs;
    inputs.positions = readPositions(folder + "/position.csv");
    if (!std::filesystem::exists(folder + "/dvl.csv"))
        return inputs;
    for (Table table(folder + "/dvl.csv"); table.next();) {
        const auto time = parseIsoUtc(table.cell("time_utc"));
        if (!time)
            continue;
        VelocityRecord r;
        r.time = *time;
        r.forwardMs = table.number("forward").value_or(missingValue);
        r.starboardMs = table.number("starboard").value_or(missingValue);
        r.downMs = table.number("down").value_or(missingValue);
        r.altitudeM = table.number("altitude");
        r.headingDeg = table.number("heading");
        inputs.velocities.push_back(r);
    }
    return inputs;
}

int trial(const std::string &folder, FixMethod method)
{
    TrackInputs inputs = readInputs(folder);
    TrackOptions options;
    options.method = method;
    const auto begin = std::chrono::steady_clock::now();
    const auto track = Track::build(std::move(inputs), options);
    const double ms =
        std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - begin).count();
    if (!track) {
        std::cerr << track.error().sentence.toStdString() << '\n';
        return 1;
    }
    std::FILE *out = std::fopen((folder + "/fixes_" + textOf(method).toStdString() + ".csv").c_str(), "w");
    if (out == nullptr) {
        std::cerr << folder << ": cannot be written\n";
        return 1;
    }
    std::fprintf(out, "sample_id,time_utc,latitude,longitude,uncertainty_m,flag,gap_s\n");
    for (Table table(folder + "/collections.csv"); table.next();) {
        const auto time = parseIsoUtc(table.cell("time_utc"));
        const NavFix fix = track->at(*time);
        std::fprintf(out, "%s,%s,", table.cell("sample_id").c_str(), table.cell("time_utc").c_str());
        if (fix.latitudeDeg)
            std::fprintf(out, "%.9f,%.9f,%.3f", *fix.latitudeDeg, *fix.longitudeDeg, *fix.uncertainty95M);
        else
            std::fprintf(out, ",,");
        std::fprintf(out, ",%d,%.1f\n", static_cast<int>(fix.flag), fix.gapS.value_or(-1.0));
    }
    std::fclose(out);
    const TrackReport &r = track->report();
    std::printf(
        "%s %s used %zu outliers %zu leaps %zu scale %.3f slow %.3f over %.1f s transit %.3f m/s  %.1f ms\n",
        folder.c_str(), textOf(method).toStdString().c_str(), r.used, r.outliers, r.leaps, r.sigmaScale,
        r.slowShare, r.slowTimeS, r.transitSpeedMs, ms);
    if (r.velocityScale)
        std::printf("  velocities %zu scale %.5f misalignment %.3f deg bias %.4f %.4f m/s\n",
                    r.velocitiesUsed, *r.velocityScale, *r.velocityMisalignmentDeg, *r.velocityForwardBiasMs,
                    *r.velocityStarboardBiasMs);
    return 0;
}

double quantile(std::vector<double> &values, double q)
{
    std::ranges::sort(values);
    return values.empty()
               ? missingValue
               : values[static_cast<std::size_t>(q * static_cast<double>(values.size() - 1) + 0.5)];
}

struct Scores {
    std::vector<double> errors;
    std::size_t inside = 0, missing = 0;

    void add(const NavFix &fix, const PositionRecord &logged)
    {
        if (!fix.latitudeDeg) {
            ++missing;
            return;
        }
        const auto line =
            geodesicBetween({*fix.latitudeDeg, *fix.longitudeDeg}, {logged.latitudeDeg, logged.longitudeDeg});
        errors.push_back(line->lengthM);
        inside += line->lengthM <= *fix.uncertainty95M ? 1U : 0U;
    }
    void print(const char *title)
    {
        const std::size_t n = errors.size();
        std::printf("%-34s %5zu  missing %3zu  median %7.1f  p95 %7.1f  max %7.1f  inside %.3f\n", title, n,
                    missing, quantile(errors, 0.5), quantile(errors, 0.95), quantile(errors, 1.0),
                    n > 0 ? static_cast<double>(inside) / static_cast<double>(n) : 0.0);
    }
};

/// The position is more than 90 m from the one before, and the next one is not: it is where a step led to.
bool isStep(const std::vector<PositionRecord> &positions, std::size_t i)
{
    const auto apart = [&](std::size_t a, std::size_t b) {
        return geodesicBetween({positions[a].latitudeDeg, positions[a].longitudeDeg},
                               {positions[b].latitudeDeg, positions[b].longitudeDeg})
            ->lengthM;
    };
    return i > 0 && i + 1 < positions.size() && apart(i - 1, i) > 90.0 && apart(i, i + 1) < 90.0;
}

int leaveOut(PositionSource source, const std::string &path, const std::string &satellitePath)
{
    std::vector<PositionRecord> positions = readPositions(path);
    std::set<UtcTime> satellite;
    if (!satellitePath.empty())
        for (const PositionRecord &r : readPositions(satellitePath))
            satellite.insert(r.time);
    for (PositionRecord &r : positions)
        r.source = source;
    for (const FixMethod method : {FixMethod::Linear, FixMethod::Smooth}) {
        Scores all, right, steps;
        for (std::size_t offset = 0; offset < 10; ++offset) {
            std::vector<PositionRecord> kept;
            for (std::size_t i = 0; i < positions.size(); ++i)
                if (i % 10 != offset)
                    kept.push_back(positions[i]);
            TrackOptions options;
            options.method = method;
            const auto track = Track::build(std::move(kept), options);
            if (!track)
                return 1;
            for (std::size_t i = offset; i < positions.size(); i += 10) {
                const NavFix fix = track->at(positions[i].time);
                all.add(fix, positions[i]);
                if (satellite.contains(positions[i].time))
                    right.add(fix, positions[i]);
                if (isStep(positions, i))
                    steps.add(fix, positions[i]);
            }
        }
        all.print((textOf(method).toStdString() + ", all left out").c_str());
        steps.print((textOf(method).toStdString() + ", of them right after a step").c_str());
        right.print((textOf(method).toStdString() + ", of them by satellite").c_str());
    }
    return 0;
}

} // namespace

int main(int argc, char **argv)
{
    if (argc >= 4 && std::string(argv[1]) == "leave-out") {
        const bool reckoned = std::string(argv[2]) == "dead-reckoning";
        return leaveOut(reckoned ? PositionSource::DeadReckoning : PositionSource::Acoustic, argv[3],
                        argc > 4 ? argv[4] : "");
    }
    const auto method = argc > 2 ? fixMethodFrom(QString::fromLatin1(argv[1])) : std::nullopt;
    if (!method) {
        std::cerr << "usage: fix_trial linear|smooth FOLDER...\n"
                     "       fix_trial leave-out acoustic|dead-reckoning POSITIONS.csv [SATELLITE.csv]\n";
        return 2;
    }
    int failed = 0;
    for (int i = 2; i < argc; ++i)
        failed |= trial(argv[i], *method);
    return failed;
}
