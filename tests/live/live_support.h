// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/log_intake.h"
#include "feed/feed_address.h"
#include "live/feed_worker.h"
#include "live/reconnecting_source.h"
#include "support/a_cruise.h"

#include <QTest>
#include <QUdpSocket>

namespace holdfast::test
{

/// Only this computer, and ports that the system gives.
inline const QHostAddress loopback = QHostAddress(QHostAddress::LocalHost);
constexpr BackOff quick{20, 80};

inline quint16 freeUdpPort()
{
    QUdpSocket socket;
    EXPECT_TRUE(socket.bind(loopback, 0));
    return socket.localPort();
}

inline FeedAddress udpAddress(quint16 port)
{
    return parseFeedAddress(QStringLiteral("udp://127.0.0.1:%1").arg(port)).value();
}

inline FeedProfile profileNamed(const char *name)
{
    const auto profile = feedProfile(QString::fromLatin1(name));
    EXPECT_TRUE(profile) << (profile ? "" : profile.error().sentence.toStdString());
    return profile.value_or(FeedProfile{});
}

/// What a source says, one thing after the other.
struct Heard {
    explicit Heard(LineSource &source)
    {
        QObject::connect(&source, &LineSource::lineReceived, &source,
                         [this](const QByteArray &line, qint64) { lines << line; });
        QObject::connect(&source, &LineSource::troubled, &source,
                         [this](const QString &said) { troubles << said; });
    }
    QList<QByteArray> lines;
    QStringList troubles; ///< an empty one: it is open
    [[nodiscard]] bool waitForLine(const QByteArray &line) const
    {
        return QTest::qWaitFor([this, &line] { return lines.contains(line); }, 4000);
    }
    [[nodiscard]] bool waitUntilOpen() const
    {
        return QTest::qWaitFor([this] { return !troubles.isEmpty() && troubles.back().isEmpty(); }, 4000);
    }
    [[nodiscard]] bool waitForTrouble() const
    {
        return QTest::qWaitFor([this] { return !troubles.isEmpty() && !troubles.back().isEmpty(); }, 4000);
    }
};

} // namespace holdfast::test
