// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/verify.h"
#include "support/a_cruise.h"

#include <QProcess>
#include <random>

using namespace holdfast;

namespace
{
class Crash : public test::WithCruise
{
};
} // namespace

TEST_F(Crash, EverySampleThatWasAcknowledgedIsThereAfterAKill)
{
    m_file.reset();
    const QString writer =
        qEnvironmentVariable("HOLDFAST_BINARY_DIR") + QStringLiteral("/tests/dive/crash_writer");
    std::mt19937 random(20260312);
    QStringList acknowledged;
    for (int round = 0; round < 8; ++round) {
        QProcess child;
        child.start(writer, {m_path});
        ASSERT_TRUE(child.waitForStarted());
        // Kill after a random number of acknowledgements: somewhere inside the work on the next one.
        const auto wanted = static_cast<unsigned>(1 + random() % 25);
        QByteArray out;
        while (static_cast<unsigned>(out.count('\n')) < wanted && child.waitForReadyRead(20000))
            out += child.readAllStandardOutput();
        child.kill();
        ASSERT_TRUE(child.waitForFinished());
        out += child.readAllStandardOutput();
        ASSERT_GE(static_cast<unsigned>(out.count('\n')), wanted)
            << child.readAllStandardError().toStdString();
        const QByteArray whole = out.left(out.lastIndexOf('\n'));
        for (const QByteArray &line : whole.split('\n'))
            acknowledged << QString::fromLatin1(line);

        auto opened = CruiseFile::open(m_path, Database::Access::ReadWrite, rules());
        ASSERT_OK(opened);
        m_file.emplace(std::move(*opened));
        QStringList there;
        const auto samples = readSamples(file().db(), 1);
        ASSERT_OK(samples);
        for (const SampleInfo &s : *samples)
            there << s.id;
        for (const QString &id : std::as_const(acknowledged))
            ASSERT_TRUE(there.contains(id)) << id.toStdString();
        const auto faults = verifyLedger(file().db());
        ASSERT_OK(faults);
        EXPECT_TRUE(faults->holds());
        expectTablesFitTheLedger();
        m_file.reset();
    }
    EXPECT_GT(acknowledged.size(), 8);
}
