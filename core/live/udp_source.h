// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/feed_address.h"
#include "live/reconnecting_source.h"

#include <QUdpSocket>

namespace holdfast
{

/// Lines from a UDP port. The end of a datagram ends its last line.
class UdpSource : public ReconnectingSource
{
    Q_OBJECT
public:
    explicit UdpSource(FeedAddress address, HostClock clock = {}, BackOff backOff = {},
                       QObject *parent = nullptr);
    [[nodiscard]] QString describe() const override { return m_address.words(); }

protected:
    void open() override;
    void shut() override;

private:
    void read();
    FeedAddress m_address;
    QUdpSocket *m_socket;
};

} // namespace holdfast
