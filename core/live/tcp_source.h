// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/feed_address.h"
#include "live/reconnecting_source.h"

#include <QTcpSocket>

namespace holdfast
{

/// Lines from a TCP server, to which it connects again whenever the connection is lost.
class TcpSource : public ReconnectingSource
{
    Q_OBJECT
public:
    explicit TcpSource(FeedAddress address, HostClock clock = {}, BackOff backOff = {},
                       QObject *parent = nullptr);
    [[nodiscard]] QString describe() const override { return m_address.words(); }

protected:
    void open() override;
    void shut() override;

private:
    FeedAddress m_address;
    QTcpSocket *m_socket;
    QTimer m_patience;
};

} // namespace holdfast
