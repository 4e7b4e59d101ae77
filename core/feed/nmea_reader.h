// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/feed_profile.h"
#include "feed/intake_report.h"
#include "feed/nmea.h"
#include "feed/records.h"

#include <map>
#include <string>
#include <vector>

namespace holdfast
{

/// What the sentences of a log were, before positions of one epoch are joined.
struct NmeaCounts {
    std::int64_t valid = 0;   ///< sentences with a right checksum, of whatever kind
    std::int64_t invalid = 0; ///< with a wrong one
    std::int64_t withoutChecksum = 0;
    std::int64_t positions = 0;                 ///< sentences that gave a position
    std::map<std::string, std::int64_t> byType; ///< valid ones by type ("GGA"); "P…" for proprietary ones
};

/// Turns lines of an NMEA 0183 log into positions. Sentences are found wherever they stand in a line: at
/// every
/// '$' or '!', 1 to 120 printable characters without '$', '!' and '*', then '*' and two hexadecimal digits;
/// so bytes of other kinds between them cost nothing. GGA, RMC, GLL and GNS of one epoch (same time,
/// positions within 0.001 minute) are one record with the finest position; headings (HDT, THS) join the
/// position beside them. Positions before the first date are dated backwards from it.
class NmeaReader
{
public:
    NmeaReader(const FeedProfile &profile, std::optional<UtcTime> dateHint);

    /// One line, with or without its end. Lines are counted from 1.
    void push(std::string_view line);
    /// A piece of a line that is too long to be held whole; all pieces up to the last are one line.
    void pushPiece(std::string_view piece, bool first, bool last);
    /// After the last line: positions still without a date are kept aside, the rest put in order of time.
    void finish();

    std::vector<PositionRecord> positions;
    IntakeReport report;
    NmeaCounts counts;

private:
    struct Undated {
        TimeOfDay time;
        PositionRecord record;
        std::string text;
    };

    /// What was found in a line, or in a piece of one.
    struct Found {
        std::int64_t sentences = 0;
        bool otherBytes = false;
        bool bare = false; ///< a sentence without checksum
    };

    [[nodiscard]] Found scan(std::string_view line);
    void takeSentence(std::string_view text);
    void takeBare(std::string_view text);
    void keepAside(const NmeaSentence &sentence, std::string_view text);
    void use(const NmeaSentence &sentence, std::string_view text);
    void usePosition(const NmeaSentence &sentence, std::string_view text);
    bool joined(const NmeaSentence &sentence);
    void dateBackwards(UtcTime first);

    FeedProfile m_profile;
    NmeaClock m_clock;
    std::vector<Undated> m_undated;
    std::optional<double> m_heading;     ///< arrived since the last epoch began
    std::optional<TimeOfDay> m_lastTime; ///< of the last position record
    int m_lastDecimals = 0;
    bool m_lastUndated = false;
    std::uint32_t m_line = 0;
    Found m_pieces; ///< of the line whose pieces are coming
};

} // namespace holdfast
