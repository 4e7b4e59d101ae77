// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "live/host_clock.h"
#include "live/line_source.h"
#include "live/record_taker.h"
#include "live/ship_clock.h"

#include <QFile>
#include <QTimer>
#include <optional>

namespace holdfast
{

/// Plays a log file as if it were arriving now: each line is sent when the ship clock reaches the time
/// written in it. Lines without a time (headers, bad lines) follow the line before them. What lies before the
/// clock's start is read over quickly and not sent, but for the header. With a host clock the receive times
/// are the host's, as those of any other feed; without one they are the log's own.
class ReplaySource : public LineSource
{
    Q_OBJECT
public:
    ReplaySource(QString path, const FeedProfile &profile, ShipClock clock,
                 std::optional<HostClock> host = {}, QObject *parent = nullptr);

    [[nodiscard]] Done start() override;
    [[nodiscard]] QString describe() const override;

    /// The time of the first record of a log: where its replay can begin. Reads no further than it must.
    [[nodiscard]] static Result<UtcTime> firstTime(const QString &path, const FeedProfile &profile);

private:
    void advance();
    [[nodiscard]] std::optional<UtcTime> timeOf(const QByteArray &line);

    QString m_path;
    FeedProfile m_profile;
    ShipClock m_clock;
    std::optional<HostClock> m_host;
    UtcTime m_start{};
    LineParser m_timing; ///< reads each line only to know its time
    RecordTaker m_taker;
    QFile m_file;
    QTimer m_timer;
    QByteArray m_next; ///< read, waiting for its time
    std::optional<UtcTime> m_nextTime;
    bool m_haveNext = false;
    bool m_timeSeen = false;
    bool m_begun = false; ///< the last line with a time was in the part that is replayed
};

} // namespace holdfast
