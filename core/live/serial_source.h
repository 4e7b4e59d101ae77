// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/feed_address.h"
#include "live/reconnecting_source.h"

class QSerialPort;

namespace holdfast
{

/// Lines from a serial line. A device that is pulled out and put in again is opened again.
class SerialSource : public ReconnectingSource
{
    Q_OBJECT
public:
    explicit SerialSource(FeedAddress address, HostClock clock = {}, BackOff backOff = {},
                          QObject *parent = nullptr);
    [[nodiscard]] QString describe() const override { return m_address.words(); }

protected:
    void open() override;
    void shut() override;

private:
    FeedAddress m_address;
    QSerialPort *m_port;
};

} // namespace holdfast
