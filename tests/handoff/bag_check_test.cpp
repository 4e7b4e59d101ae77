// SPDX-License-Identifier: GPL-3.0-or-later
// The rules of BagIt 1.0: RFC 8493 (October 2018), with the section beside each test. The classes are those
// of conformance testing of bags: valid, invalid, warning, and paths that depend on the platform.
#include "a_bag.h"

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
    EXPECT_EQ(report.findings.all().size(), 0U) << report.findings.text().toStdString();
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

} // namespace holdfast::test
