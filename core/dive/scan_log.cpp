// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/scan_log.h"

#include "base/template_folder.h"
#include "dive/dive_values.h"

#include <algorithm>
#include <future>

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

} // namespace

Result<std::optional<double>> diveLatitude(const Database &db, int dive)
{
    const SensorLogReader logs(db.connection());
    const auto positions = logs.positions(dive);
    if (!positions)
        return positions.error();
    if (!positions->empty())
        return middleLatitude(*positions);
    // The ship is over its vehicle within a few kilometres: as good for gravity.
    const auto ship = logs.shipPositions(dive);
    if (!ship)
        return ship.error();
    return middleLatitude(*ship);
}

Result<QualityLimits> scanLimits()
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    return readQualityLimits(
        QStringLiteral("%1/quality/%2.json").arg(*folder, QLatin1String(limitsTemplate)));
}

namespace
{

/// What judging needs besides the scans.
struct Standards {
    QualityLimits limits;
    double latitudeDeg = latitudeWhenUnknownDeg;
    std::vector<std::int64_t> timeUs; ///< of the vehicle's depths
    std::vector<double> depthM;
};

Result<Standards> standardsFor(const Database &db, int dive)
{
    auto limits = scanLimits();
    if (!limits)
        return limits.error();
    const auto positions = SensorLogReader(db.connection()).positions(dive);
    if (!positions)
        return positions.error();
    Standards standards;
    standards.limits = std::move(*limits);
    const auto latitude = diveLatitude(db, dive);
    if (!latitude)
        return latitude.error();
    standards.latitudeDeg = latitude->value_or(latitudeWhenUnknownDeg);
    for (const PositionRecord &p : *positions) {
        if (p.depthM) {
            standards.timeUs.push_back(microsecondsOf(p.time));
            standards.depthM.push_back(*p.depthM);
        }
    }
    return standards;
}

void flagScans(const CtdColumns &scans, const Standards &standards, JudgedScans &judged)
{
    QualityReport report =
        qualityReport(scans, judged.derived, standards.limits, {standards.timeUs, standards.depthM});
    judged.flags = std::move(report.flags);
    judged.summary = std::move(report.summary);
    judged.limitsName = standards.limits.name;
}

/// What was measured and derived; depth is left out: it depends on the latitude and is computed when read.
SensorTable valuesTable(const CtdColumns &scans, const DerivedColumns &derived)
{
    SensorTable table = tableOf(scans);
    table.values.push_back({"practical_salinity", derived.practicalSalinity, salinityDecimals});
    table.values.push_back({"sigma0", derived.sigma0KgM3, sigma0Decimals});
    table.values.push_back({"sound_speed", derived.soundSpeedMs, soundSpeedDecimals});
    table.marks.emplace_back("outside", std::span<const std::uint8_t>(derived.outside));
    return table;
}

SensorTable flagsTable(const CtdColumns &scans, const ScanFlags &flags)
{
    SensorTable table;
    table.timeUs = scans.timeUs;
    for (std::size_t i = 0; i < qcParameterCount; ++i)
        table.marks.emplace_back(flagColumn(i), std::span<const QcFlag>(flags.of[i]));
    table.marks.emplace_back("flag", std::span<const QcFlag>(flags.aggregate));
    return table;
}

} // namespace

Result<JudgedScans> judgeScans(const Database &db, int dive, const CtdColumns &scans)
{
    const auto standards = standardsFor(db, dive);
    if (!standards)
        return standards.error();
    JudgedScans judged;
    judged.derived = derive(scans, standards->latitudeDeg);
    flagScans(scans, *standards, judged);
    return judged;
}

Result<PackedScans> judgeAndPack(const Database &db, int dive, const CtdColumns &scans)
{
    const auto standards = standardsFor(db, dive);
    if (!standards)
        return standards.error();
    PackedScans packed;
    packed.judged.derived = derive(scans, standards->latitudeDeg);
    // The values are packed on another thread while the flags are found.
    auto values = std::async(std::launch::async,
                             [&] { return packColumns(valuesTable(scans, packed.judged.derived)); });
    flagScans(scans, *standards, packed.judged);
    auto flags = packColumns(flagsTable(scans, packed.judged.flags));
    auto packedValues = values.get();
    if (!flags)
        return flags.error();
    if (!packedValues)
        return packedValues.error();
    const PackedColumns columns[] = {std::move(*packedValues), std::move(*flags)};
    auto log = joinColumns(scans.timeUs, columns);
    if (!log)
        return log.error();
    packed.log = std::move(*log);
    return packed;
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

namespace
{

/// Moves a quantity and its flags out of rows that have them.
ScanSeries takeSeries(SensorRows &rows, std::string_view name, QcParameter parameter)
{
    ScanSeries series;
    for (SensorRows::Values &column : rows.values) {
        if (column.name == name)
            series.values = std::move(column.values);
    }
    const std::string flags = flagColumn(static_cast<std::size_t>(parameter));
    for (SensorRows::Marks &column : rows.marks) {
        if (column.name == flags)
            series.flags = std::move(column.marks);
    }
    series.values.resize(rows.size(), missingValue);
    series.flags.resize(rows.size(), static_cast<std::uint32_t>(QcFlag::NotEvaluated));
    return series;
}

/// All scans of a dive, with times from the CTD's clock to the vehicle's.
Result<SensorRows> rowsWith(const Database &db, int dive, const std::vector<std::string> &wanted)
{
    const auto offset = appliedClockOffset(db, dive);
    if (!offset)
        return offset.error();
    auto rows =
        SensorLogReader(db.connection())
            .rowsOfDive(dive, LogKind::Ctd, SensorLogReader::earliest, SensorLogReader::latest, wanted);
    if (rows && offset->count() != 0) {
        for (std::int64_t &us : rows->timeUs)
            us -= offset->count();
    }
    return rows;
}

} // namespace

Result<PressuresOfDive> readPressures(const Database &db, int dive)
{
    auto rows = rowsWith(db, dive, {"pressure", flagColumn(static_cast<std::size_t>(QcParameter::Depth))});
    if (!rows)
        return rows.error();
    PressuresOfDive series;
    series.pressureDbar = takeSeries(*rows, "pressure", QcParameter::Depth);
    series.timeUs = std::move(rows->timeUs);
    return series;
}

Result<ScanSeriesOfDive> readScanSeries(const Database &db, int dive, double latitudeDeg)
{
    std::vector<std::string> wanted{"pressure", "temperature", "practical_salinity", "oxygen"};
    for (const QcParameter p :
         {QcParameter::Depth, QcParameter::Temperature, QcParameter::Salinity, QcParameter::Oxygen})
        wanted.push_back(flagColumn(static_cast<std::size_t>(p)));
    auto rows = rowsWith(db, dive, wanted);
    if (!rows)
        return rows.error();
    ScanSeriesOfDive series;
    series.temperatureDegC = takeSeries(*rows, "temperature", QcParameter::Temperature);
    series.practicalSalinity = takeSeries(*rows, "practical_salinity", QcParameter::Salinity);
    series.oxygenUmolKg = takeSeries(*rows, "oxygen", QcParameter::Oxygen);
    series.depthM = takeSeries(*rows, "pressure", QcParameter::Depth);
    const SeawaterFormula formula = WaterMethods{}.depth;
    for (double &value : series.depthM.values)
        value = depthBy(formula, value, latitudeDeg);
    series.timeUs = std::move(rows->timeUs);
    return series;
}

} // namespace holdfast
