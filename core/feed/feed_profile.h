// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"
#include "feed/acoustic_setup.h"
#include "feed/records.h"

#include <QByteArray>
#include <QString>
#include <QStringList>
#include <optional>
#include <string>
#include <vector>

namespace holdfast
{

/// What a log holds.
enum class FeedKind {
    Nmea,     ///< NMEA 0183 sentences: positions and headings
    Position, ///< positions as columns of text
    Ctd,      ///< conductivity, temperature, pressure, oxygen as columns of text
    Velocity, ///< bottom-track velocities of a Doppler log as columns of text
    Acoustic, ///< raw ranges and bearings of a ship's acoustic system as columns of text
};

/// What a column of a text log means. The unit after reading stands in the comment.
enum class Quantity : std::uint8_t {
    Latitude,            ///< degrees, north positive
    Longitude,           ///< degrees, east positive
    Depth,               ///< m, positive down
    Heading,             ///< degrees true
    Sigma,               ///< m, standard deviation of one horizontal axis
    Conductivity,        ///< mS/cm
    Temperature,         ///< degC, ITS-90
    Pressure,            ///< dbar, sea pressure
    Oxygen,              ///< umol/kg
    Forward,             ///< m/s (of an acoustic vector: m)
    Starboard,           ///< m/s (m)
    Down,                ///< m/s (m)
    Altitude,            ///< m above the bottom
    Range,               ///< m, slant range
    Bearing,             ///< degrees clockwise
    Depression,          ///< degrees down from the deck plane
    Pitch,               ///< degrees, positive bow up
    Roll,                ///< degrees, positive starboard down
    LatitudeHemisphere,  ///< the letter N or S
    LongitudeHemisphere, ///< the letter E or W
    Date,                ///< calendar date, when it stands apart from the time of day
    Time,                ///< the instant, or the time of day beside a date
};
inline constexpr std::size_t quantityCount = 22;

/// Where one quantity stands and how its number becomes the unit above:
/// value = number * 10^shift10 * factor + offset. The power of ten is kept apart because it loses no digit.
struct ColumnSpec {
    Quantity quantity = Quantity::Time;
    QStringList names; ///< header names that mean it, any of them; compared without regard to case
    int index = -1;    ///< column counted from 0, for logs without a header
    int shift10 = 0;
    double factor = 1;
    double offset = 0;
    bool degreesMinutes = false; ///< DDMM.mmm or DDDMM.mmm instead of degrees
};

enum class TimeFormat {
    Iso8601,     ///< 2026-03-12T14:22:07.300Z; a time without zone is UTC
    UnixSeconds, ///< seconds since 1970, with decimals
    DateTime,    ///< a date and hh:mm:ss.sss or hhmmss.sss, in two columns or, apart by a blank, in one
};
enum class DateOrder { YearMonthDay, DayMonthYear, MonthDayYear };

/// A feed profile: everything about a log that the log does not say itself. Made from a JSON file of
/// templates/feeds (its README.md describes every key).
struct FeedProfile {
    QString name;
    QString title;
    FeedKind kind = FeedKind::Position;
    QByteArray json; ///< the file as read, kept with each log that was read by it

    char delimiter = ','; ///< ' ' means runs of blanks or tabs
    bool header = true;
    char comment = '#';
    char decimalMark = '.';
    std::vector<std::string> missing; ///< what stands for no value, besides an empty field
    TimeFormat timeFormat = TimeFormat::Iso8601;
    DateOrder dateOrder = DateOrder::YearMonthDay;
    std::vector<ColumnSpec> columns;

    PositionSource source = PositionSource::Acoustic;
    std::optional<double> sigmaM;                   ///< m, one axis, where the log states none
    std::optional<double> sigmaPercentOfSlantRange; ///< %, one axis
    std::optional<double> sigmaPerHdopM;            ///< m for an HDOP of 1 (NMEA only)
    bool withoutChecksum = false;                   ///< NMEA lines without checksum are used, and counted
    bool ofShip =
        false; ///< positions of the ship, not of the vehicle: they place what its acoustics measured
    AcousticSetup acoustic; ///< kind Acoustic only

    [[nodiscard]] const ColumnSpec *column(Quantity quantity) const;
};

/// Reads a profile. `from` is the file's name for the sentence of an Error (Malformed), which names the key
/// and what was expected there. Unknown keys are refused, so that a misspelt one can't be silently without
/// effect.
[[nodiscard]] Result<FeedProfile> parseFeedProfile(const QByteArray &json, const QString &from);

/// Finds `name`.json in the folders, first one wins. Error NotFound names the profiles that are there.
[[nodiscard]] Result<FeedProfile> loadFeedProfile(const QString &name, const QStringList &folders);

/// The names of all profiles in the folders, sorted, each once.
[[nodiscard]] QStringList feedProfileNames(const QStringList &folders);

} // namespace holdfast
