// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/column_detail.h"
#include "feed/column_reader.h"
#include "feed/leap_notes.h"
#include "feed/time_order.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

using namespace Qt::StringLiterals;
using detail::placeOf;

namespace
{

std::optional<double> presentOnly(double value)
{
    return std::isnan(value) ? std::optional<double>{} : value;
}

} // namespace

QString ColumnReader::take(Row &row)
{
    switch (m_profile.kind) {
    case FeedKind::Position:
        return takePosition(row);
    case FeedKind::Velocity:
        return takeVelocity(row);
    case FeedKind::Acoustic:
        return takeAcoustic(row);
    default:
        return takeScan(row);
    }
}

/// Latitude and longitude with signs, in range; the reason when that can't be.
QString ColumnReader::finishPlace(Row &row)
{
    double &latitude = row.value[placeOf(Quantity::Latitude)];
    double &longitude = row.value[placeOf(Quantity::Longitude)];
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
    if (std::abs(longitude) > 360)
        return u"longitude beyond 180"_s;
    if (longitude > 180) {
        longitude -= 360;
        report.note(u"longitudes from 180 to 360, taken as west"_s, m_line);
    } else if (longitude < -180) {
        longitude += 360;
        report.note(u"longitudes from -180 to -360, taken as east"_s, m_line);
    }
    return {};
}

/// Some logs count headings from -180 to 180. False when it is none; a missing one stays missing.
bool ColumnReader::finishHeading(double &heading)
{
    if (heading < 0 && heading >= -180) {
        heading += 360;
        report.note(u"headings from -180 to 0, taken as 180 to 360"_s, m_line);
    }
    return !(heading < 0 || heading > 360);
}

QString ColumnReader::takePosition(Row &row)
{
    if (QString fault = finishPlace(row); !fault.isEmpty())
        return fault;
    double heading = row.value[placeOf(Quantity::Heading)];
    if (!finishHeading(heading))
        return u"heading is not 0 to 360"_s;
    const double pitch = row.value[placeOf(Quantity::Pitch)], roll = row.value[placeOf(Quantity::Roll)];
    if (std::abs(pitch) > 90 || std::abs(roll) > 90)
        return u"pitch or roll beyond 90"_s;
    PositionRecord record;
    record.time = utcFromMicroseconds(row.timeUs);
    record.latitudeDeg = row.value[placeOf(Quantity::Latitude)];
    record.longitudeDeg = row.value[placeOf(Quantity::Longitude)];
    record.depthM = presentOnly(row.value[placeOf(Quantity::Depth)]);
    record.headingDeg = presentOnly(heading);
    record.sigmaM = presentOnly(row.value[placeOf(Quantity::Sigma)]);
    if (record.sigmaM && !(*record.sigmaM > 0))
        record.sigmaM.reset();
    if (record.depthM && *record.depthM < -20)
        ++m_depthsAbove;
    record.source = m_profile.source;
    record.line = m_line;
    record.pitchDeg = presentOnly(pitch);
    record.rollDeg = presentOnly(roll);
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
    double heading = row.value[placeOf(Quantity::Heading)];
    if (!finishHeading(heading))
        return u"heading is not 0 to 360"_s;
    record.time = utcFromMicroseconds(row.timeUs);
    record.altitudeM = presentOnly(row.value[placeOf(Quantity::Altitude)]);
    record.headingDeg = presentOnly(heading);
    record.line = m_line;
    velocities.push_back(record);
    return {};
}

QString ColumnReader::takeAcoustic(const Row &row)
{
    const auto present = [&row](Quantity q) { return presentOnly(row.value[placeOf(q)]); };
    AcousticRecord record;
    record.rangeM = present(Quantity::Range);
    record.bearingDeg = present(Quantity::Bearing);
    record.forwardM = present(Quantity::Forward);
    record.starboardM = present(Quantity::Starboard);
    record.downM = present(Quantity::Down);
    const bool polar = record.rangeM && record.bearingDeg;
    const bool vector = record.forwardM && record.starboardM && record.downM;
    if (!polar && !vector)
        return u"no range and bearing"_s;
    if (polar && !(*record.rangeM > 0 && *record.rangeM <= 15'000))
        return u"slant range is not 0 to 15000 m"_s;
    if (vector && std::hypot(*record.forwardM, *record.starboardM, *record.downM) > 15'000)
        return u"vector longer than 15000 m"_s;
    if (polar && !(std::abs(*record.bearingDeg) <= 360))
        return u"bearing is not -360 to 360"_s;
    record.depressionDeg = present(Quantity::Depression);
    double heading = row.value[placeOf(Quantity::Heading)];
    if (!finishHeading(heading))
        return u"heading is not 0 to 360"_s;
    record.headingDeg = presentOnly(heading);
    record.pitchDeg = present(Quantity::Pitch);
    record.rollDeg = present(Quantity::Roll);
    for (const auto &tilt : {record.depressionDeg, record.pitchDeg, record.rollDeg}) {
        if (tilt && std::abs(*tilt) > 90)
            return u"depression, pitch or roll beyond 90"_s;
    }
    record.depthM = present(Quantity::Depth);
    record.sigmaM = present(Quantity::Sigma);
    if (record.sigmaM && !(*record.sigmaM > 0))
        record.sigmaM.reset();
    record.time = utcFromMicroseconds(row.timeUs);
    record.line = m_line;
    acoustics.push_back(record);
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
    } else if (m_profile.kind == FeedKind::Acoustic) {
        putInOrder(acoustics, report);
    } else {
        putInOrder(ctd, report);
        warnAboutScans();
    }
    warnOfLeapSecondsPassedOver(report);
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
