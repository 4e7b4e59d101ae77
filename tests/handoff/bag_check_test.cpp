// SPDX-License-Identifier: GPL-3.0-or-later
// The rules of BagIt 1.0: RFC 8493 (October 2018), with the section beside each test. The classes are those
// of conformance testing of bags: valid, invalid, warning, and paths that depend on the platform.
#include "a_bag.h"
#include "handoff/reading_limits.h"

#include <QStringEncoder>
#include <filesystem>
#include <fstream>

#include <unistd.h>

namespace holdfast::test
{

class ValidBag : public WithBag
{
};
class InvalidBag : public WithBag
{
};
class DoubtfulBag : public WithBag
{
};
class BagPaths : public WithBag
{
};

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

} // namespace

// ---- valid

TEST_F(ValidBag, TheSmallestBagHasNoFinding)
{
    makeValid();
    const BagReport report = check();
    EXPECT_TRUE(report.complete);
    EXPECT_TRUE(report.valid);
    EXPECT_EQ(report.findings.kept().size(), 0U) << report.findings.text().toStdString();
    EXPECT_EQ(report.payloadFiles, 1);
    EXPECT_EQ(report.payloadBytes, 6);
}

TEST_F(ValidBag, TextFilesMayEndTheirLinesInAnyOfThreeWays) // 2.3
{
    makeValid();
    declare("BagIt-Version: 1.0\r\nTag-File-Character-Encoding: UTF-8\r\n");
    put(s("bag-info.txt"), "Bagging-Date: 2026-03-12\rPayload-Oxum: 6.1\r");
    tag();
    EXPECT_TRUE(check().valid) << check().findings.text().toStdString();
}

TEST_F(ValidBag, TheLastLineNeedsNoEnd) // 2.3: recommended only
{
    makeValid();
    declare("BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8");
    tag();
    EXPECT_TRUE(check().valid) << check().findings.text().toStdString();
}

TEST_F(ValidBag, ChecksumsMayBeInCapitalsAndBlanksMany) // 2.1.3
{
    makeValid();
    put(s("manifest-sha512.txt"),
        sum("hello\n", QCryptographicHash::Sha512).toUpper() + " \t  data/hello.txt\n");
    tag();
    EXPECT_TRUE(check().valid) << check().findings.text().toStdString();
}

TEST_F(ValidBag, OnlyThreeBytesOfAPathAreEncoded) // 2.1.3
{
    makeValid();
    put(s("data/100%0A #Δ.txt"), "x");
    put(s("manifest-sha512.txt"), line("hello\n", "data/hello.txt") + line("x", "data/100%250A #Δ.txt"));
    put(s("bag-info.txt"), "Payload-Oxum: 7.2\n");
    tag();
    EXPECT_TRUE(check().valid) << check().findings.text().toStdString();
}

TEST_F(ValidBag, AnEmptyPayloadFolderIsAllowed) // 2.1.2
{
    declare();
    QDir().mkpath(bag() + s("/data"));
    put(s("manifest-sha512.txt"), "");
    put(s("bag-info.txt"), "Payload-Oxum: 0.0\n");
    tag();
    EXPECT_TRUE(check().valid) << check().findings.text().toStdString();
}

TEST_F(ValidBag, OtherTagFilesNeedNotBeListed) // 3
{
    makeValid();
    put(s("notes/anything.txt"), "not payload");
    EXPECT_TRUE(check().valid);
}

TEST_F(ValidBag, LabelsMayRepeatAndValuesMayBeFolded) // 2.2.2
{
    makeValid();
    put(s("bag-info.txt"),
        "Contact-Name: A\nContact-Name: B\nExternal-Description: one\n  two\nPayload-Oxum: 6.1\n");
    tag();
    const BagReport report = check();
    EXPECT_TRUE(report.valid);
    EXPECT_EQ(report.info.value(s("external-description")), s("one two"));
}

TEST_F(ValidBag, AFetchedFileThatIsThereIsNoError) // 2.2.3
{
    makeValid();
    put(s("fetch.txt"), "https://example.org/hello.txt 6 data/hello.txt\n");
    tag();
    expectWarning("nothing is ever fetched");
}

// ---- invalid

TEST_F(InvalidBag, AChangedFileIsFound) // 3
{
    makeValid();
    put(s("data/hello.txt"), "Hello\n");
    const BagReport report = check();
    EXPECT_TRUE(report.complete) << "complete and valid are told apart";
    EXPECT_FALSE(report.valid);
    expectError("data/hello.txt: was changed");
}

TEST_F(InvalidBag, AChangedTagFileIsFound) // 2.2.1, 3
{
    makeValid();
    put(s("bag-info.txt"), "Bagging-Date: 2026-03-13\nPayload-Oxum: 6.1\n");
    expectError("bag-info.txt: was changed");
}

TEST_F(InvalidBag, AMissingFileIsFound) // 3
{
    makeValid();
    QFile::remove(bag() + s("/data/hello.txt"));
    put(s("data/other.txt"), "hello\n");
    EXPECT_FALSE(check().complete);
    expectError("data/hello.txt: is listed in manifest-sha512.txt and missing");
    expectError("data/other.txt: is not listed in manifest-sha512.txt");
}

TEST_F(InvalidBag, EveryManifestListsEveryFile) // 3
{
    makeValid();
    put(s("data/more.txt"), "m");
    put(s("manifest-sha512.txt"), line("hello\n", "data/hello.txt") + line("m", "data/more.txt"));
    put(s("manifest-sha256.txt"), line("hello\n", "data/hello.txt", QCryptographicHash::Sha256));
    put(s("bag-info.txt"), "Payload-Oxum: 7.2\n");
    tag();
    expectError("data/more.txt: is not listed in manifest-sha256.txt");
}

TEST_F(InvalidBag, APathListedTwiceIsAnErrorEvenWithOneChecksum) // 2.1.3
{
    makeValid();
    put(s("manifest-sha512.txt"), line("hello\n", "data/hello.txt") + line("hello\n", "data/hello.txt"));
    tag();
    expectError("lists data/hello.txt twice");
}

TEST_F(InvalidBag, APayloadManifestListsPayloadOnly) // 2.1.3
{
    makeValid();
    put(s("manifest-sha512.txt"),
        line("hello\n", "data/hello.txt") + line(bytesOf(bag() + s("/bagit.txt")), "bagit.txt"));
    tag();
    expectError("lists bagit.txt, which is not under data/");
}

TEST_F(InvalidBag, TheDeclarationIsExact) // 2.1.1
{
    for (const char *text :
         {"BagIt-Version : 1.0\nTag-File-Character-Encoding: UTF-8\n",
          "BagIt-Version: 1.0 \nTag-File-Character-Encoding: UTF-8\n",
          "BagIt-Version:1.0\nTag-File-Character-Encoding: UTF-8\n",
          "Tag-File-Character-Encoding: UTF-8\nBagIt-Version: 1.0\n",
          "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\nMore: x\n", "BagIt-Version: 1.0\n", ""}) {
        makeValid();
        declare(text);
        tag();
        expectError("must hold exactly two lines");
    }
    makeValid();
    declare("BagIt-Version: 9.9\nTag-File-Character-Encoding: UTF-8\n");
    tag();
    expectError("BagIt version 9.9, which is not known");
}

TEST_F(InvalidBag, ADeclarationIsNeeded) // 2.1.1
{
    makeValid();
    QFile::remove(bag() + s("/bagit.txt"));
    expectError("bagit.txt: is missing");
}

TEST_F(InvalidBag, NoFileBeginsWithAByteOrderMark) // 2.1.1, 2.3
{
    makeValid();
    declare("\xEF\xBB\xBF"
            "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n");
    tag();
    expectError("bagit.txt: begins with a byte order mark");
    makeValid();
    put(s("bag-info.txt"), "\xEF\xBB\xBF"
                           "Payload-Oxum: 6.1\n");
    tag();
    expectError("bag-info.txt: begins with a byte order mark");
}

TEST_F(InvalidBag, AManifestIsNeeded) // 2.1.3
{
    makeValid();
    QFile::remove(bag() + s("/manifest-sha512.txt"));
    expectError("no payload manifest");
}

TEST_F(InvalidBag, ThePayloadFolderIsNeeded) // 2.1.2
{
    declare();
    put(s("manifest-sha512.txt"), "");
    expectError("data: is missing");
}

TEST_F(InvalidBag, TheOxumMustAgree) // 2.2.2
{
    makeValid();
    put(s("bag-info.txt"), "Payload-Oxum: 7.1\n");
    tag();
    expectError("says Payload-Oxum 7.1; the payload has 6.1");
    put(s("bag-info.txt"), "Payload-Oxum: 6.1\nPayload-Oxum: 6.1\n");
    tag();
    expectError("Payload-Oxum more than once");
}

TEST_F(InvalidBag, ATagManifestListsEveryPayloadManifestAndNoPayload) // 2.2.1
{
    makeValid();
    put(s("tagmanifest-sha512.txt"), line(bytesOf(bag() + s("/bagit.txt")), "bagit.txt"));
    expectError("does not list manifest-sha512.txt");
    put(s("tagmanifest-sha512.txt"), line(bytesOf(bag() + s("/manifest-sha512.txt")), "manifest-sha512.txt") +
                                         line("hello\n", "data/hello.txt"));
    expectError("lists data/hello.txt, which is payload");
}

TEST_F(InvalidBag, ALineThatIsNoLineIsFound) // 2.1.3
{
    makeValid();
    put(s("manifest-sha512.txt"), line("hello\n", "data/hello.txt") + "no checksum here\n");
    tag();
    expectError("line 2 is not \"checksum path\"");
    put(s("manifest-sha512.txt"), "abcdef  data/hello.txt\n");
    tag();
    expectError("a checksum of 6 digits");
}

TEST_F(InvalidBag, AFetchListMustBeInTheManifests) // 2.2.3
{
    makeValid();
    put(s("fetch.txt"), "https://example.org/x - data/x.txt\n");
    tag();
    expectError("lists data/x.txt, which manifest-sha512.txt does not");
    put(s("fetch.txt"), "https://example.org/x\n");
    tag();
    expectError("not \"url length path\"");
}

TEST_F(InvalidBag, InfoLinesHaveALabel) // 2.2.2
{
    makeValid();
    put(s("bag-info.txt"), "no colon\nPayload-Oxum: 6.1\n");
    tag();
    expectError("line 1 is not \"Label: value\"");
    put(s("bag-info.txt"), "Contact-Name : x\nPayload-Oxum: 6.1\n");
    tag();
    expectError("white space about its label");
}

// ---- warning

TEST_F(DoubtfulBag, AStarIsNotBagIt) // 6.1.3
{
    makeValid();
    put(s("manifest-sha512.txt"), sum("hello\n", QCryptographicHash::Sha512) + " *data/hello.txt\n");
    tag();
    expectWarning("which is md5sum's mark");
}

// 2.3: tag files but bagit.txt are in the encoding that it declares; a byte order mark is only against the
// rules in UTF-8, and UTF-16 begins with one (RFC 2781 section 3.2).
TEST_F(DoubtfulBag, TagFilesAreInTheEncodingThatIsDeclared)
{
    makeValid();
    QFile::remove(bag() + QStringLiteral("/data/hello.txt"));
    put(QStringLiteral("data/\u00E9.txt"), "hello\n");
    declare("BagIt-Version: 1.0\nTag-File-Character-Encoding: ISO-8859-1\n");
    put(QStringLiteral("manifest-sha512.txt"), line("hello\n", "data/\xE9.txt"));
    tag();
    expectWarning("UTF-8 is recommended");
    declare("BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-16\n");
    QStringEncoder utf16(QStringConverter::Utf16, QStringConverter::Flag::WriteBom);
    const QString manifest = QString::fromUtf8(line("hello\n", "data/\xC3\xA9.txt"));
    put(QStringLiteral("manifest-sha512.txt"), utf16.encode(manifest));
    put(QStringLiteral("bag-info.txt"),
        QStringEncoder(QStringConverter::Utf16, QStringConverter::Flag::WriteBom)
            .encode(QStringLiteral("Bagging-Date: 2026-03-12\nPayload-Oxum: 6.1\n")));
    QFile::remove(bag() + QStringLiteral("/tagmanifest-sha512.txt"));
    const QString lines = QString::fromUtf8(
        line(bytesOf(bag() + QStringLiteral("/bag-info.txt")), "bag-info.txt") +
        line(bytesOf(bag() + QStringLiteral("/manifest-sha512.txt")), "manifest-sha512.txt"));
    put(QStringLiteral("tagmanifest-sha512.txt"),
        QStringEncoder(QStringConverter::Utf16, QStringConverter::Flag::WriteBom).encode(lines));
    expectWarning("UTF-8 is recommended");
}

TEST_F(InvalidBag, AnEncodingThatNobodyKnowsOrThatIsNotKept) // 2.1.1, 2.3
{
    makeValid();
    declare("BagIt-Version: 1.0\nTag-File-Character-Encoding: KLINGON\n");
    tag();
    expectError("no character encoding known here");
    makeValid();
    put(QStringLiteral("bag-info.txt"), "Contact-Name: Ren\xE9\nPayload-Oxum: 6.1\n");
    tag();
    expectError("is not in the encoding that bagit.txt declares, UTF-8");
}

// 3: "every payload file ... must be listed in every payload manifest"; 2.3: manifests are text, so a name
// that is none can't be.
TEST_F(InvalidBag, ANameThatIsNoTextIsSeen)
{
    makeValid();
    std::ofstream((bag() + QStringLiteral("/data/")).toStdString() + "\xFF\xFE") << "x";
    expectError("has a name that is no UTF-8 (\\xFF\\xFE)");
    makeValid();
    std::filesystem::remove((bag() + QStringLiteral("/data/")).toStdString() + "\xFF\xFE");
    std::filesystem::create_directory((bag() + QStringLiteral("/data/")).toStdString() + "\xFF");
    expectError("or what is in it");
}

TEST_F(InvalidBag, AManifestIsAFile) // 2.1.3
{
    makeValid();
    QDir().mkpath(bag() + QStringLiteral("/manifest-sha256.txt"));
    expectError("manifest-sha256.txt: is a folder");
}

// Control functions of ECMA-48 in a name would be obeyed by the terminal that the report is read on.
TEST_F(InvalidBag, ControlCharactersOfNamesAreShownAndNotSent)
{
    makeValid();
    put(QStringLiteral("data/a\x1B[31mred\x07\nb\u202E"), "x");
    const QString text = check().findings.text();
    EXPECT_TRUE(text.contains(QStringLiteral("a\\x1B[31mred\\x07\\x0Ab\\u202E"))) << text.toStdString();
    EXPECT_FALSE(text.contains(QChar(0x1B)) || text.contains(QChar(7)));
}

TEST_F(DoubtfulBag, WeakSumsAreAccepted) // 2.4
{
    makeValid();
    QFile::remove(bag() + s("/manifest-sha512.txt"));
    put(s("manifest-md5.txt"), line("hello\n", "data/hello.txt", QCryptographicHash::Md5));
    put(s("tagmanifest-sha512.txt"), line(bytesOf(bag() + s("/manifest-md5.txt")), "manifest-md5.txt"));
    expectWarning("no longer proves anything");
}

TEST_F(DoubtfulBag, WhatIsRecommendedIsMissed) // 2.2.1, 2.2.2
{
    declare();
    put(s("data/hello.txt"), "hello\n");
    put(s("manifest-sha512.txt"), line("hello\n", "data/hello.txt"));
    expectWarning("There is no tag manifest");
    expectWarning("bag-info.txt: is missing");
}

TEST_F(DoubtfulBag, AnEarlierDraftIsReadByItsLooserRules) // 3, last paragraph of the draft 0.97
{
    makeValid();
    declare("BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n");
    put(s("data/more.txt"), "m");
    put(s("manifest-sha256.txt"), line("m", "data/more.txt", QCryptographicHash::Sha256));
    put(s("bag-info.txt"), "Payload-Oxum: 7.2\n");
    tag();
    expectWarning("is of the draft 0.97");
}

TEST_F(DoubtfulBag, WhatFileManagersLeaveIsTold) // 6.1 in spirit; common practice
{
    makeValid();
    put(s("data/.DS_Store"), "x");
    put(s("manifest-sha512.txt"), line("hello\n", "data/hello.txt") + line("x", "data/.DS_Store"));
    put(s("bag-info.txt"), "Payload-Oxum: 7.2\n");
    tag();
    expectWarning("made by a file manager");
}

TEST_F(DoubtfulBag, ADateIsADate) // 2.2.2
{
    makeValid();
    put(s("bag-info.txt"), "Bagging-Date: 12.3.2026\nPayload-Oxum: 6.1\n");
    tag();
    expectWarning("not as YYYY-MM-DD");
}

// ---- paths that depend on the platform, and dangerous ones

TEST_F(BagPaths, DangerousOnesAreRefusedWhereverTheyStand) // 5.1, 6.1
{
    for (const char *path : {"data/../../escape.txt", "/etc/passwd", "~/x", "~root/x", "C:/x", "c:\\x",
                             "\\\\host\\x", "data\\..\\..\\x", "%HOME%/x", "data/./x", "data//x"}) {
        makeValid();
        put(s("manifest-sha512.txt"), line("hello\n", "data/hello.txt") + line("x", path));
        tag();
        const BagReport report = check();
        EXPECT_FALSE(report.valid) << path;
        EXPECT_TRUE(report.findings.text().contains(s("RFC 8493 5.1")))
            << path << report.findings.text().toStdString();
    }
}

TEST_F(BagPaths, APerCentSignAloneIsNoVariable)
{
    makeValid();
    put(s("data/50% done.txt"), "x");
    put(s("manifest-sha512.txt"), line("hello\n", "data/hello.txt") + line("x", "data/50%25 done.txt"));
    put(s("bag-info.txt"), "Payload-Oxum: 7.2\n");
    tag();
    EXPECT_TRUE(check().valid) << check().findings.text().toStdString();
}

TEST_F(BagPaths, ALinkIsNeverFollowed) // 5.1
{
    makeValid();
    ASSERT_EQ(::symlink("/etc/hostname", QFile::encodeName(bag() + s("/data/link.txt")).constData()), 0);
    expectError("is a link to /etc/hostname");
}

TEST_F(BagPaths, NamesThatDifferOnlyInCaseOrFormAreTold) // 6.1
{
    makeValid();
    put(s("data/HELLO.txt"), "x");
    put(s("data/e\u0301.txt"), "y");
    put(s("data/\u00e9.txt"), "y");
    put(s("manifest-sha512.txt"), line("hello\n", "data/hello.txt") + line("x", "data/HELLO.txt") +
                                      line("y", "data/e\xCC\x81.txt") + line("y", "data/\xC3\xA9.txt"));
    put(s("bag-info.txt"), "Payload-Oxum: 9.4\n");
    tag();
    expectWarning("only in letter case or Unicode form");
}

TEST_F(BagPaths, NamesThatWindowsCannotKeepAreTold) // 6.1; the list of devices is common practice
{
    for (const char *name : {"data/CON", "data/lpt1.txt", "data/a:b.txt", "data/what?.txt", "data/dot."}) {
        QDir(bag()).removeRecursively();
        makeValid();
        put(s(name), "x");
        put(s("manifest-sha512.txt"), line("hello\n", "data/hello.txt") + line("x", name));
        put(s("bag-info.txt"), "Payload-Oxum: 7.2\n");
        tag();
        const BagReport report = check();
        EXPECT_TRUE(report.valid) << name << report.findings.text().toStdString();
        EXPECT_GT(report.findings.warnings(), 0) << name;
    }
}

TEST_F(BagPaths, AManifestInAnotherUnicodeFormFindsItsFile) // 6.1
{
    makeValid();
    put(s("data/\u00e9.txt"), "y");
    put(s("manifest-sha512.txt"), line("hello\n", "data/hello.txt") + line("y", "data/e\xCC\x81.txt"));
    put(s("bag-info.txt"), "Payload-Oxum: 7.2\n");
    tag();
    expectWarning("in another Unicode form");
}

class BagLimits : public WithBag
{
};

TEST_F(BagLimits, AManifestOfNothingButLineFeedsIsReadToALimit)
{
    makeValid();
    put(s("manifest-sha512.txt"), QByteArray(4 << 20, '\n'));
    const BagReport report = check();
    const auto most = mostListLines(6);
    EXPECT_GE(report.findings.errors(), most);
    EXPECT_LE(report.findings.errors(), most + 10) << "what lies beyond the limit was read";
    EXPECT_LE(report.findings.kept().size(), 210U);
    EXPECT_TRUE(report.findings.text().contains(s("more of this kind")));
    EXPECT_LT(report.findings.text().size(), 5000);
}

TEST_F(BagLimits, AFetchListOfNothingButFaultsIsReadToALimit)
{
    makeValid();
    QByteArray lines;
    for (int i = 0; i < 100'000; ++i)
        lines += "x\n";
    put(s("fetch.txt"), lines);
    tag();
    const BagReport report = check();
    EXPECT_GE(report.findings.errors(), mostListLines(7));
    EXPECT_LE(report.findings.errors(), mostListLines(7) + 10);
    EXPECT_LE(report.findings.kept().size(), 210U);
}

TEST_F(BagLimits, TagFilesThatAreNoneAreNotTakenIntoMemory)
{
    makeValid();
    put(s("bag-info.txt"), QByteArray(static_cast<qsizetype>(mostTagBytes) + 1, 'x'));
    tag();
    expectError("at most 1048576 are read");
}

TEST_F(BagLimits, MissingFilesWithoutNumberAreCountedAndFewAreKept)
{
    makeValid();
    QByteArray lines = bytesOf(bag() + s("/manifest-sha512.txt"));
    for (int i = 0; i < 15'000; ++i)
        lines += QByteArray(128, '0') + "  data/missing-" + QByteArray::number(i) + '\n';
    put(s("manifest-sha512.txt"), lines);
    tag();
    const BagReport report = check();
    EXPECT_EQ(report.findings.errors(), 15'000);
    EXPECT_EQ(report.findings.kept().size(), 1000U);
    EXPECT_TRUE(report.findings.text().contains(s("and 14000 more of this kind")));
    const QJsonArray json = report.findings.json();
    EXPECT_EQ(json.size(), 1001);
    EXPECT_EQ(json.last().toObject().value(s("more")).toInt(), 14'000);
}

TEST(PackageFindings, KeepsTheFirstOfEachKindAndCountsAll)
{
    PackageFindings f;
    for (int i = 0; i < 1000; ++i)
        f.error(s("rule"), s("a.txt"), s("line %1 is wrong.").arg(i));
    f.error(s("rule"), s("b.txt"), s("is another file."));
    f.warning(s("rule"), s("a.txt"), s("is another weight."));
    f.error(s("other"), s("a.txt"), QString(100'000, QLatin1Char('x')));
    EXPECT_EQ(f.errors(), 1002);
    EXPECT_EQ(f.warnings(), 1);
    ASSERT_EQ(f.kept().size(), 203U);
    EXPECT_LT(f.kept().back().sentence.size(), 2100);
    EXPECT_TRUE(f.text().contains(s("error  [rule] a.txt: and 980 more of this kind")));
    EXPECT_TRUE(f.text().contains(s("b.txt: is another file.")));
}

} // namespace holdfast::test
