// SPDX-License-Identifier: GPL-3.0-or-later
// A disk that is really full: a small file system of its own, which this program makes in a name space where
// it may. Where the system does not allow that the test is skipped.
#include "a_van.h"
#include "custody/audit.h"
#include "dive/line_recording.h"

#include <QProcess>
#include <QUdpSocket>
#include <gtest/gtest.h>
#include <sys/mount.h>

namespace holdfast::test
{
namespace
{

constexpr const char *folderVariable = "HOLDFAST_SMALL_DISK";

QStringList sentences(Workplace &work)
{
    QStringList all;
    for (int row = 0; row < work.notices.rowCount(); ++row)
        all << work.notices.data(work.notices.index(row), static_cast<int>(Notices::Role::Sentence))
                   .toString();
    return all;
}

int savedStamps(Workplace &work)
{
    const auto &rows = work.dive.stamps()->rows();
    return static_cast<int>(
        std::count_if(rows.begin(), rows.end(), [](const auto &row) { return !row.uuid.isEmpty(); }));
}

/// Fills the disk to the last byte.
void fill(const QString &path)
{
    QFile file(path);
    ASSERT_TRUE(file.open(QIODevice::WriteOnly | QIODevice::Unbuffered));
    for (int size = 1 << 20; size > 0; size /= 2) {
        const QByteArray bytes(size, 'x');
        while (file.write(bytes) == size) {
        }
    }
}

TEST(FullDisk, NothingAcknowledgedIsLostAndWorkGoesOnWhenThereIsRoom)
{
    if (qEnvironmentVariableIsSet(folderVariable))
        GTEST_SKIP() << "this is the inner run";
    const QTemporaryDir folder;
    qputenv(folderVariable, folder.path().toUtf8());
    QProcess inner;
    inner.setProcessChannelMode(QProcess::MergedChannels);
    inner.start(QStringLiteral("unshare"), {QStringLiteral("-Urm"), QCoreApplication::applicationFilePath(),
                                            QStringLiteral("--gtest_also_run_disabled_tests"),
                                            QStringLiteral("--gtest_filter=FullDisk.DISABLED_Inside")});
    qunsetenv(folderVariable);
    if (!inner.waitForStarted())
        GTEST_SKIP() << "there is no program unshare here";
    ASSERT_TRUE(inner.waitForFinished(60000));
    const QByteArray said = inner.readAll();
    if (said.startsWith("unshare:") || said.contains("NO SMALL DISK"))
        GTEST_SKIP() << "this system lets nobody make a small file system: " << said.left(200).toStdString();
    EXPECT_EQ(inner.exitCode(), 0) << said.toStdString();
    EXPECT_TRUE(said.contains("[  PASSED  ] 1 test.")) << said.toStdString();
}

TEST(FullDisk, DISABLED_Inside)
{
    const QByteArray folder = qgetenv(folderVariable);
    ASSERT_FALSE(folder.isEmpty()) << "run by the test above";
    if (::mount("tmpfs", folder.constData(), "tmpfs", 0, "size=8m") != 0) {
        std::puts("NO SMALL DISK");
        GTEST_SKIP();
    }
    qputenv("TMPDIR", folder);
    const Van van;
    const quint16 port = van.setUdpFeed("nav", "position-csv", 60000);
    QUdpSocket socket;
    auto work = std::make_unique<Workplace>();
    work->desk.setPerson(QStringLiteral("Mara"));
    work->desk.openFile(van.path());
    ASSERT_TRUE(QTest::qWaitFor([&] { return work->feeds.state().feeds.size() == 1; }, 5000));
    int said = 0;
    const auto speak = [&] {
        // A line that nothing makes shorter.
        QByteArray line = toIso(HostClock().utc()).toLatin1() + ",-21.0,-173.2,990,";
        for (int i = 0; i < 200; ++i)
            line += QByteArray::number(std::rand(), 36);
        socket.writeDatagram(line + "\n", QHostAddress(QHostAddress::LocalHost), port);
        ++said;
    };
    int pressed = 0;
    const auto press = [&] {
        work->dive.stamp();
        ++pressed;
        speak();
        QTest::qWait(50);
    };
    for (int i = 0; i < 3; ++i)
        press();
    ASSERT_TRUE(QTest::qWaitFor([&] { return savedStamps(*work) == 3; }, 5000));

    const QString filler = QString::fromUtf8(folder) + QStringLiteral("/filler");
    fill(filler);
    const auto told = [&] { return !sentences(*work).filter(QStringLiteral("tried again")).isEmpty(); };
    for (int i = 0; i < 400 && !told();
         ++i) // what is left in the files of the cruise itself is used up first
        press();
    ASSERT_TRUE(told()) << "of " << pressed << ": " << sentences(*work).join(u'\n').toStdString();
    std::printf("%d stamps, %d saved; told: %s\n", pressed, savedStamps(*work),
                qPrintable(sentences(*work).join(QStringLiteral(" | "))));
    EXPECT_FALSE(sentences(*work).filter(QStringLiteral("full")).isEmpty())
        << sentences(*work).join(u'\n').toStdString();
    EXPECT_FALSE(sentences(*work).filter(QStringLiteral("space")).isEmpty()) << "it says what to do";
    EXPECT_LT(savedStamps(*work), pressed) << "saved is said of nothing that is not";
    for (int i = 0; i < 3; ++i)
        press();
    const int acknowledged = savedStamps(*work);

    ASSERT_TRUE(QFile::remove(filler));
    ASSERT_TRUE(QTest::qWaitFor([&] { return savedStamps(*work) == pressed; }, 10000));
    EXPECT_GE(pressed, acknowledged);
    ASSERT_TRUE(QTest::qWaitFor(
        [&] {
            const FeedState &feed = work->feeds.state().feeds.front();
            return feed.lines == said && feed.durable == said;
        },
        10000));
    EXPECT_TRUE(QTest::qWaitFor([&] { return !told(); }, 5000)) << "the notice goes when it is over";
    work.reset();
    EXPECT_EQ(van.verbs().count(QStringLiteral("stamp taken")), pressed);
    const auto file = CruiseFile::open(van.path(), Database::Access::ReadOnly, allVerbRules());
    ASSERT_TRUE(file);
    const auto report = auditCruise(*file);
    ASSERT_TRUE(report);
    EXPECT_TRUE(report->holds()) << report->text().toStdString();
}

} // namespace
} // namespace holdfast::test
