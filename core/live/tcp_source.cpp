// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/tcp_source.h"

#include <QVariant>

namespace holdfast
{

namespace
{
constexpr int patienceMs = 5000;
constexpr qint64 readBufferBytes = 1 << 20;
} // namespace

TcpSource::TcpSource(FeedAddress address, HostClock clock, BackOff backOff, QObject *parent)
    : ReconnectingSource(std::move(clock), backOff, parent), m_address(std::move(address)),
      m_socket(new QTcpSocket(this))
{
    m_patience.setParent(this);
    m_patience.setSingleShot(true);
    m_patience.setInterval(patienceMs);
    m_socket->setReadBufferSize(readBufferBytes);
    connect(&m_patience, &QTimer::timeout, this,
            [this] { lost(tr("%1 port %2 does not answer").arg(m_address.host).arg(m_address.port)); });
    connect(m_socket, &QTcpSocket::connected, this, [this] {
        m_patience.stop();
        m_socket->setSocketOption(QAbstractSocket::KeepAliveOption, 1);
        opened();
    });
    connect(m_socket, &QTcpSocket::readyRead, this, [this] { take(m_socket->readAll()); });
    connect(m_socket, &QTcpSocket::errorOccurred, this, [this](QAbstractSocket::SocketError error) {
        m_patience.stop();
        if (isOpen())
            take(m_socket->readAll());
        lost(error == QAbstractSocket::RemoteHostClosedError
                 ? tr("%1 port %2 has closed the connection").arg(m_address.host).arg(m_address.port)
                 : tr("no connection to %1 port %2: %3")
                       .arg(m_address.host)
                       .arg(m_address.port)
                       .arg(m_socket->errorString()));
    });
}

void TcpSource::open()
{
    m_patience.start();
    m_socket->connectToHost(m_address.host, m_address.port);
}

void TcpSource::shut()
{
    m_patience.stop();
    m_socket->abort();
}

} // namespace holdfast
