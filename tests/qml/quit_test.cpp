// SPDX-License-Identifier: GPL-3.0-or-later
// The program itself, asked to end by the system: what it recorded is closed, and counts as no crash.
#include "a_van.h"
#include "custody/audit.h"
#include "dive/line_recording.h"

#include <QProcess>
#include <QUdpSocket>
#include <csignal>
#include <gtest/gtest.h>

namespace holdfast::test
{
namespace
{

class Quitting : public testing::TestWithParam<int>
{
};

TEST_P(Quitting, ClosesTheRecordings)
{
    const Van van;
    const quint16 port = van.setUdpFeed("nav", "position-csv", 10000);
    QUdpSocket socket;
    QProcess program;
    program.setProcessChannelMode(QProcess::ForwardedChannels);
    auto environment = QProcessEnvironment::systemEnvironment();
    environment.insert(QStringLiteral("XDG_CONFIG_HOME"), van.folder()); // not the settings of who runs this
    program.setProcessEnvironment(environment);
    program.start(qEnvironmentVariable("HOLDFAST_BINARY_DIR") + QStringLiteral("/holdfast"),
                  {van.path(), QStringLiteral("--person"), QStringLiteral("Mara")});
    ASSERT_TRUE(program.waitForStarted());
    const auto recorded = [&van] {
        const auto db = Database::open(van.path(), Database::Access::ReadOnly);
        const auto all = db ? readRecordings(*db, 1) : Result<std::vector<RecordedFeed>>(db.error());
        return all ? *all : std::vector<RecordedFeed>();
    };
    ASSERT_TRUE(QTest::qWaitFor(
        [&] {
            socket.writeDatagram("2026-03-12T09:00:00Z,-21.0,-173.2,990\n",
                                 QHostAddress(QHostAddress::LocalHost), port);
            return !recorded().empty();
        },
        20000));
    ::kill(static_cast<pid_t>(program.processId()), GetParam());
    ASSERT_TRUE(program.waitForFinished(10000));
    EXPECT_EQ(program.exitStatus(), QProcess::NormalExit);
    EXPECT_EQ(program.exitCode(), 0);
    const auto all = recorded();
    ASSERT_EQ(all.size(), 1U);
    EXPECT_TRUE(all.front().closed);
    const QStringList closed = van.bodies(QStringLiteral("recording closed"));
    ASSERT_EQ(closed.size(), 1);
    EXPECT_TRUE(closed.front().contains(QStringLiteral("\"ending\":\"closed\"")))
        << closed.front().toStdString();
    const auto file = CruiseFile::open(van.path(), Database::Access::ReadOnly, allVerbRules());
    ASSERT_TRUE(file);
    EXPECT_TRUE(auditCruise(*file)->holds());
}

INSTANTIATE_TEST_SUITE_P(BySignal, Quitting, testing::Values(SIGTERM, SIGINT, SIGHUP));

} // namespace
} // namespace holdfast::test
