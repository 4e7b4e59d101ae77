// SPDX-License-Identifier: GPL-3.0-or-later
// What is told about a data set: its file, its fields.
#include "handoff/about_fields.h"
#include "support/temp_dir.h"

#include <QDir>
#include <QFile>
#include <QJsonDocument>
#include <QTemporaryDir>
#include <gtest/gtest.h>

namespace holdfast::test
{

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

DatasetAbout full()
{
    DatasetAbout a;
    a.title = s("Invented dives");
    a.abstract = s("First line.\nSecond line, with \"quotes\" and a \u00e9.");
    a.purpose = s("trying");
    a.citation = s("Invented (2026)");
    a.creators = {{s("Mara Invented"), s("Institute of Invented Seas"), s("mara@example.org")},
                  {s("Bo Invented"), {}, {}},
                  {{}, s("Invented Museum"), {}}};
    a.contact = {s("Ana Invented"), {}, s("ana@example.org")};
    a.licence = openLicences().front().url;
    a.rightsHolder = s("Institute of Invented Seas");
    a.institutionCode = s("IIS");
    a.collectionCode = s("DEEP");
    a.embargoUntil = s("2027-03-31");
    a.project = s("Invented Expedition");
    a.permits = QStringList{s("INV-1: 30 corals"), s("INV-2")};
    return a;
}

class AboutFile : public ::testing::Test
{
protected:
    QTemporaryDir folder;
    QString path() const { return folder.filePath(s("TK26.about.json")); }
};

} // namespace

TEST_F(AboutFile, WhatIsWrittenIsRead)
{
    for (const DatasetAbout &about : {full(), DatasetAbout()}) {
        ASSERT_OK(about.write(path()));
        const auto read = DatasetAbout::read(path());
        ASSERT_OK(read);
        EXPECT_TRUE(*read == about) << QJsonDocument(read->json()).toJson().toStdString();
    }
    EXPECT_EQ(QDir(folder.path()).entryList(QDir::Files).size(), 1) << "no half file is left";
}

TEST_F(AboutFile, EveryKeyOfTheExampleGoesThere)
{
    const QString example =
        qEnvironmentVariable("HOLDFAST_SOURCE_DIR") + s("/templates/handoff/about-example.json");
    const auto read = DatasetAbout::read(example);
    ASSERT_OK(read);
    QFile file(example);
    ASSERT_TRUE(file.open(QIODevice::ReadOnly));
    QJsonObject json = QJsonDocument::fromJson(file.readAll()).object();
    json.remove(s("embargoUntil")); // it is empty there
    EXPECT_EQ(read->json(), json);
}

TEST_F(AboutFile, UnknownKeysAreRefusedAndNamed)
{
    QJsonObject json = full().json();
    json.insert(s("license"), s("CC0"));
    const auto read = DatasetAbout::parse(json, s("x.about.json"));
    ASSERT_FALSE(read);
    EXPECT_TRUE(read.error().sentence.contains(s("\"license\""))) << read.error().sentence.toStdString();
    EXPECT_TRUE(read.error().sentence.contains(s("licence")));
}

TEST_F(AboutFile, AFolderThatCannotBeWrittenIsToldAndTheOldFileStays)
{
    const Done done = full().write(s("/proc/TK26.about.json")); // nobody can make a file there, root neither
    ASSERT_FALSE(done);
    EXPECT_EQ(done.error().kind, ErrorKind::Unwritable);
    EXPECT_TRUE(done.error().sentence.contains(s("/proc/TK26.about.json")))
        << done.error().sentence.toStdString();
    const Done gone = full().write(folder.filePath(s("none/TK26.about.json")));
    ASSERT_FALSE(gone);
    EXPECT_EQ(gone.error().kind, ErrorKind::Unwritable);
}

TEST_F(AboutFile, LiesBesideTheCruiseFile)
{
    EXPECT_EQ(DatasetAbout::pathBeside(s("/a/TK26.2.hfc")), s("/a/TK26.2.about.json"));
    ASSERT_OK(full().write(DatasetAbout::pathBeside(folder.filePath(s("TK26.hfc")))));
    const auto read = DatasetAbout::beside(folder.filePath(s("TK26.hfc")));
    ASSERT_OK(read);
    EXPECT_TRUE(*read == full());
}

TEST(AboutFields, TogetherHoldAllOfIt)
{
    DatasetAbout copy;
    for (const AboutField &f : aboutFields()) {
        ASSERT_OK(setAboutText(copy, f.key, aboutText(full(), f.key)));
    }
    EXPECT_TRUE(copy == full()) << QJsonDocument(copy.json()).toJson().toStdString();
    for (const AboutField &f : aboutFields()) {
        ASSERT_OK(setAboutText(copy, f.key, s("  ")));
        EXPECT_TRUE(aboutText(copy, f.key).isEmpty()) << f.key.toStdString();
    }
    EXPECT_TRUE(copy == DatasetAbout());
}

TEST(AboutFields, SayWhatWasExpectedAndChangeNothing)
{
    const std::pair<const char *, const char *> bad[] = {
        {"contact.email", "ana"},
        {"contact.email", "ana@a@b"},
        {"contact.email", "@example.org"},
        {"embargoUntil", "31.3.2027"},
        {"embargoUntil", "2027-02-30"},
        {"licence", "htp://creativecommons.org/x"},
        {"licence", "https://"},
        {"creators", "Mara; Institute; mara@example.org; more"},
        {"creators", "; ; mara@example.org"},
        {"creators", "Mara\nBo; Institute; bo"}};
    for (const auto &[key, text] : bad) {
        DatasetAbout about = full();
        const Done done = setAboutText(about, s(key), s(text));
        ASSERT_FALSE(done) << key << " " << text;
        EXPECT_EQ(done.error().kind, ErrorKind::Malformed);
        EXPECT_TRUE(about == full()) << key << " " << text;
    }
    DatasetAbout about;
    EXPECT_FALSE(setAboutText(about, s("license"), s("x")));
    ASSERT_OK(setAboutText(about, s("licence"), s("as agreed with the archive"))); // words are a licence, too
}

TEST(AboutFields, OpenLicencesAreAcceptedByTheirAddress)
{
    // Deed addresses as the licensor publishes them: creativecommons.org, from memory.
    for (const OpenLicence &l : openLicences()) {
        DatasetAbout about;
        ASSERT_OK(setAboutText(about, s("licence"), l.url));
        EXPECT_EQ(about.licence, l.url);
    }
}

TEST(AboutFields, EachRequirementOfTheDataSetHasItsField)
{
    for (const char *check : {"licence", "contact"}) {
        const QString key = aboutFieldFor(s(check));
        EXPECT_TRUE(std::any_of(aboutFields().begin(), aboutFields().end(), [&key](const AboutField &f) {
            return f.key == key;
        })) << check;
    }
    EXPECT_TRUE(aboutFieldFor(s("fix")).isEmpty());
}

} // namespace holdfast::test
