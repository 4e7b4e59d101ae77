// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/udp_source.h"

#include <QNetworkDatagram>
#include <QVariant>

namespace holdfast
{

namespace
{
constexpr int receiveBufferBytes = 1 << 20; ///< seconds of the fastest feed, while the thread is busy
constexpr int datagramsAtOnce = 2000;       ///< then the event loop gets its turn
} // namespace

UdpSource::UdpSource(FeedAddress address, HostClock clock, BackOff backOff, QObject *parent)
    : ReconnectingSource(std::move(clock), backOff, parent), m_address(std::move(address)),
      m_socket(new QUdpSocket(this))
{
    connect(m_socket, &QUdpSocket::readyRead, this, &UdpSource::read);
}

void UdpSource::open()
{
    const QHostAddress host(m_address.host);
    if (host.isNull())
        return lost(
            tr("\"%1\" is no address of this computer; 0.0.0.0 listens on all of them").arg(m_address.host));
    const bool group = host.isMulticast();
    const QHostAddress bindTo = group ? QHostAddress(QHostAddress::AnyIPv4) : host;
    const auto mode = group ? QUdpSocket::ShareAddress | QUdpSocket::ReuseAddressHint
                            : QUdpSocket::BindMode(QUdpSocket::DontShareAddress);
    if (!m_socket->bind(bindTo, m_address.port, mode))
        return lost(tr("UDP port %1 can't be listened at: %2")
                        .arg(m_address.port)
                        .arg(m_socket->error() == QAbstractSocket::AddressInUseError
                                 ? tr("another program has it")
                                 : m_socket->errorString()));
    if (group && !m_socket->joinMulticastGroup(host))
        return lost(tr("the group %1 can't be joined: %2").arg(m_address.host, m_socket->errorString()));
    m_socket->setSocketOption(QAbstractSocket::ReceiveBufferSizeSocketOption, receiveBufferBytes);
    opened();
}

void UdpSource::shut()
{
    m_socket->abort();
}

void UdpSource::read()
{
    for (int i = 0; m_socket->hasPendingDatagrams(); ++i) {
        if (i == datagramsAtOnce) {
            QMetaObject::invokeMethod(this, &UdpSource::read, Qt::QueuedConnection);
            return;
        }
        take(m_socket->receiveDatagram().data());
        endLine();
    }
}

} // namespace holdfast
