// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/feed_profile.h"

#include <QByteArray>

namespace holdfast
{

/// Writes other times into the lines of a log, so that a log of last month can be sent as if it were now.
/// Only for trying the program: what it makes is not what an instrument said.
class TimeShifter
{
public:
    /// Error Refused for a profile whose date and time stand in columns of their own.
    [[nodiscard]] static Result<TimeShifter> make(const FeedProfile &profile);

    /// The line with every time in it moved by `by`; times keep their form and number of decimals, NMEA
    /// sentences get the checksum that fits. A line without a time comes back as it is. Lines must be given
    /// in the order of the log, its header too.
    [[nodiscard]] QByteArray shifted(const QByteArray &line, Microseconds by);

private:
    explicit TimeShifter(FeedProfile profile);
    [[nodiscard]] QByteArray shiftedColumns(const QByteArray &line, Microseconds by);

    FeedProfile m_profile;
    qsizetype m_column = -1; ///< of the time; unknown before the header
};

/// The NMEA sentence ("$…*hh") with its time, and its date where it has one, moved. Others come back as they
/// are. Pure.
[[nodiscard]] QByteArray shiftedSentence(const QByteArray &sentence, Microseconds by);

} // namespace holdfast
