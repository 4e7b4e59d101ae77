// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "live/live_course.h"
#include "store/database.h"
#include "store/line_log.h"

#include <map>
#include <memory>
#include <stop_token>

namespace holdfast
{

/// Reads the recorded lines of a dive again as they were read when they came: the courses that a window shows
/// which was opened in mid-dive. A feed is read by the profile it was opened with last. Asked again it goes
/// on where it stopped. Belongs to one thread.
class RecordedCourse
{
public:
    explicit RecordedCourse(int dive) : m_dive(dive) {}

    /// At most so many lines of a feed are read in one call; of more, every second, third ... block. Fifty
    /// hours of one line a second are read whole, twelve hours at 24 Hz every sixth second.
    static constexpr qint64 mostLines = 180'000;

    /// What has been recorded since the last call, of feeds that give the vehicle's place, water or motion.
    /// What can't be read is left out: the feeds page counts it. Errors: the file; Cancelled.
    [[nodiscard]] Result<LiveCourse> readOn(const Database &db, std::stop_token stop = {});

private:
    struct Reading;
    [[nodiscard]] Done begin(const Recording &recording, const QByteArray &profileJson);
    [[nodiscard]] Done open(const LineLog &log, Reading &reading);
    [[nodiscard]] Done findBlocks(const LineLog &log);
    static void thin(Reading &reading, qint64 every);

    int m_dive;
    LiveValues m_values;
    std::map<QString, std::shared_ptr<Reading>> m_readings; ///< by recording; null: of no use here
    std::map<QString, QByteArray> m_headers;                ///< by feed, the last one it said
};

} // namespace holdfast
