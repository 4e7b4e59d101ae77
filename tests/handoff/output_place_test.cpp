// SPDX-License-Identifier: GPL-3.0-or-later
// A place that can't take the work is told before the work: /proc is a folder in which nobody, root neither,
// makes a file (proc(5)).
#include "handoff/output_place.h"

#include "a_package.h"
#include "handoff/next_package.h"
#include "handoff/package_logs.h"
#include "handoff/receive_package.h"

namespace holdfast::test
{

class OutputPlace : public WithPackage
{
protected:
    /// The error of a package that must not be made, and that nothing was computed for it.
    Error refused(const PackageOrder &o)
    {
        double furthest = 0;
        const auto made =
            makePackage(o, {{}, [&furthest](const QString &, double share) { furthest = share; }});
        EXPECT_FALSE(made) << "made after all";
        EXPECT_EQ(furthest, 0) << "it was computed before";
        return made ? Error{} : made.error();
    }
};

TEST_F(OutputPlace, FolderIsLookedAtFirst)
{
    ASSERT_OK(checkOutputFolder(path(s("out"))));
    EXPECT_TRUE(QDir(path(s("out"))).isEmpty(QDir::AllEntries | QDir::Hidden | QDir::NoDotAndDotDot))
        << "nothing is left of the trial";
    PackageOrder o = order();
    o.parent = path(s("none"));
    EXPECT_EQ(refused(o).kind, ErrorKind::NotFound);
    o.parent = m_path; // a file
    EXPECT_EQ(refused(o).kind, ErrorKind::NotFound);
    o.parent = s("/proc");
    const Error error = refused(o);
    EXPECT_EQ(error.kind, ErrorKind::Unwritable);
    EXPECT_TRUE(error.sentence.contains(s("/proc"))) << error.sentence.toStdString();
    o.parent.clear();
    EXPECT_EQ(refused(o).kind, ErrorKind::Usage);
}

TEST_F(OutputPlace, ATargetThatIsThereIsToldBeforeTheWork)
{
    // The version after the named one has been made already.
    const QString first = made(order());
    PackageOrder o = order();
    ASSERT_EQ(made(o), path(s("out/TK26-v2")));
    o.earlier = first;
    EXPECT_EQ(refused(o).kind, ErrorKind::Duplicate);
    o.zip = true;
    EXPECT_EQ(refused(o).kind, ErrorKind::Duplicate) << "folder and zip of one name would be two packages";
}

TEST_F(OutputPlace, NextPackageIsKnownBefore)
{
    const auto first = nextPackage(file().db(), path(s("out")), {});
    ASSERT_OK(first);
    EXPECT_EQ(first->name, s("TK26-v1"));
    EXPECT_TRUE(first->earlierName.isEmpty());
    made(order());
    const auto second = nextPackage(file().db(), path(s("out")), {});
    ASSERT_OK(second);
    EXPECT_EQ(second->name, s("TK26-v2"));
    EXPECT_EQ(second->earlierName, s("TK26-v1"));
    EXPECT_EQ(second->earlierPath, path(s("out/TK26-v1")));
}

TEST_F(OutputPlace, SizeOfTheLogsIsKnownBefore)
{
    const auto totals = logTotals(file().db());
    ASSERT_OK(totals);
    EXPECT_EQ(totals->files, 2);
    EXPECT_EQ(totals->bytes, positionLog().size() + ctdLog().size());
}

TEST_F(OutputPlace, OfAReceivedFileToo)
{
    const QString package = made(order());
    const auto receive = [&package](const QString &out) {
        const auto received = receivePackage(package, out, s("archive"), {});
        return received ? std::optional<ErrorKind>() : received.error().kind;
    };
    EXPECT_EQ(receive(path(s("none/again.hfc"))), ErrorKind::NotFound);
    EXPECT_EQ(receive(s("/proc/again.hfc")), ErrorKind::Unwritable);
    write(path(s("again.hfc")), "mine");
    EXPECT_EQ(receive(path(s("again.hfc"))), ErrorKind::Duplicate);
    QFile left(path(s("again.hfc")));
    ASSERT_TRUE(left.open(QIODevice::ReadOnly));
    EXPECT_EQ(left.readAll(), QByteArray("mine"));
    ASSERT_TRUE(QFile::remove(left.fileName()));
    EXPECT_EQ(receive(path(s("again.hfc"))), std::nullopt);
}

} // namespace holdfast::test
