// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/time_shift.h"
#include "live/replay_source.h"

#include <QTcpServer>
#include <QTimer>
#include <QUdpSocket>

namespace holdfast
{

/// Where a log is sent to: "udp://127.0.0.1:47001", or "tcp-listen:47001" (at 127.0.0.1) or
/// "tcp-listen:0.0.0.0:47001", which waits for the receivers to connect. Port 0 takes any free one.
struct SendTarget {
    bool listen = false;
    QString host;
    quint16 port = 0;
};
[[nodiscard]] Result<SendTarget> parseSendTarget(const QString &text);

/// How a log is sent.
struct SendPlan {
    QString path;
    FeedProfile profile;
    UtcTime from{};     ///< the first time of the log that is sent
    double speed = 1;   ///< 1 to 100
    bool asNow = false; ///< writes other times into the lines, so that the log seems to happen now
    SendTarget to;
};

/// Sends a log as if an instrument sent it now, each line when the time written in it has come. A header is
/// said again every five seconds, and to each new receiver, so that one that comes late can read the feed.
class LogSender : public QObject
{
    Q_OBJECT
public:
    explicit LogSender(SendPlan plan, QObject *parent = nullptr);

    /// Opens the log and the way out. A sender that listens begins when the first receiver connects.
    [[nodiscard]] Done start();
    /// Once it has finished: all is sent, or an error in one sentence.
    [[nodiscard]] const Done &outcome() const { return m_outcome; }
    [[nodiscard]] qint64 lines() const { return m_lines; }
    [[nodiscard]] quint16 port() const; ///< the one that is listened at

signals:
    void finished(); ///< outcome() says how

private:
    void begin();
    void finish(const Done &outcome);
    void send(const QByteArray &line, UtcTime logTime);
    void write(const QByteArray &line);
    void sayHeader();

    SendPlan m_plan;
    std::optional<TimeShifter> m_shifter;
    std::unique_ptr<ReplaySource> m_source;
    QUdpSocket m_udp;
    QTcpServer m_server;
    QList<QTcpSocket *> m_receivers;
    QByteArray m_header;
    QTimer m_headerAgain;
    UtcTime m_startedAt{}; ///< the host's time when the first line was sent
    Done m_outcome;
    qint64 m_lines = 0;
    bool m_begun = false;
};

} // namespace holdfast
