// SPDX-License-Identifier: GPL-3.0-or-later
// What a package tells of the computers on board: nothing of their folders and accounts.
#include "a_package.h"
#include "custody/photograph_place.h"
#include "custody/specimens.h"
#include "dive/feed_setup.h"
#include "handoff/ledger_text.h"

#include <unistd.h>

namespace holdfast::test
{

class Privacy : public WithPackage
{
protected:
    void SetUp() override
    {
        WithPackage::SetUp();
        QDir().mkpath(path(s("pictures/deck")));
        m_elsewhere = m_other.path();
        write(path(s("pictures/deck/one.jpg")), "first picture");
        QFile two(m_elsewhere + s("/two.jpg"));
        ASSERT_TRUE(two.open(QIODevice::WriteOnly));
        two.write("second picture");
        two.close();
        ASSERT_OK(linkPhotograph(file(), act(), s("TK26-01-001"), path(s("pictures/deck/one.jpg")), {}));
        ASSERT_OK(linkPhotograph(file(), act(), s("TK26-01-002"), m_elsewhere + s("/two.jpg"), {}));
    }
    QStringList whereFilesName(const QString &package, const QByteArray &what)
    {
        QStringList found;
        QDirIterator it(package, QDir::Files, QDirIterator::Subdirectories);
        while (it.hasNext()) {
            if (bytesOf(it.next()).contains(what))
                found << it.filePath().mid(package.size() + 1);
        }
        return found;
    }
    QTemporaryDir m_other;
    QString m_elsewhere;
};

TEST_F(Privacy, NoFileOfAPackageNamesAFolderOfTheComputer)
{
    const QString package = made(order());
    EXPECT_EQ(whereFilesName(package, path(s(".")).chopped(2).toUtf8()), QStringList());
    EXPECT_EQ(whereFilesName(package, m_elsewhere.toUtf8()), QStringList());
    char host[256] = {};
    ASSERT_EQ(gethostname(host, sizeof host - 1), 0);
    if (QByteArray(host).size() > 6) { // a shorter name may stand anywhere by chance
        EXPECT_EQ(whereFilesName(package, host), QStringList());
    }
    const CsvTable photographs = table(package + s("/data/tables/photographs.csv"));
    ASSERT_EQ(photographs.rows.size(), 2U);
    EXPECT_EQ(photographs.rows[0].at(photographs.column(s("path"))), s("pictures/deck/one.jpg"));
    EXPECT_EQ(photographs.rows[1].at(photographs.column(s("path"))), s("two.jpg"));
}

TEST_F(Privacy, APhotographElsewhereIsPackedFromTheFolderThatIsNamed)
{
    const QString without = made(order());
    EXPECT_TRUE(QFileInfo::exists(without + s("/data/photographs/TK26-01-001.jpg")));
    EXPECT_FALSE(QFileInfo::exists(without + s("/data/photographs/TK26-01-002.jpg")));
    const CsvTable files = table(without + s("/data/tables/photograph_files.csv"));
    EXPECT_EQ(files.rows.at(1).at(files.column(s("why_not"))), s("not found where it was linked"));
    QDir().mkpath(m_elsewhere + s("/card 1"));
    QFile other(m_elsewhere + s("/card 1/two.jpg")); // another picture of the same name
    ASSERT_TRUE(other.open(QIODevice::WriteOnly));
    other.write("of something else");
    other.close();
    PackageOrder o = order();
    o.pictures = m_elsewhere;
    QDir().mkpath(path(s("out2")));
    o.parent = path(s("out2"));
    EXPECT_EQ(bytesOf(made(o) + s("/data/photographs/TK26-01-002.jpg")), "second picture");
}

TEST_F(Privacy, AnEntryOfAnEarlierVersionStaysAsSignedAndIsToldOf)
{
    ASSERT_OK(file().write([&]() -> Done {
        const auto entry = file().record(act(), s("photograph linked"),
                                         {{s("id"), s("TK26-01-001")},
                                          {s("fileName"), s("old.jpg")},
                                          {s("path"), s("/home/somebody/old.jpg")},
                                          {s("sha256"), QString(64, QLatin1Char('a'))},
                                          {s("bytes"), 12},
                                          {s("caption"), QString()}});
        if (!entry)
            return entry.error();
        return {};
    }));
    const QString package = made(order());
    EXPECT_EQ(whereFilesName(package, "/home/somebody"), QStringList{ledgerPath});
    EXPECT_TRUE(bytesOf(package + s("/data/README.txt")).contains("1 entry of the ledger names a folder"));
}

TEST_F(Privacy, OfAFileThatIsPlayedOnlyTheNameIsRecorded)
{
    const auto address = parseFeedAddress(s("replay:/home/somebody/logs/ctd.csv,10"));
    ASSERT_OK(address);
    EXPECT_EQ(address->recorded(), s("replay:ctd.csv,10"));
    EXPECT_EQ(parseFeedAddress(s("udp://0.0.0.0:47001"))->recorded(), s("udp://0.0.0.0:47001"));
}

TEST_F(Privacy, PlacesAreFromTheFolderOfTheCruiseFileOn)
{
    EXPECT_EQ(recordedPlace(m_path, path(s("pictures/deck/one.jpg"))), s("pictures/deck/one.jpg"));
    EXPECT_EQ(recordedPlace(m_path, m_elsewhere + s("/two.jpg")), s("two.jpg"));
    EXPECT_TRUE(QFile::link(m_elsewhere + s("/two.jpg"), path(s("pictures/linked.jpg"))));
    EXPECT_EQ(recordedPlace(m_path, path(s("pictures/linked.jpg"))), s("linked.jpg"));
    EXPECT_TRUE(namesAComputersFolders(s("C:\\Users\\somebody\\a.jpg")));
    EXPECT_TRUE(namesAComputersFolders(s("/home/somebody/a.jpg")));
    EXPECT_FALSE(namesAComputersFolders(s("pictures/a.jpg")));
}

} // namespace holdfast::test
