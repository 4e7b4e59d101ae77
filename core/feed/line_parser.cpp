// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/line_parser.h"

namespace holdfast
{

LineParser::LineParser(const FeedProfile &profile, std::optional<UtcTime> dateHint)
    : m_isNmea(profile.kind == FeedKind::Nmea), m_columns(profile), m_nmea(profile, dateHint)
{
}

Done LineParser::push(std::string_view line)
{
    if (!m_isNmea)
        return m_columns.push(line);
    m_nmea.push(line);
    return {};
}

Done LineParser::pushLast(std::string_view line)
{
    return m_isNmea ? push(line) : m_columns.pushLast(line);
}

void LineParser::pushPiece(std::string_view piece, bool first, bool last)
{
    if (m_isNmea)
        m_nmea.pushPiece(piece, first, last);
    else if (first)
        m_columns.pushTooLong(piece);
}

void LineParser::finish()
{
    if (m_isNmea)
        m_nmea.finish();
    else
        m_columns.finish();
}

void LineParser::reserve(std::size_t records)
{
    if (!m_isNmea)
        m_columns.reserve(records);
}

IntakeReport &LineParser::report()
{
    return m_isNmea ? m_nmea.report : m_columns.report;
}

std::vector<PositionRecord> &LineParser::positions()
{
    return m_isNmea ? m_nmea.positions : m_columns.positions;
}

} // namespace holdfast
