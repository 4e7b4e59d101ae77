// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/log_sender.h"

#include "live/tcp_source.h"
#include "live/udp_source.h"
#include "live_support.h"

#include <QElapsedTimer>

namespace holdfast::test
{
namespace
{

const char log[] = "time_utc,temperature_degC\n"
                   "2026-03-12T10:00:00.000Z,3.40\n"
                   "garbage\n"
                   "2026-03-12T10:00:05.000Z,3.41\n";

class Sender : public WithFolder
{
protected:
    SendPlan plan(const QString &to)
    {
        write(path(QStringLiteral("ctd.csv")), log);
        return {
            path(QStringLiteral("ctd.csv")), profileNamed("ctd-csv"), at("2026-03-12T10:00:00Z"), 100, false,
            parseSendTarget(to).value()};
    }
    static bool run(LogSender &sender)
    {
        bool ended = false;
        QObject::connect(&sender, &LogSender::finished, &sender, [&ended] { ended = true; });
        EXPECT_TRUE(sender.start());
        return QTest::qWaitFor([&ended] { return ended; }, 5000) && sender.outcome();
    }
};

TEST_F(Sender, SendsALogOverUdpByItsOwnTimes)
{
    const quint16 port = freeUdpPort();
    UdpSource source(udpAddress(port), {}, quick);
    const Heard heard(source);
    ASSERT_OK(source.start());
    LogSender sender(plan(QStringLiteral("udp://127.0.0.1:%1").arg(port)));
    QElapsedTimer timer;
    timer.start();
    ASSERT_TRUE(run(sender));
    EXPECT_GE(timer.elapsed(), 40) << "5 s of the log at 100 times the speed";
    ASSERT_TRUE(heard.waitForLine("2026-03-12T10:00:05.000Z,3.41\r"));
    EXPECT_EQ(heard.lines.size(), 4);
    EXPECT_EQ(sender.lines(), 4);
}

TEST_F(Sender, WaitsForATcpReceiverAndSaysTheHeaderToALateOne)
{
    SendPlan waiting = plan(QStringLiteral("tcp-listen:0"));
    waiting.speed = 5;
    LogSender sender(waiting);
    ASSERT_OK(sender.start());
    const auto address = parseFeedAddress(QStringLiteral("tcp://127.0.0.1:%1").arg(sender.port())).value();
    TcpSource first(address, {}, quick);
    const Heard early(first);
    ASSERT_OK(first.start());
    ASSERT_TRUE(early.waitForLine("garbage\r"));
    TcpSource second(address, {}, quick);
    const Heard late(second);
    ASSERT_OK(second.start());
    ASSERT_TRUE(late.waitForLine("2026-03-12T10:00:05.000Z,3.41\r"));
    EXPECT_EQ(late.lines.front(), QByteArray("time_utc,temperature_degC\r"));
}

TEST_F(Sender, CanWriteTheTimesOfNowIntoTheLines)
{
    const quint16 port = freeUdpPort();
    UdpSource source(udpAddress(port), {}, quick);
    const Heard heard(source);
    ASSERT_OK(source.start());
    SendPlan now = plan(QStringLiteral("udp://127.0.0.1:%1").arg(port));
    now.asNow = true;
    const UtcTime before = HostClock().utc();
    LogSender sender(now);
    ASSERT_TRUE(run(sender));
    ASSERT_TRUE(QTest::qWaitFor([&heard] { return heard.lines.size() == 4; }, 4000));
    for (const qsizetype i : {1, 3}) {
        const auto written = parseIsoUtc(heard.lines.at(i).left(24).toStdString());
        ASSERT_TRUE(written) << heard.lines.at(i).toStdString();
        EXPECT_LT(std::abs(secondsBetween(before, *written)), 5) << heard.lines.at(i).toStdString();
    }
}

TEST_F(Sender, RefusesPlacesThatAreNone)
{
    for (const char *text : {"", "127.0.0.1:1", "udp://host:1", "udp://127.0.0.1:0", "tcp-listen:x"}) {
        const auto target = parseSendTarget(QString::fromLatin1(text));
        ASSERT_FALSE(target) << text;
        EXPECT_EQ(target.error().kind, ErrorKind::Usage);
    }
    EXPECT_EQ(parseSendTarget(QStringLiteral("tcp-listen:0.0.0.0:4001"))->host, QStringLiteral("0.0.0.0"));
}

} // namespace
} // namespace holdfast::test
