// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"
#include "base/utc_time.h"

#include <QByteArray>
#include <QObject>

namespace holdfast
{

/// Where the lines of a live feed come from. Lives on the feeds' thread.
class LineSource : public QObject
{
    Q_OBJECT
public:
    using QObject::QObject;

    /// Begins to send lines. An error says what was tried; a source that can come back later (a socket, a
    /// serial line) reports that by `troubled` instead and tries again by itself.
    [[nodiscard]] virtual Done start() = 0;
    /// "replay of ctd.csv, 10 x", "UDP port 47001": for the feeds page.
    [[nodiscard]] virtual QString describe() const = 0;

    /// Sends what it has taken in so far, as a line, before it is taken down.
    virtual void finish() {}

signals:
    /// One line without its line feed, and when it was received, microseconds since 1970.
    void lineReceived(const QByteArray &line, qint64 receivedUs);
    /// Connected again, or trouble in one sentence (empty: none).
    void troubled(const QString &sentence);
    /// No more lines will come.
    void ended();
};

} // namespace holdfast
