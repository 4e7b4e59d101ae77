// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/column_reader.h"
#include "feed/nmea_reader.h"

namespace holdfast
{

/// One reader for whichever kind of log a profile describes: for files and for live feeds, line by line.
class LineParser
{
public:
    /// `dateHint`: an instant near the first line, for NMEA logs without date.
    explicit LineParser(const FeedProfile &profile, std::optional<UtcTime> dateHint = {});

    /// One line, with or without its end. Error only when the header is not the profile's.
    [[nodiscard]] Done push(std::string_view line);
    /// The last line of a file that does not end in a line end.
    [[nodiscard]] Done pushLast(std::string_view line);
    /// A piece of a line that is too long to be held whole; all pieces up to the last count as one line.
    /// Column text is kept aside, sentences are found in each piece.
    void pushPiece(std::string_view piece, bool first, bool last);
    /// See ColumnReader; never fits for NMEA logs.
    [[nodiscard]] bool fits(const LineShape &shape) const { return !m_isNmea && m_columns.fits(shape); }
    [[nodiscard]] Done pushTable(const LineTable &table) { return m_columns.pushTable(table); }
    void finish();
    void reserve(std::size_t records);

    [[nodiscard]] IntakeReport &report();
    /// What came in so far, in the order of the log until finish(); a live reader may take them out.
    [[nodiscard]] std::vector<PositionRecord> &positions();
    [[nodiscard]] std::vector<VelocityRecord> &velocities() { return m_columns.velocities; }
    [[nodiscard]] std::vector<AcousticRecord> &acoustics() { return m_columns.acoustics; }
    [[nodiscard]] CtdColumns &ctd() { return m_columns.ctd; }
    [[nodiscard]] const NmeaCounts &nmeaCounts() const { return m_nmea.counts; }

private:
    bool m_isNmea;
    ColumnReader m_columns;
    NmeaReader m_nmea;
};

} // namespace holdfast
