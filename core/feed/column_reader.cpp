// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/column_reader.h"

#include "feed/column_detail.h"
#include "feed/leap_notes.h"

#include <algorithm>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;
using detail::nameOf;
using detail::trimmed;

QString shown(std::string_view text)
{
    const std::string_view head = text.substr(0, 40);
    return QString::fromUtf8(head.data(), static_cast<qsizetype>(head.size()));
}

std::string_view withoutEnd(std::string_view line)
{
    if (!line.empty() && line.back() == '\n')
        line.remove_suffix(1);
    while (!line.empty() && line.back() == '\r')
        line.remove_suffix(1);
    return line;
}

constexpr std::size_t longestLine = std::size_t{1} << 20;

/// Characters behind the decimal mark.
std::size_t decimalsOf(std::string_view field, char mark)
{
    const std::size_t point = field.find(mark);
    return point == std::string_view::npos ? 0 : field.size() - point - 1;
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
    case Quantity::Range:
    case Quantity::Bearing:
    case Quantity::Date:
    case Quantity::Time:
        return true;
    default:
        return false;
    }
}

} // namespace

ColumnReader::ColumnReader(const FeedProfile &profile)
    : m_profile(profile), m_dateWithTime(profile.column(Quantity::Date) == nullptr)
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
    if (m_profile.kind == FeedKind::Acoustic)
        acoustics.reserve(records);
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
    if (line.size() > longestLine) {
        pushTooLong(line);
        return {};
    }
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
    const UtcTime read = utcFromMicroseconds(row.timeUs);
    if (row.leap)
        row.timeUs = microsecondsOf(keptInLeapSecond(read));
    if (fault.isEmpty())
        fault = take(row);
    if (fault.isEmpty() && row.leap)
        noteLeapSecond(report, read, m_line);
    if (!fault.isEmpty())
        report.reject(fault, m_line, line);
    rememberLast(m_fields.back().size(), decimalsOf(m_fields.back(), m_profile.decimalMark));
    return {};
}

void ColumnReader::rememberLast(std::size_t size, std::size_t decimals)
{
    m_decimalsVary = m_decimalsVary || (m_lastFieldSize > 0 && decimals != m_lastDecimals);
    m_lastFieldSize = size;
    m_lastDecimals = decimals;
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

void ColumnReader::pushTooLong(std::string_view beginning)
{
    ++m_line;
    ++report.lines;
    report.reject(u"longer than a megabyte"_s, m_line, beginning);
}

/// A last line without its end is taken as cut when fields are missing, or its last field has fewer decimals
/// than that field always had, or, where their number varies or there are none, is shorter than that of the
/// line before: half a number must not pass for a number. As many decimals as there prove that nothing was
/// cut.
bool ColumnReader::looksCut(std::string_view line)
{
    if (line.front() == m_profile.comment)
        return false;
    if (!split(line))
        splitQuoted(line);
    if (m_fields.size() < m_width)
        return true;
    const std::string_view last = m_fields.back();
    const std::size_t decimals = decimalsOf(last, m_profile.decimalMark);
    if (m_lastDecimals > 0 && !m_decimalsVary)
        return decimals < m_lastDecimals;
    return last.size() < m_lastFieldSize && (m_lastDecimals == 0 || decimals < m_lastDecimals);
}

} // namespace holdfast
