// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/reconnecting_source.h"

#include <algorithm>

namespace holdfast
{

ReconnectingSource::ReconnectingSource(HostClock clock, BackOff backOff, QObject *parent)
    : LineSource(parent), m_clock(std::move(clock)), m_backOff(backOff), m_waitMs(backOff.firstMs)
{
    m_again.setParent(this); // so that it moves to the feeds' thread with the source
    m_again.setSingleShot(true);
    connect(&m_again, &QTimer::timeout, this, [this] { open(); });
}

Done ReconnectingSource::start()
{
    open();
    return {}; // what is not there yet is told by `troubled` and tried again
}

void ReconnectingSource::opened()
{
    m_open = true;
    m_waitMs = m_backOff.firstMs;
    emit troubled({});
}

void ReconnectingSource::lost(const QString &why)
{
    if (m_again.isActive())
        return;
    m_open = false;
    endLine();
    shut();
    emit troubled(tr("%1. It is tried again in %2 s.").arg(why).arg(static_cast<double>(m_waitMs) / 1000));
    m_again.start(m_waitMs);
    m_waitMs = std::min(2 * m_waitMs, m_backOff.mostMs);
}

void ReconnectingSource::take(QByteArrayView bytes)
{
    const qint64 us = microsecondsOf(m_clock.utc());
    m_splitter.push(bytes, [this, us](const QByteArray &line) { emit lineReceived(line, us); });
}

void ReconnectingSource::endLine()
{
    const qint64 us = microsecondsOf(m_clock.utc());
    m_splitter.end([this, us](const QByteArray &line) { emit lineReceived(line, us); });
}

} // namespace holdfast
