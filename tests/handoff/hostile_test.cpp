// SPDX-License-Identifier: GPL-3.0-or-later
// Packages that must be refused: nothing of them may reach the disk. RFC 8493 section 5; what is said of zips
// is common practice.
#include "a_package.h"
#include "handoff/bag_source.h"
#include "handoff/reading_limits.h"
#include "handoff/receive_package.h"
#include "store/sql.h"

#include <QRegularExpression>
#include <optional>
#include <unistd.h>

namespace holdfast::test
{

class Hostile : public WithPackage
{
protected:
    void expectRefused(const QString &package, const char *says)
    {
        const QStringList before = everythingIn(path(s(".")));
        const auto received = receivePackage(package, path(s("back.hfc")), s("archive"), {});
        ASSERT_FALSE(received) << package.toStdString();
        EXPECT_TRUE(received.error().sentence.contains(s(says)))
            << package.toStdString() << ": " << received.error().sentence.toStdString();
        EXPECT_EQ(everythingIn(path(s("."))), before) << "something was written";
        EXPECT_FALSE(QFileInfo::exists(s("/holdfast-escaped.txt")));
    }
};

TEST_F(Hostile, ZipsAreRefusedWithTheirReason)
{
    PackageOrder o = order();
    o.zip = true;
    const QString zip = made(o);
    const QString folder = path(s("hostile"));
    QDir().mkpath(folder);
    QByteArray said;
    ASSERT_EQ(runProgram(s("python3"), {script("make_hostile.py"), zip, folder}, folder, &said), 0)
        << said.data();
    const struct {
        const char *name, *says;
    } cases[] = {
        {"climbs", "climbs out of its folder"},
        {"climbs-top", "climbs out of its folder"},
        {"absolute", "is absolute"},
        {"backslash", "climbs out of its folder"},
        {"drive", "drive letter"},
        {"link", "symbolic link"},
        {"device", "device, pipe or socket"},
        {"twice", "is there twice"},
        {"case", "is there twice"},
        {"form", "is there twice"},
        {"fetch", "fetch.txt"},
        {"huge", "states 9223372036854775808 bytes"},
        {"bomb", "more than 250 times as many"},
        {"extra", "is not listed in manifest-sha256.txt"},
        {"lies", "README.txt"},
        {"cut", "neither a folder nor a sound zip"},
        {"text", "neither a folder nor a sound zip"},
    };
    for (const auto &c : cases)
        expectRefused(folder + QLatin1Char('/') + s(c.name) + s(".zip"), c.says);
}

TEST_F(Hostile, FoldersAreRefusedWithTheirReason)
{
    const QString sound = made(order());
    const auto damaged = [&](const char *name) {
        const QString copy = path(s(name));
        EXPECT_EQ(runProgram(s("cp"), {s("-r"), sound, copy}, path(s(".")), nullptr), 0);
        return copy;
    };
    QString p = damaged("changed");
    write(p + s("/data/README.txt"), "other");
    expectRefused(p, "data/README.txt: was changed");
    p = damaged("missing");
    QFile::remove(p + s("/data/ledger/heads.txt"));
    expectRefused(p, "heads.txt: is listed in");
    p = damaged("linked");
    ASSERT_EQ(::symlink("/etc", QFile::encodeName(p + s("/data/etc")).constData()), 0);
    expectRefused(p, "is a link to /etc");
    p = damaged("fetching");
    write(p + s("/fetch.txt"), "https://example.org/x - data/README.txt\n");
    expectRefused(p, "nothing is ever fetched");
    p = damaged("clashing");
    write(p + s("/Bagit.txt"), "x");
    expectRefused(p, "is there twice");
    expectRefused(path(s("out")), "bagit.txt: is missing");
    expectRefused(path(s("nothing")), "There is nothing at");
}

TEST_F(Hostile, AManifestThatWasMadeToFitIsFoundByTheLedger)
{
    // Somebody changes a name in the ledger and makes every sum of the bag fit again.
    const QString package = made(order());
    const QString ledger = package + s("/data/ledger/ledger.txt");
    QByteArray text = bytesOf(ledger);
    text.replace("\"octocoral\"", "\"sponge\"");
    write(ledger, text);
    QByteArray said;
    ASSERT_EQ(runProgram(s("python3"), {script("reseal_bag.py"), package}, package, &said), 0) << said.data();
    expectRefused(package, "was changed: its hash does not fit");
}

TEST_F(Hostile, ALedgerWithoutLineEndsIsNotTakenIntoMemory)
{
    const QString package = made(order());
    write(package + s("/data/ledger/ledger.txt"),
          QByteArray(static_cast<qsizetype>(mostLedgerLineBytes) + (2 << 20), 'x'));
    QByteArray said;
    ASSERT_EQ(runProgram(s("python3"), {script("reseal_bag.py"), package}, package, &said), 0) << said.data();
    expectRefused(package, "has a line of more than 16777216 bytes");
}

TEST_F(Hostile, AListOfNothingButFaultsSaysHowMany)
{
    const QString package = made(order());
    write(package + s("/manifest-sha256.txt"), QByteArray(1 << 20, '\n'));
    const auto received = receivePackage(package, path(s("back.hfc")), s("archive"), {});
    ASSERT_FALSE(received);
    EXPECT_LT(received.error().sentence.size(), 2000);
    EXPECT_TRUE(
        received.error().sentence.contains(QRegularExpression(s("and 2[0-9]{4} more; holdfast check"))))
        << received.error().sentence.toStdString();
}

TEST_F(Hostile, AnExistingFileIsLeftAlone)
{
    const QString package = made(order());
    write(path(s("back.hfc")), "somebody's work");
    const auto received = receivePackage(package, path(s("back.hfc")), s("archive"), {});
    ASSERT_FALSE(received);
    EXPECT_EQ(received.error().kind, ErrorKind::Duplicate);
    EXPECT_EQ(bytesOf(path(s("back.hfc"))), "somebody's work");
}

TEST_F(Hostile, AReceiptThatAnotherProgramLooksIntoIsWholeOrNothing)
{
    // It reads the file in the making and goes on doing so: what was written since then stays in the
    // write-ahead log, which does not go with the file when that is renamed.
    const QString package = made(order());
    std::optional<Database> reader;
    const JobControl job{{}, [&](const QString &doing, double) {
                             if (doing != s("audit") || reader)
                                 return;
                             auto db =
                                 Database::open(path(s("back.hfc.partial")), Database::Access::ReadOnly);
                             ASSERT_OK(db);
                             reader.emplace(std::move(*db));
                             ASSERT_OK(execSql(reader->connection(), s("BEGIN")));
                             auto row = query(reader->connection(), s("SELECT count(*) FROM ledger"));
                             ASSERT_OK(row);
                             ASSERT_TRUE(row->next());
                         }};
    const auto received = receivePackage(package, path(s("back.hfc")), s("archive"), job);
    ASSERT_TRUE(reader) << "nobody looked into it";
    ASSERT_FALSE(received);
    EXPECT_EQ(received.error().kind, ErrorKind::Busy);
    EXPECT_FALSE(QFileInfo::exists(path(s("back.hfc"))));
    reader.reset();
    ASSERT_OK(receivePackage(package, path(s("back.hfc")), s("archive"), {}));
    EXPECT_FALSE(QFileInfo::exists(path(s("back.hfc-wal"))));
}

TEST_F(Hostile, AStoppedReceiptLeavesNothing)
{
    const QString package = made(order());
    std::stop_source stop;
    const JobControl job{stop.get_token(), [&](const QString &, double share) {
                             if (share > 0.5)
                                 stop.request_stop();
                         }};
    const QStringList before = everythingIn(path(s(".")));
    const auto received = receivePackage(package, path(s("back.hfc")), s("archive"), job);
    ASSERT_FALSE(received);
    EXPECT_EQ(received.error().kind, ErrorKind::Cancelled);
    EXPECT_EQ(everythingIn(path(s("."))), before);
}

} // namespace holdfast::test
