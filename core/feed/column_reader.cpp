// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/column_reader.h"

#include "feed/time_order.h"

#include <algorithm>
#include <cmath>
#include <cstring>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

std::size_t placeOf(Quantity quantity)
{
    return static_cast<std::size_t>(quantity);
}

QString shown(std::string_view text)
{
    const std::string_view head = text.substr(0, 40);
    return QString::fromUtf8(head.data(), static_cast<qsizetype>(head.size()));
}

std::string_view trimmed(std::string_view text)
{
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t'))
        text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t'))
        text.remove_suffix(1);
    return text;
}

std::string_view withoutEnd(std::string_view line)
{
    if (!line.empty() && line.back() == '\n')
        line.remove_suffix(1);
    while (!line.empty() && line.back() == '\r')
        line.remove_suffix(1);
    return line;
}

/// The quantity's name in sentences.
QString nameOf(Quantity quantity)
{
    static constexpr std::array<const char *, quantityCount> names = {"latitude",
                                                                      "longitude",
                                                                      "depth",
                                                                      "heading",
                                                                      "sigma",
                                                                      "conductivity",
                                                                      "temperature",
                                                                      "pressure",
                                                                      "oxygen",
                                                                      "forward velocity",
                                                                      "starboard velocity",
                                                                      "down velocity",
                                                                      "altitude",
                                                                      "latitude hemisphere",
                                                                      "longitude hemisphere",
                                                                      "date",
                                                                      "time"};
    return QString::fromLatin1(names[placeOf(quantity)]);
}

/// The columns without which a line of this kind is useless.
bool isNeeded(Quantity quantity)
{
    switch (quantity) {
    case Quantity::Latitude:
    case Quantity::Longitude:
    case Quantity::LatitudeHemisphere:
    case Quantity::LongitudeHemisphere:
    case Quantity::Forward:
    case Quantity::Starboard:
    case Quantity::Down:
    case Quantity::Date:
    case Quantity::Time:
        return true;
    default:
        return false;
    }
}

std::optional<double> presentOnly(double value)
{
    return std::isnan(value) ? std::optional<double>{} : value;
}

} // namespace

ColumnReader::ColumnReader(const FeedProfile &profile) : m_profile(profile)
{
    m_fields.reserve(32);
    if (!m_profile.header)
        placeByIndex();
}

void ColumnReader::reserve(std::size_t records)
{
    if (m_profile.kind == FeedKind::Position)
        positions.reserve(records);
    if (m_profile.kind == FeedKind::Velocity)
        velocities.reserve(records);
    if (m_profile.kind != FeedKind::Ctd)
        return;
    ctd.timeUs.reserve(records);
    ctd.conductivityMsCm.reserve(records);
    ctd.temperatureDegC.reserve(records);
    ctd.pressureDbar.reserve(records);
    ctd.oxygenUmolKg.reserve(records);
    ctd.line.reserve(records);
}

void ColumnReader::placeByIndex()
{
    for (const ColumnSpec &spec : m_profile.columns) {
        const auto at = static_cast<std::size_t>(spec.index);
        if (m_columns.size() <= at)
            m_columns.resize(at + 1);
        m_columns[at] = {spec.quantity, spec.shift10, spec.factor, spec.offset, spec.degreesMinutes, true};
    }
    m_width = m_columns.size();
}

Done ColumnReader::useHeader(std::string_view line)
{
    if (!split(line))
        splitQuoted(line);
    QStringList found;
    for (const std::string_view field : m_fields)
        found += shown(trimmed(field));
    m_columns.assign(m_fields.size(), {});
    QStringList lacking;
    QStringList measured;
    bool anyMeasured = false;
    for (const ColumnSpec &spec : m_profile.columns) {
        bool there = false;
        for (qsizetype i = 0; i < found.size() && !there; ++i) {
            if (!spec.names.contains(found[i], Qt::CaseInsensitive))
                continue;
            there = true;
            m_columns[static_cast<std::size_t>(i)] = {spec.quantity, spec.shift10,        spec.factor,
                                                      spec.offset,   spec.degreesMinutes, true};
        }
        if (!there && isNeeded(spec.quantity))
            lacking += u"%1 (%2)"_s.arg(nameOf(spec.quantity), spec.names.join(u" or "_s));
        if (!isNeeded(spec.quantity)) {
            measured += spec.names.join(u" or "_s);
            anyMeasured = anyMeasured || there;
        }
    }
    const QString foundText = found.mid(0, 12).join(u", "_s) + (found.size() > 12 ? u", …"_s : QString());
    if (!lacking.isEmpty())
        return fail(ErrorKind::Malformed,
                    u"line %1 should be a header with the columns of profile %2, but has no column for %3. "
                    u"Columns found: %4."_s.arg(m_line)
                        .arg(m_profile.name, lacking.join(u", "_s), foundText));
    if (m_profile.kind == FeedKind::Ctd && !anyMeasured)
        return fail(ErrorKind::Malformed,
                    u"line %1 should be a header with the columns of profile %2, but has none of %3. Columns "
                    u"found: %4."_s.arg(m_line)
                        .arg(m_profile.name, measured.join(u", "_s), foundText));
    m_width = m_fields.size();
    return {};
}

/// Splits at the delimiter; false when the line has quotes, which need splitQuoted().
bool ColumnReader::split(std::string_view line)
{
    m_fields.clear();
    if (m_profile.delimiter == ' ') {
        splitBlanks(line);
        return true;
    }
    const char *at = line.data();
    const char *const end = at + line.size();
    const char *begin = at;
    for (; at < end; ++at) {
        if (*at == m_profile.delimiter) {
            m_fields.emplace_back(begin, static_cast<std::size_t>(at - begin));
            begin = at + 1;
        } else if (*at == '"') {
            return false;
        }
    }
    m_fields.emplace_back(begin, static_cast<std::size_t>(end - begin));
    return true;
}

void ColumnReader::splitBlanks(std::string_view line)
{
    std::size_t at = 0;
    while ((at = line.find_first_not_of(" \t", at)) != std::string_view::npos) {
        const std::size_t end = std::min(line.find_first_of(" \t", at), line.size());
        m_fields.push_back(line.substr(at, end - at));
        at = end;
    }
}

/// Fields in double quotes may hold the delimiter, and a quote written twice (RFC 4180).
void ColumnReader::splitQuoted(std::string_view line)
{
    std::vector<std::pair<std::size_t, std::size_t>> spans;
    m_unquoted.clear();
    bool quoted = false;
    std::size_t begin = 0;
    for (std::size_t i = 0; i < line.size(); ++i) {
        const char c = line[i];
        if (c == '"' && quoted && i + 1 < line.size() && line[i + 1] == '"') {
            m_unquoted += '"';
            ++i;
        } else if (c == '"') {
            quoted = !quoted;
        } else if (c == m_profile.delimiter && !quoted) {
            spans.emplace_back(begin, m_unquoted.size() - begin);
            begin = m_unquoted.size();
        } else {
            m_unquoted += c;
        }
    }
    spans.emplace_back(begin, m_unquoted.size() - begin);
    m_fields.clear();
    for (const auto &[first, length] : spans)
        m_fields.push_back(std::string_view(m_unquoted).substr(first, length));
}

Done ColumnReader::push(std::string_view line)
{
    ++m_line;
    ++report.lines;
    line = withoutEnd(line);
    if (m_line == 1 && line.starts_with("\xEF\xBB\xBF"))
        line.remove_prefix(3);
    if (line.empty() || line.front() == m_profile.comment || trimmed(line).empty())
        return {};
    if (m_width == 0)
        return useHeader(line);
    if (!split(line))
        splitQuoted(line);
    const bool enough = m_profile.header && m_profile.delimiter != ' ' ? m_fields.size() == m_width
                                                                       : m_fields.size() >= m_width;
    if (!enough) {
        report.reject(u"wrong number of fields (%1 instead of %2)"_s.arg(m_fields.size()).arg(m_width),
                      m_line, line);
        return {};
    }
    Row row;
    row.value.fill(missingValue);
    QString fault = readRow(row);
    if (fault.isEmpty())
        fault = take(row);
    if (!fault.isEmpty())
        report.reject(fault, m_line, line);
    m_lastFieldSize = m_fields.back().size();
    return {};
}

Done ColumnReader::pushLast(std::string_view line)
{
    if (m_width == 0 || line.empty() || !looksCut(line))
        return push(line);
    ++m_line;
    ++report.lines;
    report.reject(u"cut off: the file ends within this line"_s, m_line, line);
    return {};
}

/// A last line without its end is taken as cut when fields are missing or its last field is shorter than the
/// same field of the line before: half a number must not pass for a number.
bool ColumnReader::looksCut(std::string_view line)
{
    if (line.front() == m_profile.comment)
        return false;
    if (!split(line))
        splitQuoted(line);
    return m_fields.size() < m_width || m_fields.back().size() < m_lastFieldSize;
}

bool ColumnReader::isMissing(std::string_view field) const
{
    if (field.empty())
        return true;
    for (const std::string &token : m_profile.missing) {
        if (field == token)
            return true;
    }
    const std::string_view text = trimmed(field);
    if (text.empty())
        return true;
    if (text.size() != field.size())
        return isMissing(text);
    return text.size() == 3 && (text == "NaN" || text == "nan" || text == "NAN");
}

QString ColumnReader::readRow(Row &row)
{
    const std::size_t count = std::min(m_fields.size(), m_columns.size());
    for (std::size_t i = 0; i < count; ++i) {
        if (!m_columns[i].used)
            continue;
        QString fault = readField(m_columns[i], m_fields[i], row);
        if (!fault.isEmpty())
            return fault;
    }
    return finishTime(row);
}

QString ColumnReader::readField(const Column &column, std::string_view field, Row &row)
{
    if (column.quantity == Quantity::Time && m_profile.timeFormat == TimeFormat::Iso8601) {
        const std::optional<std::int64_t> us = m_iso.read(field);
        row.hasTime = us.has_value();
        row.timeUs = us.value_or(0);
        return us || isMissing(field) ? QString() : u"the time is not an ISO 8601 instant"_s;
    }
    // A plain number is by far the most frequent; tokens for "missing" are looked for when it is none, or
    // when the profile names some (they may be numbers, such as -99).
    const bool plain = column.quantity < Quantity::LatitudeHemisphere && !column.degreesMinutes;
    if ((!plain || !m_profile.missing.empty() || field.empty()) && isMissing(field))
        return {};
    if (plain) {
        const std::optional<double> value = readNumber(field, m_profile.decimalMark, column.shift10);
        if (!value)
            return isMissing(field) ? QString() : nameOf(column.quantity) + u" is not a number"_s;
        row.value[placeOf(column.quantity)] = *value * column.factor + column.offset;
        return {};
    }
    field = trimmed(field);
    switch (column.quantity) {
    case Quantity::Latitude:
    case Quantity::Longitude: {
        char &letter = column.quantity == Quantity::Latitude ? row.northSouth : row.eastWest;
        const std::optional<double> value = readDegreesMinutes(field, m_profile.decimalMark, letter);
        if (!value)
            return nameOf(column.quantity) + u" is not degrees and minutes with minutes below 60"_s;
        row.value[placeOf(column.quantity)] = *value;
        return {};
    }
    case Quantity::LatitudeHemisphere:
    case Quantity::LongitudeHemisphere: {
        const bool northSouth = column.quantity == Quantity::LatitudeHemisphere;
        const char letter = field.size() == 1 ? static_cast<char>(field.front() & ~0x20) : '\0';
        if (letter == '\0' || std::strchr(northSouth ? "NS" : "EW", letter) == nullptr)
            return nameOf(column.quantity) + (northSouth ? u" is not N or S"_s : u" is not E or W"_s);
        (northSouth ? row.northSouth : row.eastWest) = letter;
        return {};
    }
    case Quantity::Date: {
        const std::optional<std::int64_t> us = readDate(field, m_profile.dateOrder);
        row.hasDate = us.has_value();
        row.dateUs = us.value_or(0);
        return us ? QString() : u"no such date"_s;
    }
    default:
        break;
    }
    if (m_profile.timeFormat == TimeFormat::DateTime) {
        const std::optional<std::int64_t> us = readTimeOfDay(field);
        row.hasTime = us.has_value();
        row.timeUs = us.value_or(0);
        return us ? QString() : u"the time is not hh:mm:ss or hhmmss"_s;
    }
    // Seconds since 1970, as text times a million, so that no microsecond is lost in a double.
    const std::optional<double> us = readNumber(field, m_profile.decimalMark, 6);
    row.hasTime = us.has_value() && std::abs(*us) < 8e15;
    row.timeUs = row.hasTime ? std::llround(*us) : 0;
    return row.hasTime ? QString() : u"the time is not a number of seconds since 1970"_s;
}

QString ColumnReader::finishTime(Row &row) const
{
    if (!row.hasTime)
        return u"no time"_s;
    if (m_profile.timeFormat == TimeFormat::DateTime) {
        if (!row.hasDate)
            return u"no date"_s;
        row.timeUs += row.dateUs;
    }
    return {};
}

QString ColumnReader::take(Row &row)
{
    switch (m_profile.kind) {
    case FeedKind::Position:
        return takePosition(row);
    case FeedKind::Velocity:
        return takeVelocity(row);
    default:
        return takeScan(row);
    }
}

QString ColumnReader::takePosition(Row &row)
{
    double latitude = row.value[placeOf(Quantity::Latitude)];
    double longitude = row.value[placeOf(Quantity::Longitude)];
    if (std::isnan(latitude) || std::isnan(longitude))
        return u"no position"_s;
    if ((row.northSouth != 0 && latitude < 0) || (row.eastWest != 0 && longitude < 0))
        return u"both a sign and a hemisphere letter"_s;
    if ((row.northSouth != 0 && row.northSouth != 'N' && row.northSouth != 'S') ||
        (row.eastWest != 0 && row.eastWest != 'E' && row.eastWest != 'W'))
        return u"hemisphere letter of the other axis"_s;
    if (row.northSouth == 'S')
        latitude = -latitude;
    if (row.eastWest == 'W')
        longitude = -longitude;
    if (std::abs(longitude) <= 90)
        ++m_longitudeWithin90;
    if (std::abs(latitude) > 90) {
        ++m_latitudeBeyond90;
        return u"latitude beyond 90"_s;
    }
    if (longitude < -180 || longitude > 360)
        return u"longitude beyond 180"_s;
    if (longitude > 180) {
        longitude -= 360;
        report.note(u"longitudes from 180 to 360, taken as west"_s, m_line);
    }
    const double heading = row.value[placeOf(Quantity::Heading)];
    if (heading < 0 || heading > 360)
        return u"heading is not 0 to 360"_s;
    PositionRecord record;
    record.time = utcFromMicroseconds(row.timeUs);
    record.latitudeDeg = latitude;
    record.longitudeDeg = longitude;
    record.depthM = presentOnly(row.value[placeOf(Quantity::Depth)]);
    record.headingDeg = presentOnly(heading);
    record.sigmaM = presentOnly(row.value[placeOf(Quantity::Sigma)]);
    if (record.sigmaM && !(*record.sigmaM > 0))
        record.sigmaM.reset();
    if (record.depthM && *record.depthM < -20)
        ++m_depthsAbove;
    record.source = m_profile.source;
    record.line = m_line;
    positions.push_back(record);
    return {};
}

QString ColumnReader::takeVelocity(const Row &row)
{
    VelocityRecord record;
    record.forwardMs = row.value[placeOf(Quantity::Forward)];
    record.starboardMs = row.value[placeOf(Quantity::Starboard)];
    record.downMs = row.value[placeOf(Quantity::Down)];
    if (std::isnan(record.forwardMs) || std::isnan(record.starboardMs) || std::isnan(record.downMs))
        return u"no velocity"_s;
    if (std::max({std::abs(record.forwardMs), std::abs(record.starboardMs), std::abs(record.downMs)}) > 20)
        return u"velocity beyond 20 m/s"_s;
    const double heading = row.value[placeOf(Quantity::Heading)];
    if (heading < 0 || heading > 360)
        return u"heading is not 0 to 360"_s;
    record.time = utcFromMicroseconds(row.timeUs);
    record.altitudeM = presentOnly(row.value[placeOf(Quantity::Altitude)]);
    record.headingDeg = presentOnly(heading);
    record.line = m_line;
    velocities.push_back(record);
    return {};
}

QString ColumnReader::takeScan(const Row &row)
{
    const double conductivity = row.value[placeOf(Quantity::Conductivity)];
    const double temperature = row.value[placeOf(Quantity::Temperature)];
    const double pressure = row.value[placeOf(Quantity::Pressure)];
    const double oxygen = row.value[placeOf(Quantity::Oxygen)];
    if (std::isnan(conductivity) && std::isnan(temperature) && std::isnan(pressure) && std::isnan(oxygen))
        return u"no value"_s;
    ctd.timeUs.push_back(row.timeUs);
    ctd.conductivityMsCm.push_back(conductivity);
    ctd.temperatureDegC.push_back(temperature);
    ctd.pressureDbar.push_back(pressure);
    ctd.oxygenUmolKg.push_back(oxygen);
    ctd.line.push_back(m_line);
    return {};
}

void ColumnReader::finish()
{
    if (m_profile.kind == FeedKind::Position) {
        putInOrder(positions, report);
        warnAboutPositions();
    } else if (m_profile.kind == FeedKind::Velocity) {
        putInOrder(velocities, report);
    } else {
        putInOrder(ctd, report);
        warnAboutScans();
    }
}

void ColumnReader::warnAboutPositions()
{
    const auto seen = static_cast<std::int64_t>(positions.size()) + m_latitudeBeyond90;
    if (m_latitudeBeyond90 * 2 > seen && m_longitudeWithin90 * 2 > seen)
        report.warnings +=
            u"%1 of %2 latitudes are beyond 90 while the longitudes are within 90: the two columns "
            u"look swapped."_s.arg(m_latitudeBeyond90)
                .arg(seen);
    if (m_depthsAbove * 2 > seen)
        report.warnings +=
            u"%1 of %2 depths are more than 20 m above the surface: the log seems to count depth "
            u"upward (profile unit \"-m\")."_s.arg(m_depthsAbove)
                .arg(seen);
}

/// Open-ocean water has 25 to 70 mS/cm, which is 2.5 to 7 S/m (common practice): a median far from it tells
/// that the profile's unit is not the log's.
void ColumnReader::warnAboutScans()
{
    const auto medianOf = [](const std::vector<double> &column) {
        std::vector<double> some; // every 64th scan is enough for a median of this use
        const std::size_t step = column.size() > 20'000 ? 64 : 1;
        for (std::size_t i = 0; i < column.size(); i += step) {
            if (!std::isnan(column[i]) && column[i] != 0)
                some.push_back(column[i]);
        }
        if (some.empty())
            return missingValue;
        const auto middle = some.begin() + static_cast<std::ptrdiff_t>(some.size() / 2);
        std::nth_element(some.begin(), middle, some.end());
        return *middle;
    };
    const double conductivity = medianOf(ctd.conductivityMsCm);
    const double temperature = medianOf(ctd.temperatureDegC);
    if (conductivity > 1.5 && conductivity < 8 && temperature > -2.5)
        report.warnings +=
            u"the median conductivity is %1 mS/cm at %2 degC: sea water has 25 to 70 mS/cm, the log "
            u"looks as if it were in S/m."_s.arg(conductivity, 0, 'f', 2)
                .arg(temperature, 0, 'f', 1);
    if (conductivity > 150)
        report.warnings +=
            u"the median conductivity is %1 mS/cm: sea water has 25 to 70 mS/cm, the log looks as if "
            u"it were in mS/cm already or in uS/cm."_s.arg(conductivity, 0, 'f', 1);
}

} // namespace holdfast
