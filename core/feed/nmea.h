// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "feed/text_values.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace holdfast
{

enum class ChecksumState {
    Ok,
    Bad,
    Absent,
    Malformed, ///< not two hexadecimal digits, or the framing is broken
};

enum class NmeaOutcome {
    Accept,
    NoFix,      ///< well formed, but gives no position or heading
    NoChecksum, ///< whole but without checksum: the feed profile decides
    Reject,
    Ignore, ///< well formed, of a kind that is not used
};

struct CalendarDate {
    int year = 0, month = 0, day = 0;
};

/// One NMEA 0183 sentence and what a reader makes of it. Decoded are GGA, GLL, GNS, RMC (positions), ZDA
/// (date), HDT and THS (heading), VTG, DBT and DPT. A rejected sentence carries no value but its kind.
struct NmeaSentence {
    ChecksumState checksumState = ChecksumState::Malformed;
    std::optional<std::uint8_t> checksum; ///< computed; nothing when there is no start character
    NmeaOutcome outcome = NmeaOutcome::Reject;
    const char *reason = ""; ///< a phrase, for all outcomes but Accept
    std::string type;        ///< "GGA"; of a proprietary sentence what follows the P
    std::string talker;      ///< "GP"; "P" when proprietary

    std::optional<TimeOfDay> time; ///< second 60 only as 23:59:60
    std::optional<CalendarDate> date;
    std::optional<double> latitudeDeg, longitudeDeg; ///< north and east positive
    int minuteDecimals = 0;                          ///< decimals of the latitude's minutes
    std::optional<int> fixQuality, satellites;
    std::optional<double> hdop, altitudeM, geoidSeparationM;
    std::optional<char> status, mode;
    std::optional<double> speedKnots, speedKmH, courseTrueDeg, headingTrueDeg;
    std::optional<double> depthM;                         ///< DBT: below the transducer
    std::optional<double> depthBelowTransducerM, offsetM; ///< DPT
};

/// Reads one sentence, without line end (blanks, CR and LF at its end are dropped). Never fails: what is
/// wrong is in outcome and reason. Angles: latitude 0..90, longitude 0..180, minutes below 60, each with its
/// hemisphere letter. Source: NMEA 0183 / IEC 61162-1. Pure.
[[nodiscard]] NmeaSentence readNmea(std::string_view text);

/// Makes full instants of times of day. ZDA and valid RMC sentences set the date; later times take the day
/// that brings them nearest to the running time, so midnight, late sentences and the leap second fall right.
class NmeaClock
{
public:
    /// Starts with a date given from outside (profile, file name, person), or without.
    explicit NmeaClock(std::optional<UtcTime> about = {}) : m_running(about) {}

    /// The instant of the sentence; nothing when it has no time or the date is still unknown.
    [[nodiscard]] std::optional<UtcTime> instantOf(const NmeaSentence &sentence);
    [[nodiscard]] bool knowsDate() const { return m_running.has_value(); }
    [[nodiscard]] std::optional<UtcTime> runningTime() const { return m_running; }

private:
    std::optional<UtcTime> m_running;
};

/// The instant with this time of day that is nearest to `about`.
[[nodiscard]] UtcTime nearestDay(TimeOfDay time, UtcTime about);

} // namespace holdfast
