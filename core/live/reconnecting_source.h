// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/line_splitter.h"
#include "live/host_clock.h"
#include "live/line_source.h"

#include <QTimer>

namespace holdfast
{

/// How long a source waits before it tries again: twice as long each time, up to a limit; from the start
/// again once it was open.
struct BackOff {
    int firstMs = 500;
    int mostMs = 10'000;
};

/// A source that can be lost and comes back by itself. What derives from it opens something; this splits the
/// bytes into lines, stamps them with the time at which they were taken from the system, and tries again.
class ReconnectingSource : public LineSource
{
    Q_OBJECT
public:
    ReconnectingSource(HostClock clock, BackOff backOff, QObject *parent);

    [[nodiscard]] Done start() final;
    void finish() final { endLine(); }

protected:
    /// Tries to open; ends in opened() or lost(), at once or later.
    virtual void open() = 0;
    /// Lets go of what is open, if anything.
    virtual void shut() = 0;

    void opened();
    /// `why` is one sentence without its end: "UDP port 47001 is taken by another program".
    void lost(const QString &why);
    void take(QByteArrayView bytes);
    /// What was taken so far ends a line: a datagram or the connection has ended.
    void endLine();
    [[nodiscard]] bool isOpen() const { return m_open; }

private:
    HostClock m_clock;
    BackOff m_backOff;
    LineSplitter m_splitter;
    QTimer m_again;
    int m_waitMs = 0;
    bool m_open = false;
};

} // namespace holdfast
