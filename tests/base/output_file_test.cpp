// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/output_file.h"

#include "base/csv.h"
#include "support/small_files.h"
#include "support/temp_dir.h"

#include <QDir>
#include <QFileInfo>
#include <sys/stat.h>

using namespace holdfast;

namespace
{

class OutputFile : public test::WithFolder
{
};

/// The first 16 bytes of every SQLite file: sqlite.org, "Database File Format", section 1.3.
const QByteArray database = QByteArray("SQLite format 3\0", 16) + QByteArray(84, 'x');

} // namespace

TEST_F(OutputFile, ADatabaseIsNeverWrittenOver)
{
    const QString cruise = path(QStringLiteral("cruise.hfc"));
    const QString link = path(QStringLiteral("link.pdf"));
    const QString side = path(QStringLiteral("cruise.hfc-wal"));
    write(cruise, database);
    write(side, "side");
    ASSERT_TRUE(QFile::link(cruise, link));
    for (const QString &target : {cruise, link, side}) {
        const Done written = writeWhole(target, "id,time\n");
        ASSERT_FALSE(written) << target.toStdString();
        EXPECT_EQ(written.error().kind, ErrorKind::Refused);
        EXPECT_TRUE(written.error().sentence.contains(QStringLiteral("not written over")));
    }
    EXPECT_EQ(bytesOf(cruise), database);
    EXPECT_EQ(bytesOf(side), QByteArray("side"));
}

TEST_F(OutputFile, AnOrdinaryFileIsReplacedWhole)
{
    const QString out = path(QStringLiteral("out.csv"));
    write(out, "an older and longer result");
    ASSERT_OK(writeWhole(out, "new"));
    EXPECT_EQ(bytesOf(out), QByteArray("new"));
    EXPECT_FALSE(writeWhole(QString(), "new"));
    EXPECT_FALSE(writeWhole(path(QStringLiteral("none/out.csv")), "new"));
}

TEST_F(OutputFile, AWriteThatFailsIsToldAndTheOlderFileStays)
{
    const QString out = path(QStringLiteral("out.csv"));
    const QByteArray older("id,time\n1,2026-03-12T14:22:07.300Z\n");
    write(out, older);
    // Short ones stay in a buffer until the end, long ones fail on the way.
    for (const qsizetype size : {50, 5000, 500000}) {
        Done written;
        {
            const test::SmallFiles limit(40);
            written = writeWhole(out, QByteArray(size, 'x'));
        }
        ASSERT_FALSE(written) << size;
        EXPECT_EQ(written.error().kind, ErrorKind::Unwritable);
        EXPECT_TRUE(written.error().sentence.contains(out)) << written.error().sentence.toStdString();
        EXPECT_EQ(bytesOf(out), older) << size;
        EXPECT_EQ(QDir(QFileInfo(out).path()).entryList(QDir::Files).size(), 1) << "nothing stays beside it";
    }
}

TEST_F(OutputFile, AFullDeviceIsSaidToBeFull)
{
    if (!QFileInfo::exists(QStringLiteral("/dev/full")))
        GTEST_SKIP() << "there is no device that is always full here";
    const Done written = writeWhole(QStringLiteral("/dev/full"), "result");
    ASSERT_FALSE(written);
    EXPECT_EQ(written.error().kind, ErrorKind::Unwritable);
    EXPECT_TRUE(written.error().sentence.contains(QStringLiteral("the disk is full")))
        << written.error().sentence.toStdString();
}

TEST_F(OutputFile, WhatFailsWhileItIsMadeLeavesTheOlderFile)
{
    const QString out = path(QStringLiteral("out.csv"));
    write(out, "older");
    const Done written = writeOutput(out, [](const TakePiece &take) -> Done {
        if (auto first = take("the first piece"); !first)
            return first;
        return fail(ErrorKind::Malformed, QStringLiteral("the second can't be read"));
    });
    ASSERT_FALSE(written);
    EXPECT_EQ(written.error().kind, ErrorKind::Malformed);
    EXPECT_EQ(bytesOf(out), QByteArray("older"));
    ASSERT_OK(writeOutput(out, [](const TakePiece &take) -> Done {
        if (auto first = take("one "); !first)
            return first;
        return take("two");
    }));
    EXPECT_EQ(bytesOf(out), QByteArray("one two"));
}

TEST_F(OutputFile, APipeStaysAPipe)
{
    const QString pipe = path(QStringLiteral("pipe"));
    ASSERT_EQ(mkfifo(QFile::encodeName(pipe).constData(), 0600), 0);
    QFile reader(pipe);
    ASSERT_TRUE(reader.open(QIODevice::ReadWrite | QIODevice::Unbuffered)); // both ways: does not wait
    ASSERT_OK(writeWhole(pipe, "result"));
    ASSERT_FALSE(QFileInfo(pipe).isFile());
    EXPECT_EQ(reader.read(6), QByteArray("result"));
}

TEST_F(OutputFile, AnInputIsKnownByAnotherName)
{
    const QString in = path(QStringLiteral("times.csv"));
    const QString link = path(QStringLiteral("link.csv"));
    write(in, "id,time_utc\n");
    ASSERT_TRUE(QFile::link(in, link));
    EXPECT_FALSE(isNoInput(in, {in}));
    EXPECT_FALSE(isNoInput(link, {in}));
    EXPECT_FALSE(isNoInput(path(QStringLiteral("./times.csv")), {in}));
    EXPECT_TRUE(isNoInput(path(QStringLiteral("new.csv")), {in}));
    EXPECT_TRUE(isNoInput(QStringLiteral("-"), {in}));
}
