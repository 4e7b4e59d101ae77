// SPDX-License-Identifier: GPL-3.0-or-later
#include "live_support.h"

#include <QElapsedTimer>
#include <QProcess>

namespace holdfast::test
{
namespace
{

class CrashWhileRecording : public WithCruise
{
};

TEST_F(CrashWhileRecording, LosesASecondAtMostAndNothingThatWasToldAsDurable)
{
    m_file.reset();
    const quint16 port = freeUdpPort();
    const QString program =
        qEnvironmentVariable("HOLDFAST_BINARY_DIR") + QStringLiteral("/tests/live/crash_recorder");
    constexpr int linesPerSecond = 200;
    int number = 0;
    for (int round = 0; round < 3; ++round) {
        QProcess child;
        child.start(program, {m_path, QString::number(port)});
        ASSERT_TRUE(child.waitForStarted());
        // It says 0 once it listens.
        ASSERT_TRUE(child.waitForReadyRead(10000)) << child.readAllStandardError().toStdString();
        QUdpSocket sender;
        QElapsedTimer clock;
        clock.start();
        int sent = 0;
        const qint64 runMs = 2300 + 170 * round; // somewhere else in the second each time
        while (clock.elapsed() < runMs) {
            for (; sent * 1000 < clock.elapsed() * linesPerSecond; ++sent)
                sender.writeDatagram("line " + QByteArray::number(++number), loopback, port);
            QTest::qWait(2);
        }
        child.kill(); // SIGKILL: no destructor, no flush
        ASSERT_TRUE(child.waitForFinished());
        const QList<QByteArray> said = child.readAllStandardOutput().trimmed().split('\n');
        const qint64 durable = said.back().toLongLong();
        EXPECT_GT(durable, 0);

        auto opened = CruiseFile::open(m_path, Database::Access::ReadWrite, rules());
        ASSERT_OK(opened);
        m_file.emplace(std::move(*opened));
        const auto recordings = readRecordings(file().db(), 1);
        ASSERT_OK(recordings);
        ASSERT_EQ(recordings->size(), static_cast<std::size_t>(round + 1));
        const RecordedFeed &last = recordings->back();
        EXPECT_GE(last.sums.lines, durable);
        // A second of waiting, a tick of the timer, and what is on its way through the socket.
        EXPECT_LE(sent - last.sums.lines, linesPerSecond * 13 / 10);
        ASSERT_OK(LineLog(file().db().connection()).verify(last.recording.uuid));
        EXPECT_EQ(closeLeftOpen(file(), act()).value_or(-1), 1);
        expectTablesFitTheLedger();
        m_file.reset();
    }
}

} // namespace
} // namespace holdfast::test
