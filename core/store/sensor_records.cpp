// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/sensor_records.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

/// A column by name, or missing values where the rows have none of that name.
class Column
{
public:
    Column(const SensorRows &rows, const char *name) : m_values(rows.find(name)) {}
    [[nodiscard]] double at(std::size_t i) const
    {
        return m_values == nullptr ? missingValue : (*m_values)[i];
    }
    [[nodiscard]] std::optional<double> maybeAt(std::size_t i) const
    {
        const double value = at(i);
        return std::isnan(value) ? std::optional<double>{} : value;
    }

private:
    const std::vector<double> *m_values;
};

std::uint32_t markAt(const std::vector<std::uint32_t> *marks, std::size_t i)
{
    return marks == nullptr ? 0 : (*marks)[i];
}

std::vector<double> whole(const SensorRows &rows, const char *name)
{
    const std::vector<double> *values = rows.find(name);
    return values == nullptr ? std::vector<double>(rows.size(), missingValue) : *values;
}

} // namespace

SensorTable tableOf(const CtdColumns &scans)
{
    SensorTable table;
    table.timeUs = scans.timeUs;
    table.values = {{"conductivity", scans.conductivityMsCm},
                    {"temperature", scans.temperatureDegC},
                    {"pressure", scans.pressureDbar},
                    {"oxygen", scans.oxygenUmolKg}};
    table.marks.emplace_back("line", std::span<const std::uint32_t>(scans.line));
    return table;
}

std::vector<double> &RecordColumns::add(const char *name)
{
    m_values.emplace_back(name, std::vector<double>());
    m_values.back().second.reserve(m_timeUs.size());
    return m_values.back().second;
}

RecordColumns::RecordColumns(const std::vector<PositionRecord> &records)
{
    for (const PositionRecord &record : records) {
        m_timeUs.push_back(microsecondsOf(record.time));
        m_lines.push_back(record.line);
        m_sources.push_back(record.source);
    }
    const auto column = [&](const char *name, auto value) {
        std::vector<double> &values = add(name);
        for (const PositionRecord &record : records)
            values.push_back(value(record));
    };
    column("latitude", [](const PositionRecord &r) { return r.latitudeDeg; });
    column("longitude", [](const PositionRecord &r) { return r.longitudeDeg; });
    column("depth", [](const PositionRecord &r) { return r.depthM.value_or(missingValue); });
    column("heading", [](const PositionRecord &r) { return r.headingDeg.value_or(missingValue); });
    column("sigma", [](const PositionRecord &r) { return r.sigmaM.value_or(missingValue); });
    if (std::ranges::any_of(records, [](const PositionRecord &r) { return r.pitchDeg || r.rollDeg; })) {
        column("pitch", [](const PositionRecord &r) { return r.pitchDeg.value_or(missingValue); });
        column("roll", [](const PositionRecord &r) { return r.rollDeg.value_or(missingValue); });
    }
}

RecordColumns::RecordColumns(const std::vector<VelocityRecord> &records)
{
    for (const VelocityRecord &record : records) {
        m_timeUs.push_back(microsecondsOf(record.time));
        m_lines.push_back(record.line);
    }
    const auto column = [&](const char *name, auto value) {
        std::vector<double> &values = add(name);
        for (const VelocityRecord &record : records)
            values.push_back(value(record));
    };
    column("forward", [](const VelocityRecord &r) { return r.forwardMs; });
    column("starboard", [](const VelocityRecord &r) { return r.starboardMs; });
    column("down", [](const VelocityRecord &r) { return r.downMs; });
    column("altitude", [](const VelocityRecord &r) { return r.altitudeM.value_or(missingValue); });
    column("heading", [](const VelocityRecord &r) { return r.headingDeg.value_or(missingValue); });
}

namespace
{

/// The columns of an acoustic log in the order they are stored.
constexpr std::pair<const char *, std::optional<double> AcousticRecord::*> acousticColumns[] = {
    {"range", &AcousticRecord::rangeM},
    {"bearing", &AcousticRecord::bearingDeg},
    {"depression", &AcousticRecord::depressionDeg},
    {"forward", &AcousticRecord::forwardM},
    {"starboard", &AcousticRecord::starboardM},
    {"down", &AcousticRecord::downM},
    {"depth", &AcousticRecord::depthM},
    {"heading", &AcousticRecord::headingDeg},
    {"pitch", &AcousticRecord::pitchDeg},
    {"roll", &AcousticRecord::rollDeg},
    {"sigma", &AcousticRecord::sigmaM}};

} // namespace

RecordColumns::RecordColumns(const std::vector<AcousticRecord> &records)
{
    for (const AcousticRecord &record : records) {
        m_timeUs.push_back(microsecondsOf(record.time));
        m_lines.push_back(record.line);
    }
    for (const auto &[name, member] : acousticColumns) {
        std::vector<double> &values = add(name);
        for (const AcousticRecord &record : records)
            values.push_back((record.*member).value_or(missingValue));
    }
}

SensorTable RecordColumns::table() const
{
    SensorTable table;
    table.timeUs = m_timeUs;
    for (const auto &[name, values] : m_values)
        table.values.push_back({name, values});
    table.marks.emplace_back("line", std::span<const std::uint32_t>(m_lines));
    if (!m_sources.empty())
        table.marks.emplace_back("source", std::span<const PositionSource>(m_sources));
    return table;
}

CtdColumns scansOf(const SensorRows &rows)
{
    CtdColumns scans;
    scans.timeUs = rows.timeUs;
    scans.conductivityMsCm = whole(rows, "conductivity");
    scans.temperatureDegC = whole(rows, "temperature");
    scans.pressureDbar = whole(rows, "pressure");
    scans.oxygenUmolKg = whole(rows, "oxygen");
    const std::vector<std::uint32_t> *lines = rows.findMarks("line");
    scans.line = lines == nullptr ? std::vector<std::uint32_t>(rows.size(), 0) : *lines;
    return scans;
}

std::vector<PositionRecord> positionsOf(const SensorRows &rows)
{
    const Column latitude(rows, "latitude");
    const Column longitude(rows, "longitude");
    const Column depth(rows, "depth");
    const Column heading(rows, "heading");
    const Column sigma(rows, "sigma");
    const Column pitch(rows, "pitch");
    const Column roll(rows, "roll");
    const auto *lines = rows.findMarks("line");
    const auto *sources = rows.findMarks("source");
    std::vector<PositionRecord> records(rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        PositionRecord &record = records[i];
        record.time = utcFromMicroseconds(rows.timeUs[i]);
        record.latitudeDeg = latitude.at(i);
        record.longitudeDeg = longitude.at(i);
        record.depthM = depth.maybeAt(i);
        record.headingDeg = heading.maybeAt(i);
        record.sigmaM = sigma.maybeAt(i);
        record.source = static_cast<PositionSource>(markAt(sources, i));
        record.line = markAt(lines, i);
        record.pitchDeg = pitch.maybeAt(i);
        record.rollDeg = roll.maybeAt(i);
    }
    return records;
}

std::vector<AcousticRecord> acousticsOf(const SensorRows &rows)
{
    const auto *lines = rows.findMarks("line");
    std::vector<AcousticRecord> records(rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        records[i].time = utcFromMicroseconds(rows.timeUs[i]);
        records[i].line = markAt(lines, i);
    }
    for (const auto &[name, member] : acousticColumns) {
        const Column column(rows, name);
        for (std::size_t i = 0; i < rows.size(); ++i)
            records[i].*member = column.maybeAt(i);
    }
    return records;
}

std::vector<VelocityRecord> velocitiesOf(const SensorRows &rows)
{
    const Column forward(rows, "forward");
    const Column starboard(rows, "starboard");
    const Column down(rows, "down");
    const Column altitude(rows, "altitude");
    const Column heading(rows, "heading");
    const auto *lines = rows.findMarks("line");
    std::vector<VelocityRecord> records(rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        VelocityRecord &record = records[i];
        record.time = utcFromMicroseconds(rows.timeUs[i]);
        record.forwardMs = forward.at(i);
        record.starboardMs = starboard.at(i);
        record.downMs = down.at(i);
        record.altitudeM = altitude.maybeAt(i);
        record.headingDeg = heading.maybeAt(i);
        record.line = markAt(lines, i);
    }
    return records;
}

} // namespace holdfast
