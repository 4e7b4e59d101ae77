// SPDX-License-Identifier: GPL-3.0-or-later
// Sockets and serial lines that go and come back. Loopback only.
#include "live/serial_source.h"
#include "live/sources.h"
#include "live/tcp_source.h"
#include "live/udp_source.h"
#include "live_support.h"

#include <QFile>
#include <QTcpServer>
#include <QTcpSocket>
#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <fcntl.h>
#include <unistd.h>

namespace holdfast::test
{
namespace
{

class Sources : public WithFolder
{
};

TEST_F(Sources, UdpGivesEveryLineOfADatagramAndItsLastWithoutAnEnd)
{
    const quint16 port = freeUdpPort();
    UdpSource source(udpAddress(port), {}, quick);
    const Heard heard(source);
    ASSERT_OK(source.start());
    ASSERT_TRUE(heard.waitUntilOpen());
    QUdpSocket sender;
    sender.writeDatagram("one\r\ntwo\nthree", loopback, port);
    sender.writeDatagram("four", loopback, port);
    ASSERT_TRUE(heard.waitForLine("four"));
    EXPECT_EQ(heard.lines, (QList<QByteArray>{"one\r", "two", "three", "four"}));
}

TEST_F(Sources, UdpWaitsForAPortThatAnotherProgramHas)
{
    QUdpSocket other;
    ASSERT_TRUE(other.bind(loopback, 0, QUdpSocket::DontShareAddress));
    const quint16 port = other.localPort();
    UdpSource source(udpAddress(port), {}, quick);
    const Heard heard(source);
    ASSERT_OK(source.start());
    ASSERT_TRUE(heard.waitForTrouble());
    EXPECT_TRUE(heard.troubles.front().contains(QString::number(port)))
        << heard.troubles.front().toStdString();
    EXPECT_TRUE(heard.troubles.front().contains(QStringLiteral("tried again")));
    other.close();
    ASSERT_TRUE(heard.waitUntilOpen());
    QUdpSocket sender;
    sender.writeDatagram("here", loopback, port);
    EXPECT_TRUE(heard.waitForLine("here"));
}

TEST_F(Sources, TcpConnectsAgainAfterEveryLossAndKeepsTheHalfLine)
{
    QTcpServer server;
    ASSERT_TRUE(server.listen(loopback, 0));
    const quint16 port = server.serverPort();
    TcpSource source(parseFeedAddress(QStringLiteral("tcp://127.0.0.1:%1").arg(port)).value(), {}, quick);
    const Heard heard(source);
    ASSERT_OK(source.start());
    for (int round = 0; round < 3; ++round) {
        ASSERT_TRUE(QTest::qWaitFor([&] { return server.hasPendingConnections(); }, 4000)) << round;
        const std::unique_ptr<QTcpSocket> peer(server.nextPendingConnection());
        ASSERT_TRUE(heard.waitUntilOpen());
        const QByteArray n = QByteArray::number(round);
        peer->write("line " + n + "\nhalf " + n);
        peer->flush();
        ASSERT_TRUE(heard.waitForLine("line " + n));
        server.close(); // the instrument is unplugged and stays away for a while
        peer->disconnectFromHost();
        ASSERT_TRUE(heard.waitForTrouble());
        EXPECT_TRUE(heard.lines.contains("half " + n));
        QTest::qWait(100); // some tries fail
        ASSERT_TRUE(server.listen(loopback, port));
    }
    EXPECT_GE(std::count_if(heard.troubles.begin(), heard.troubles.end(),
                            [](const QString &t) { return !t.isEmpty(); }),
              3);
}

TEST_F(Sources, ASerialLineThatGoesIsOpenedAgain)
{
    // A pseudo terminal stands for the serial line: what one end writes the other reads.
    const auto make = [](QByteArray &name) {
        const int master = ::posix_openpt(O_RDWR | O_NOCTTY);
        EXPECT_GE(master, 0);
        EXPECT_EQ(::grantpt(master), 0);
        EXPECT_EQ(::unlockpt(master), 0);
        name = ::ptsname(master);
        return master;
    };
    const auto say = [](int master, const char *text) {
        EXPECT_GT(::write(master, text, std::strlen(text)), 0);
    };
    QByteArray device;
    int master = make(device);
    const QString link = path(QStringLiteral("tty")); // the name by which it comes back
    ASSERT_TRUE(QFile::link(QString::fromLatin1(device), link));
    SerialSource source(parseFeedAddress(QStringLiteral("serial:%1,9600,8N1").arg(link)).value(), {}, quick);
    const Heard heard(source);
    ASSERT_OK(source.start());
    ASSERT_TRUE(heard.waitUntilOpen()) << heard.troubles.join(u'\n').toStdString();
    say(master, "$first\r\n");
    ASSERT_TRUE(heard.waitForLine("$first\r") || heard.waitForLine("$first"))
        << heard.lines.join('|').toStdString();
    ::close(master);
    QFile::remove(link);
    ASSERT_TRUE(heard.waitForTrouble());
    master = make(device);
    ASSERT_TRUE(QFile::link(QString::fromLatin1(device), link));
    ASSERT_TRUE(heard.waitUntilOpen());
    say(master, "$again\n");
    EXPECT_TRUE(heard.waitForLine("$again"));
    ::close(master);
}

TEST_F(Sources, AReplayRunsByTheLogsTimesWithTheHostsTimeOfReceipt)
{
    write(path(QStringLiteral("ctd.csv")), "time_utc,temperature_degC\n"
                                           "2026-03-12T10:00:00Z,3.40\n"
                                           "2026-03-12T10:00:05Z,3.41\n");
    const auto address = parseFeedAddress(QStringLiteral("replay:ctd.csv,100")).value();
    const auto source = makeSource(address, profileNamed("ctd-csv"), path(QString()));
    ASSERT_OK(source);
    std::vector<qint64> times;
    QObject::connect(source->get(), &LineSource::lineReceived, source->get(),
                     [&times](const QByteArray &, qint64 us) { times.push_back(us); });
    const qint64 before = microsecondsOf(HostClock().utc());
    ASSERT_OK((*source)->start());
    ASSERT_TRUE(QTest::qWaitFor([&times] { return times.size() == 3; }, 4000));
    EXPECT_GE(times.front(), before);
    EXPECT_GE(times[2] - times[1], 20'000); // 5 s at 100 times the speed are 50 ms
    EXPECT_FALSE(makeSource(parseFeedAddress(QStringLiteral("replay:none.csv")).value(),
                            profileNamed("ctd-csv"), path(QString())));
}

} // namespace
} // namespace holdfast::test
