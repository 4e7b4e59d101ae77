// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/column_detail.h"
#include "feed/column_reader.h"
#include "feed/leap_notes.h"

#include <algorithm>
#include <cmath>
#include <cstring>

namespace holdfast
{

using namespace Qt::StringLiterals;
using detail::placeOf;
using detail::trimmed;

QString detail::nameOf(Quantity quantity)
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
                                                                      "range",
                                                                      "bearing",
                                                                      "depression",
                                                                      "pitch",
                                                                      "roll",
                                                                      "latitude hemisphere",
                                                                      "longitude hemisphere",
                                                                      "date",
                                                                      "time"};
    return QString::fromLatin1(names[placeOf(quantity)]);
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
        row.leap = m_iso.leap();
        if (us || isMissing(field))
            return {};
        return row.leap ? noLeapSecond() : u"the time is not an ISO 8601 instant"_s;
    }
    // A plain number is by far the most frequent; tokens for "missing" are looked for when it is none, or
    // when the profile names some (they may be numbers, such as -99).
    const bool plain = column.quantity < Quantity::LatitudeHemisphere && !column.degreesMinutes;
    if ((!plain || !m_profile.missing.empty() || field.empty()) && isMissing(field))
        return {};
    if (!plain)
        return readOtherField(column, trimmed(field), row);
    const std::optional<double> value = readNumber(field, m_profile.decimalMark, column.shift10);
    if (!value)
        return isMissing(field) ? QString() : detail::nameOf(column.quantity) + u" is not a number"_s;
    // -999 in the profile stands for -999.00 in the log too.
    for (const std::string &token : m_profile.missing) {
        if (readNumber(token, m_profile.decimalMark, column.shift10) == value)
            return {};
    }
    row.value[placeOf(column.quantity)] = *value * column.factor + column.offset;
    return {};
}

/// Fields that are no plain numbers: angles in minutes, letters, dates and times.
QString ColumnReader::readOtherField(const Column &column, std::string_view field, Row &row)
{
    switch (column.quantity) {
    case Quantity::Latitude:
    case Quantity::Longitude: {
        char &letter = column.quantity == Quantity::Latitude ? row.northSouth : row.eastWest;
        const std::optional<double> value = readDegreesMinutes(field, m_profile.decimalMark, letter);
        if (!value)
            return detail::nameOf(column.quantity) + u" is not degrees and minutes with minutes below 60"_s;
        row.value[placeOf(column.quantity)] = *value;
        return {};
    }
    case Quantity::LatitudeHemisphere:
    case Quantity::LongitudeHemisphere: {
        const bool northSouth = column.quantity == Quantity::LatitudeHemisphere;
        const char letter = field.size() == 1 ? static_cast<char>(field.front() & ~0x20) : '\0';
        if (letter == '\0' || std::strchr(northSouth ? "NS" : "EW", letter) == nullptr)
            return detail::nameOf(column.quantity) + (northSouth ? u" is not N or S"_s : u" is not E or W"_s);
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
        return readTime(field, row);
    }
}

/// A time that is not ISO 8601.
QString ColumnReader::readTime(std::string_view field, Row &row)
{
    if (m_profile.timeFormat == TimeFormat::DateTime) {
        const std::int64_t zone = takeZone(field).value_or(0);
        if (m_dateWithTime) {
            const std::size_t gap = std::min(field.find_first_of(" \tT"), field.size());
            const std::optional<std::int64_t> date = readDate(field.substr(0, gap), m_profile.dateOrder);
            row.hasDate = date.has_value();
            row.dateUs = date.value_or(0);
            if (!date)
                return u"no such date"_s;
            field.remove_prefix(gap + (gap < field.size() ? 1 : 0));
        }
        std::string pointed; // times of logs with a decimal comma
        if (m_profile.decimalMark != '.' && field.find(m_profile.decimalMark) != std::string_view::npos) {
            pointed.assign(field);
            std::replace(pointed.begin(), pointed.end(), m_profile.decimalMark, '.');
            field = pointed;
        }
        const std::optional<TimeOfDay> time = readTimeOfDay(field);
        if (!time)
            return u"the time is not hh:mm:ss or hhmmss"_s;
        row.hasTime = true;
        row.timeUs = time->sinceMidnightUs() - zone;
        row.leap = time->leap();
        return {};
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
    if (row.leap && !mayBeLeapSecond(utcFromMicroseconds(row.timeUs)))
        return noLeapSecond();
    return {};
}

} // namespace holdfast
