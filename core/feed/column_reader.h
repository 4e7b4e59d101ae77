// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"
#include "feed/feed_profile.h"
#include "feed/intake_report.h"
#include "feed/line_table.h"
#include "feed/records.h"
#include "feed/text_values.h"

#include <array>
#include <string>
#include <vector>

namespace holdfast
{

/// Turns lines of a column text log into records, as its profile describes it. The same code reads a whole
/// file and a live feed line by line. Blank lines and comments are passed over; a line that can't be used is
/// kept aside with its reason and never stops the rest.
class ColumnReader
{
public:
    explicit ColumnReader(const FeedProfile &profile);

    /// One line, with or without its end. Lines are counted from 1. Error Malformed only for the header: when
    /// a needed column is not in it (the sentence names the columns found and expected).
    [[nodiscard]] Done push(std::string_view line);
    /// The file's last line when it has no line end: kept aside when it looks cut off.
    [[nodiscard]] Done pushLast(std::string_view line);
    /// A line of which only the beginning is at hand, because it is too long to be a record: kept aside.
    void pushTooLong(std::string_view beginning);

    /// True when push() of a regular line of this shape and pushTable() do the same: the fast way for CTD
    /// logs, possible once the header has been read.
    [[nodiscard]] bool fits(const LineShape &shape) const;
    /// All lines of a table whose shape fits.
    [[nodiscard]] Done pushTable(const LineTable &table);

    /// After the last line: puts the records in order of time and looks at the log as a whole for warnings.
    void finish();
    /// Makes room, so that a large log does not double its memory on the way.
    void reserve(std::size_t records);

    std::vector<PositionRecord> positions;
    std::vector<VelocityRecord> velocities;
    std::vector<AcousticRecord> acoustics;
    CtdColumns ctd;
    IntakeReport report;

private:
    struct Column {
        Quantity quantity = Quantity::Time;
        int shift10 = 0;
        double factor = 1;
        double offset = 0;
        bool degreesMinutes = false;
        bool used = false;
    };
    struct Row {
        std::array<double, quantityCount> value{};
        std::int64_t dateUs = 0;
        std::int64_t timeUs = 0;
        bool hasTime = false;
        bool hasDate = false;
        bool leap = false; ///< second 60
        char northSouth = 0;
        char eastWest = 0;
    };

    [[nodiscard]] Done useHeader(std::string_view line);
    void placeByIndex();
    [[nodiscard]] bool split(std::string_view line);
    void splitQuoted(std::string_view line);
    void splitBlanks(std::string_view line);
    [[nodiscard]] QString readRow(Row &row);
    [[nodiscard]] QString readField(const Column &column, std::string_view field, Row &row);
    [[nodiscard]] QString readOtherField(const Column &column, std::string_view field, Row &row);
    [[nodiscard]] QString readTime(std::string_view field, Row &row);
    [[nodiscard]] bool isMissing(std::string_view field) const;
    [[nodiscard]] QString finishTime(Row &row) const;
    [[nodiscard]] QString take(Row &row);
    [[nodiscard]] QString finishPlace(Row &row);
    [[nodiscard]] bool finishHeading(double &heading);
    [[nodiscard]] QString takePosition(Row &row);
    [[nodiscard]] QString takeVelocity(const Row &row);
    [[nodiscard]] QString takeAcoustic(const Row &row);
    [[nodiscard]] QString takeScan(const Row &row);
    void takeRegular(const LineTable &table, std::size_t first, std::size_t count);
    [[nodiscard]] std::vector<double> *ctdColumn(Quantity quantity);
    void rememberLast(std::size_t size, std::size_t decimals);
    [[nodiscard]] bool looksCut(std::string_view line);
    void warnAboutPositions();
    void warnAboutScans();

    FeedProfile m_profile;
    std::vector<Column> m_columns; ///< by place in the line
    std::vector<std::string_view> m_fields;
    std::string m_unquoted; ///< text behind m_fields when a line had quotes
    IsoReader m_iso;
    bool m_dateWithTime;     ///< date and time of day stand in one column
    std::size_t m_width = 0; ///< fields a line must have; 0 before the header
    std::uint32_t m_line = 0;
    std::size_t m_lastFieldSize = 0;
    std::size_t m_lastDecimals = 0; ///< of that field
    bool m_decimalsVary = false;
    std::int64_t m_latitudeBeyond90 = 0;
    std::int64_t m_longitudeWithin90 = 0;
    std::int64_t m_depthsAbove = 0;
};

} // namespace holdfast
