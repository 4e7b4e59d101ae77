// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/log_sender.h"

#include "feed/feed_address.h"

#include <QTcpSocket>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

constexpr int headerEveryMs = 5000;
constexpr qint64 mostUnsentBytes = 8 << 20; ///< of a receiver that does not read: then it is let go

} // namespace

Result<SendTarget> parseSendTarget(const QString &text)
{
    const bool listen = text.startsWith(u"tcp-listen:"_s);
    if (!listen && !text.startsWith(u"udp://"_s))
        return fail(
            ErrorKind::Usage,
            u"\"%1\" is no place to send to; write udp://127.0.0.1:47001 or tcp-listen:47001."_s.arg(text));
    QString rest = text.sliced(listen ? 11 : 6);
    if (listen && !rest.contains(u':'))
        rest.prepend(u"127.0.0.1:"_s);
    const auto place = parseHostAndPort(rest, listen);
    if (!place)
        return place.error();
    if (!listen && QHostAddress(place->host).isNull())
        return fail(ErrorKind::Usage,
                    u"\"%1\" is no address in numbers, as 127.0.0.1 is."_s.arg(place->host));
    return SendTarget{listen, place->host, place->port};
}

LogSender::LogSender(SendPlan plan, QObject *parent) : QObject(parent), m_plan(std::move(plan))
{
    m_headerAgain.setInterval(headerEveryMs);
    connect(&m_headerAgain, &QTimer::timeout, this, &LogSender::sayHeader);
    connect(&m_server, &QTcpServer::newConnection, this, [this] {
        while (QTcpSocket *socket = m_server.nextPendingConnection()) {
            m_receivers << socket;
            connect(socket, &QTcpSocket::disconnected, this, [this, socket] {
                m_receivers.removeOne(socket);
                socket->deleteLater();
            });
            if (!m_header.isEmpty())
                socket->write(m_header);
        }
        begin();
    });
}

quint16 LogSender::port() const
{
    return m_server.serverPort();
}

Done LogSender::start()
{
    if (m_plan.asNow) {
        auto shifter = TimeShifter::make(m_plan.profile);
        if (!shifter)
            return shifter.error();
        m_shifter = std::move(*shifter);
    }
    if (auto first = ReplaySource::firstTime(m_plan.path, m_plan.profile); !first)
        return first.error();
    if (m_plan.to.listen) {
        if (!m_server.listen(QHostAddress(m_plan.to.host), m_plan.to.port))
            return fail(ErrorKind::Unwritable, u"%1 port %2 can't be listened at: %3."_s.arg(m_plan.to.host)
                                                   .arg(m_plan.to.port)
                                                   .arg(m_server.errorString()));
        return {};
    }
    begin();
    return {};
}

void LogSender::begin()
{
    if (m_begun)
        return;
    m_begun = true;
    m_startedAt = HostClock().utc();
    m_source = std::make_unique<ReplaySource>(m_plan.path, m_plan.profile,
                                              ShipClock::replaying(m_plan.from, m_plan.speed));
    connect(m_source.get(), &LineSource::lineReceived, this,
            [this](const QByteArray &line, qint64 us) { send(line, utcFromMicroseconds(us)); });
    connect(m_source.get(), &LineSource::troubled, this, [this](const QString &said) {
        if (!said.isEmpty())
            finish(fail(ErrorKind::Malformed, said));
    });
    connect(m_source.get(), &LineSource::ended, this, [this] {
        for (QTcpSocket *socket : m_receivers) {
            socket->flush();
            socket->disconnectFromHost();
        }
        finish({});
    });
    if (auto started = m_source->start(); !started)
        finish(started);
    if (m_plan.profile.header && m_plan.profile.kind != FeedKind::Nmea)
        m_headerAgain.start();
}

void LogSender::finish(const Done &outcome)
{
    m_outcome = outcome;
    emit finished();
}

void LogSender::send(const QByteArray &line, UtcTime logTime)
{
    QByteArray out = line;
    if (m_shifter) {
        // The log runs `speed` times as fast; the times written must keep step with the host's clock.
        const double sinceFrom = secondsBetween(m_plan.from, logTime) / m_plan.speed;
        const UtcTime now =
            m_startedAt + std::chrono::duration_cast<Microseconds>(std::chrono::duration<double>(sinceFrom));
        out = m_shifter->shifted(line, now - logTime);
    }
    out += "\r\n";
    const bool heads = m_plan.profile.header && m_plan.profile.kind != FeedKind::Nmea && m_header.isEmpty() &&
                       !line.isEmpty() && line.at(0) != m_plan.profile.comment;
    if (heads)
        m_header = out;
    write(out);
    ++m_lines;
}

void LogSender::write(const QByteArray &line)
{
    if (!m_plan.to.listen) {
        m_udp.writeDatagram(line, QHostAddress(m_plan.to.host), m_plan.to.port);
        return;
    }
    const auto receivers = m_receivers;
    for (QTcpSocket *socket : receivers) {
        if (socket->bytesToWrite() > mostUnsentBytes)
            socket->abort();
        else
            socket->write(line);
    }
}

void LogSender::sayHeader()
{
    if (!m_header.isEmpty())
        write(m_header);
}

} // namespace holdfast
