// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/scan_log.h"

#include "base/template_folder.h"

#include <algorithm>

namespace holdfast
{

namespace
{

constexpr const char *limitsTemplate = "deep-rov-ctd";

/// Decimals kept of what is derived: beyond the sensors' own resolution, so that a value read back gives the
/// same sample values as the one computed at intake.
constexpr int salinityDecimals = 5;
constexpr int sigma0Decimals = 5;
constexpr int soundSpeedDecimals = 4;

std::string flagColumn(std::size_t parameter)
{
    return "flag" + std::to_string(parameter);
}

std::optional<double> middleLatitude(const std::vector<PositionRecord> &positions)
{
    if (positions.empty())
        return {};
    std::vector<double> latitudes;
    latitudes.reserve(positions.size());
    for (const PositionRecord &p : positions)
        latitudes.push_back(p.latitudeDeg);
    const auto middle = latitudes.begin() + static_cast<std::ptrdiff_t>(latitudes.size() / 2);
    std::nth_element(latitudes.begin(), middle, latitudes.end());
    return *middle;
}

/// Latitude where none is known: gravity, and so depth, is then right to 0.3 % anywhere.
constexpr double latitudeWhenUnknownDeg = 45;

} // namespace

Result<std::optional<double>> diveLatitude(const Database &db, int dive)
{
    const auto positions = SensorLogReader(db.connection()).positions(dive);
    if (!positions)
        return positions.error();
    return middleLatitude(*positions);
}

Result<JudgedScans> judgeScans(const Database &db, int dive, const CtdColumns &scans)
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    const auto limits =
        readQualityLimits(QStringLiteral("%1/quality/%2.json").arg(*folder, QLatin1String(limitsTemplate)));
    if (!limits)
        return limits.error();
    const auto positions = SensorLogReader(db.connection()).positions(dive);
    if (!positions)
        return positions.error();
    std::vector<std::int64_t> timeUs;
    std::vector<double> depthM;
    for (const PositionRecord &p : *positions) {
        if (p.depthM) {
            timeUs.push_back(microsecondsOf(p.time));
            depthM.push_back(*p.depthM);
        }
    }
    JudgedScans judged;
    judged.derived = derive(scans, middleLatitude(*positions).value_or(latitudeWhenUnknownDeg));
    QualityReport report = qualityReport(scans, judged.derived, *limits, {timeUs, depthM});
    judged.flags = std::move(report.flags);
    judged.limitsName = limits->name;
    for (const QString &finding : report.summary.findings)
        judged.findings << finding;
    return judged;
}

Result<PackedLog> packScans(const CtdColumns &scans, const JudgedScans &judged)
{
    SensorTable table = tableOf(scans);
    table.values.push_back({"practical_salinity", judged.derived.practicalSalinity, salinityDecimals});
    table.values.push_back({"sigma0", judged.derived.sigma0KgM3, sigma0Decimals});
    table.values.push_back({"sound_speed", judged.derived.soundSpeedMs, soundSpeedDecimals});
    table.marks.emplace_back("outside", std::span<const std::uint8_t>(judged.derived.outside));
    for (std::size_t i = 0; i < qcParameterCount; ++i)
        table.marks.emplace_back(flagColumn(i), std::span<const QcFlag>(judged.flags.of[i]));
    table.marks.emplace_back("flag", std::span<const QcFlag>(judged.flags.aggregate));
    return packLog(table);
}

Result<ScanWindow> readScans(const Database &db, int dive, UtcTime from, UtcTime to, double latitudeDeg)
{
    auto rows = SensorLogReader(db.connection()).rowsOfDive(dive, LogKind::Ctd, from, to);
    if (!rows)
        return rows.error();
    ScanWindow window;
    window.scans = scansOf(*rows);
    const std::size_t n = window.scans.size();
    const auto values = [&](std::string_view name) {
        const std::vector<double> *found = rows->find(name);
        return found ? *found : std::vector<double>(n, missingValue);
    };
    window.derived.practicalSalinity = values("practical_salinity");
    window.derived.sigma0KgM3 = values("sigma0");
    window.derived.soundSpeedMs = values("sound_speed");
    window.derived.latitudeDeg = latitudeDeg;
    window.derived.depthM.resize(n);
    for (std::size_t i = 0; i < n; ++i)
        window.derived.depthM[i] =
            depthBy(window.derived.methods.depth, window.scans.pressureDbar[i], latitudeDeg);
    window.derived.outside.assign(n, 0);
    if (const auto *outside = rows->findMarks("outside")) {
        for (std::size_t i = 0; i < n; ++i)
            window.derived.outside[i] = static_cast<std::uint8_t>((*outside)[i]);
    }
    const auto flags = [&](const std::string &name) {
        const std::vector<std::uint32_t> *marks = rows->findMarks(name);
        std::vector<QcFlag> out(n, QcFlag::NotEvaluated);
        for (std::size_t i = 0; marks && i < n; ++i)
            out[i] = static_cast<QcFlag>((*marks)[i]);
        return out;
    };
    for (std::size_t i = 0; i < qcParameterCount; ++i)
        window.flags.of[i] = flags(flagColumn(i));
    window.flags.aggregate = flags("flag");
    window.flags.reasons.assign(n, 0);
    return window;
}

} // namespace holdfast
