// SPDX-License-Identifier: GPL-3.0-or-later
// A package of a small cruise: made, checked, checked again by other programs, received.
#include "a_package.h"
#include "base/csv.h"
#include "custody/audit.h"
#include "custody/specimens.h"
#include "handoff/check_package.h"
#include "handoff/cruise_tables.h"
#include "handoff/ledger_text.h"
#include "handoff/receive_package.h"
#include "handoff/zip_source.h"
#include "store/sensor_log.h"

#include <QDateTime>
#include <QJsonArray>
#include <QJsonDocument>

#include <sys/file.h>

namespace holdfast::test
{

class Package : public WithPackage
{
};

TEST_F(Package, IsABagWithoutErrors)
{
    const QString package = made(order());
    const auto report = checkPackage(package, at("2026-03-13T12:00:00Z"), {});
    ASSERT_OK(report);
    EXPECT_EQ(report->errors(), 0) << report->text().toStdString();
    EXPECT_TRUE(report->bag.valid);
    EXPECT_EQ(report->darwinCore, QStringList{s("data/dwca/")});
    EXPECT_FALSE(QFileInfo::exists(package + s(".partial")));
    EXPECT_FALSE(QFileInfo::exists(package + s("/.journal")));
}

TEST_F(Package, OtherProgramsFindTheSameSums) // sha256sum and sha512sum of the system; python3's own hashlib
{
    const QString package = made(order());
    QByteArray said;
    EXPECT_EQ(runProgram(s("sha256sum"),
                         {s("--check"), s("--strict"), s("--quiet"), s("manifest-sha256.txt")}, package,
                         &said),
              0)
        << said.data();
    EXPECT_EQ(runProgram(s("sha512sum"),
                         {s("--check"), s("--strict"), s("--quiet"), s("manifest-sha512.txt")}, package,
                         &said),
              0)
        << said.data();
    EXPECT_EQ(runProgram(s("sha512sum"),
                         {s("--check"), s("--strict"), s("--quiet"), s("tagmanifest-sha512.txt")}, package,
                         &said),
              0)
        << said.data();
    EXPECT_EQ(runProgram(s("python3"), {script("recheck_bag.py"), package}, package, &said), 0)
        << said.data();
}

TEST_F(Package, TheScriptInItVerifiesTheLedgerAndFindsAChange)
{
    const QString package = made(order());
    QByteArray said;
    EXPECT_EQ(runProgram(s("python3"), {s("data/ledger/verify_ledger.py")}, package, &said), 0)
        << said.data();
    const auto head = ledgerHead(file().db());
    ASSERT_OK(head);
    EXPECT_TRUE(said.contains(head->toLatin1())) << said.data();
    QByteArray ledger = bytesOf(package + QLatin1Char('/') + ledgerPath);
    ledger.replace("octocoral", "octocorax");
    write(package + QLatin1Char('/') + ledgerPath, ledger);
    EXPECT_EQ(runProgram(s("python3"), {s("data/ledger/verify_ledger.py")}, package, &said), 1);
    EXPECT_TRUE(said.contains("was changed")) << said.data();
    // Cut off at the end.
    ledger.replace("octocorax", "octocoral");
    write(package + QLatin1Char('/') + ledgerPath, ledger.left(ledger.lastIndexOf('\n', -2) + 1));
    EXPECT_EQ(runProgram(s("python3"), {s("data/ledger/verify_ledger.py")}, package, &said), 1);
    EXPECT_LE(verifyScript().count('\n'), 50) << "a stranger must be able to read it at a glance";
}

TEST_F(Package, MetaXmlIsValidByItsSchema) // TDWG, tdwg_dwc_text.xsd; attribution in the schema's own folder
{
    const QString shared = qEnvironmentVariable("HOLDFAST_SHARED_DATA");
    if (shared.isEmpty())
        GTEST_SKIP() << "HOLDFAST_SHARED_DATA is not set";
    const QString package = made(order());
    QByteArray said;
    EXPECT_EQ(runProgram(s("xmllint"),
                         {s("--nonet"), s("--noout"), s("--schema"),
                          shared + s("/standards/schema/tdwg_dwc_text.xsd"), s("data/dwca/meta.xml")},
                         package, &said),
              0)
        << said.data();
    EXPECT_EQ(runProgram(s("xmllint"), {s("--nonet"), s("--noout"), s("data/dwca/eml.xml")}, package, &said),
              0)
        << said.data();
}

TEST_F(Package, TheLogsAreThereByteForByte)
{
    const QString package = made(order());
    EXPECT_EQ(bytesOf(package + s("/data/logs/raw/dive-01/ctd.csv")), ctdLog());
    EXPECT_EQ(bytesOf(package + s("/data/logs/raw/dive-01/position.csv")), positionLog());
}

TEST_F(Package, TheTallyMarksAnswersThatAreOutdated)
{
    ASSERT_OK(tallySlot(file(), act(), 1, s("B1"), TallyAnswer::AsLogged, {}));
    ASSERT_OK(tallySlot(file(), act(), 1, s("R1"), TallyAnswer::AsLogged, {}));
    ASSERT_OK(moveSample(file(), act(), s("TK26-01-001"), s("B2"), s("misread")));
    const CsvTable tally = table(made(order()) + s("/data/tables/tally.csv"));
    ASSERT_EQ(tally.rows.size(), 2U);
    ASSERT_EQ(tally.header.last(), s("outdated_by"));
    EXPECT_EQ(tally.rows.at(0).last(), s("TK26-01-001 was moved out of it"));
    EXPECT_EQ(tally.rows.at(1).last(), QString());
}

TEST_F(Package, EveryTableOfTheCruiseFileIsDescribed)
{
    const auto missing = tablesNotDescribed(file().db());
    ASSERT_OK(missing);
    EXPECT_TRUE(missing->isEmpty()) << "give these a line in core/handoff/cruise_tables.cpp: "
                                    << missing->join(s(", ")).toStdString();
}

// Frictionless Data, Tabular Data Package and Table Schema, version 1: Types and Formats, Constraints,
// Missing Values, Primary Key, Foreign Keys; read by python's csv, apart from this program.
TEST_F(Package, TheTablesAreAsTheirDescriptionSays)
{
    SpecimenDetails piece;
    piece.material = s("basalt");
    piece.description = s("=1+1, \"two\"\r\nlines; \u6df1\u6d77");
    ASSERT_OK(splitSpecimen(file(), act(), s("TK26-01-002"), piece));
    ASSERT_OK(tallySlot(file(), act(), 1, s("B1"), TallyAnswer::AsLogged, {}));
    const QString tables = made(order()) + s("/data/tables");
    const auto recheck = [&](QByteArray *said) {
        return runProgram(s("/usr/bin/python3"), {script("recheck_tables.py"), tables}, tables, said);
    };
    QByteArray said;
    EXPECT_EQ(recheck(&said), 0) << said.data();
    EXPECT_TRUE(said.contains(" references: sound") && !said.contains(" 0 references")) << said.data();
    const QString samples = tables + s("/samples.csv");
    const QByteArray sound = bytesOf(samples);
    const qsizetype last = sound.lastIndexOf('\n', sound.size() - 2) + 1;
    const struct {
        QByteArray bytes;
        const char *says;
    } cases[] = {{sound.left(last), "is not in samples"},
                 {sound + sound.mid(last), "is there twice"},
                 {QByteArray(sound).replace(",basalt,rock,", ",basalt,stone,"), "is none of"},
                 {QByteArray(sound).replace(",basalt,rock,1,", ",basalt,rock,one,"), "is no integer"},
                 {QByteArray(sound).replace(",basalt,rock,", ",,rock,"), "is required"}};
    for (const auto &c : cases) {
        ASSERT_NE(c.bytes, sound) << c.says;
        write(samples, c.bytes);
        EXPECT_EQ(recheck(&said), 1) << c.says;
        EXPECT_TRUE(said.contains(c.says)) << c.says << '\n' << said.data();
    }
}

TEST_F(Package, RocksAreNoOccurrences) // OBIS shows only taxa: standards' note on section 2.2
{
    const QString package = made(order());
    const QByteArray occurrences = bytesOf(package + s("/data/dwca/occurrence.txt"));
    EXPECT_TRUE(occurrences.contains("TK26-01-001"));
    EXPECT_FALSE(occurrences.contains("TK26-01-002"));
    const QByteArray events = bytesOf(package + s("/data/dwca/event.txt"));
    EXPECT_TRUE(events.contains("TK26-01-002\tTK26:dive-01\tSample\t"));
    EXPECT_TRUE(bytesOf(package + s("/data/igsn/igsn.json")).contains("\"name\": \"TK26-01-002\""));
}

TEST_F(Package, TheTrackIsCutAtTheAntimeridian) // RFC 7946 section 3.1.9
{
    const QString package = made(order());
    const QJsonObject tracks =
        QJsonDocument::fromJson(bytesOf(package + s("/data/geojson/tracks.geojson"))).object();
    EXPECT_FALSE(tracks.contains(s("crs"))); // section 4
    const QJsonObject feature = tracks.value(s("features")).toArray().at(0).toObject();
    EXPECT_EQ(feature.value(s("geometry")).toObject().value(s("type")).toString(), s("MultiLineString"));
    const QJsonArray parts = feature.value(s("geometry")).toObject().value(s("coordinates")).toArray();
    const QJsonArray times = feature.value(s("properties")).toObject().value(s("times")).toArray();
    ASSERT_EQ(parts.size(), 2);
    ASSERT_EQ(times.size(), 2);
    for (qsizetype p = 0; p < 2; ++p) {
        const QJsonArray line = parts.at(p).toArray();
        EXPECT_EQ(line.size(), times.at(p).toArray().size());
        for (qsizetype i = 1; i < line.size(); ++i)
            EXPECT_LT(
                std::abs(line.at(i).toArray().at(0).toDouble() - line.at(i - 1).toArray().at(0).toDouble()),
                1);
    }
    const QJsonArray box = tracks.value(s("bbox")).toArray();
    EXPECT_GT(box.at(0).toDouble(), box.at(2).toDouble())
        << "west is greater than east about the antimeridian, 5.2";
}

TEST_F(Package, IsReceivedEntryForEntryAndLogForLog)
{
    const QString package = made(order());
    const QString back = path(s("back.hfc"));
    const auto received = receivePackage(package, back, s("archive"), {});
    ASSERT_OK(received);
    EXPECT_EQ(received->logs, 2);
    const auto again = CruiseFile::open(back, Database::Access::ReadOnly, allVerbRules());
    ASSERT_OK(again);
    std::vector<Entry> before, after;
    ASSERT_OK(forEachEntry(file().db(), [&](const Entry &e) -> Done {
        before.push_back(e);
        return {};
    }));
    ASSERT_OK(forEachEntry(again->db(), [&](const Entry &e) -> Done {
        after.push_back(e);
        return {};
    }));
    ASSERT_EQ(before.size(), after.size());
    for (std::size_t i = 0; i < before.size(); ++i) {
        EXPECT_EQ(before[i].hash, after[i].hash);
        EXPECT_EQ(before[i].body, after[i].body);
        EXPECT_EQ(before[i].timeUs, after[i].timeUs);
    }
    const auto differences = compareTablesWithLedger(again->db(), allVerbRules());
    ASSERT_OK(differences);
    EXPECT_TRUE(differences->isEmpty());
    const SensorLogReader logs(again->db().connection());
    const auto files = logs.files(1);
    ASSERT_OK(files);
    QByteArray text;
    for (const LogFile &log : *files) {
        if (log.fileName == s("ctd.csv"))
            ASSERT_OK(logs.text(log, [&](std::string_view piece) -> Done {
                text.append(piece.data(), static_cast<qsizetype>(piece.size()));
                return {};
            }));
    }
    EXPECT_EQ(text, ctdLog());
    const auto audit = auditCruise(*again);
    ASSERT_OK(audit);
    EXPECT_TRUE(audit->holds()) << audit->text().toStdString();
}

TEST_F(Package, AReceivedFileGivesTheSamePackage)
{
    const QString package = made(order());
    const QString back = path(s("back.hfc"));
    ASSERT_OK(receivePackage(package, back, s("archive"), {}));
    QDir().mkpath(path(s("out2")));
    PackageOrder o = order();
    o.cruisePath = back;
    o.parent = path(s("out2"));
    const QString second = made(o);
    EXPECT_EQ(bytesOf(second + s("/manifest-sha256.txt")), bytesOf(package + s("/manifest-sha256.txt")));
}

TEST_F(Package, WillNotWriteAsAStationOfTheLedger)
{
    const QString package = made(order());
    const auto received = receivePackage(package, path(s("back.hfc")), s("van"), {});
    ASSERT_FALSE(received);
    EXPECT_EQ(received.error().kind, ErrorKind::Refused);
    EXPECT_FALSE(QFileInfo::exists(path(s("back.hfc"))));
}

TEST_F(Package, AsAZipIsTheSameBagAndTheSameBytesEachTime)
{
    PackageOrder o = order();
    o.zip = true;
    const QString zip = made(o);
    EXPECT_TRUE(zip.endsWith(s("TK26-v1.zip")));
    EXPECT_EQ(everythingIn(path(s("out"))), QStringList{s("TK26-v1.zip")}) << "no folder is left behind";
    const auto report = checkPackage(zip, at("2026-03-13T12:00:00Z"), {});
    ASSERT_OK(report);
    EXPECT_EQ(report->errors(), 0) << report->text().toStdString();
    EXPECT_FALSE(report->text().contains(s("house rule"))) << report->text().toStdString();
    ASSERT_OK(receivePackage(zip, path(s("back.hfc")), s("archive"), {}));
    QDir().mkpath(path(s("out2")));
    o.parent = path(s("out2"));
    EXPECT_EQ(bytesOf(made(o)), bytesOf(zip));
    QByteArray said; // Info-ZIP is not needed: python3 reads zips too
    EXPECT_EQ(runProgram(s("python3"), {s("-m"), s("zipfile"), s("-t"), zip}, path(s("out")), &said), 0)
        << said.data();
}

TEST_F(Package, WhatAKillAtTheVeryEndLeftGoesWithTheNextPackage)
{
    PackageOrder o = order();
    o.zip = true;
    made(o);
    const QString out = path(s("out/"));
    for (const char *name : {"TK26-v1.partial", "TK26-v9.partial", "else-v1.partial"})
        QDir().mkpath(out + s(name) + s("/data"));
    write(out + s("TK26-v1.lock"), {});
    ASSERT_OK(amendSample(file(), act(), s("TK26-01-001"), {{s("kind"), s("sponge")}}, s("seen"), m_kinds));
    made(o);
    EXPECT_FALSE(QFileInfo::exists(out + s("TK26-v1.partial")));
    EXPECT_FALSE(QFileInfo::exists(out + s("TK26-v1.lock")));
    EXPECT_TRUE(QFileInfo::exists(out + s("TK26-v1.zip")));
    EXPECT_TRUE(QFileInfo::exists(out + s("TK26-v9.partial"))) << "it has no package yet: a run may go on";
    EXPECT_TRUE(QFileInfo::exists(out + s("else-v1.partial"))) << "not of this cruise";
}

TEST_F(Package, IsNeverOverwritten)
{
    const QString package = made(order());
    QDir().mkpath(path(s("out/TK26-v2")));
    const auto again = makePackage(order(), {});
    ASSERT_FALSE(again);
    EXPECT_TRUE(QFileInfo::exists(package));
}

TEST_F(Package, AStoppedRunLeavesNothing)
{
    std::stop_source stop;
    int told = 0;
    const JobControl job{stop.get_token(), [&](const QString &, double share) {
                             if (share > 0.35 && ++told == 1)
                                 stop.request_stop();
                         }};
    const auto package = makePackage(order(), job);
    ASSERT_FALSE(package);
    EXPECT_EQ(package.error().kind, ErrorKind::Cancelled);
    EXPECT_TRUE(everythingIn(path(s("out"))).isEmpty());
}

TEST_F(Package, AKilledRunGoesOnWhereItStopped)
{
    // A first run, taken apart to what a kill in the middle leaves: some files, the journal, half a file.
    const QString package = made(order());
    const QByteArray whole = bytesOf(package + s("/manifest-sha512.txt"));
    removePackage(package);
    {
        PackageOrder o = order();
        // Build by hand what the journal would hold: the raw CTD log done, the position log half.
        const auto head = ledgerHead(file().db());
        ASSERT_OK(head);
        auto writer = PackageWriter::begin(o.parent, s("TK26-v1"), packageKey(*head));
        ASSERT_OK(writer);
        ASSERT_OK(writer->add(s("data/logs/raw/dive-01/ctd.csv"), ctdLog()));
        auto half = writer->open(s("data/logs/raw/dive-01/position.csv"));
        ASSERT_OK(half);
        ASSERT_OK(half->write(QByteArray("half")));
    }
    const QString kept = path(s("out/TK26-v1.partial/data/logs/raw/dive-01/ctd.csv"));
    ASSERT_TRUE(QFileInfo::exists(kept));
    QFile keptFile(kept);
    ASSERT_TRUE(keptFile.open(QIODevice::ReadWrite));
    ASSERT_TRUE(keptFile.setFileTime(QDateTime(QDate(2020, 1, 1), QTime(0, 0), Qt::UTC),
                                     QFileDevice::FileModificationTime));
    keptFile.close();
    const QString again = made(order());
    EXPECT_EQ(bytesOf(again + s("/manifest-sha512.txt")), whole);
    EXPECT_EQ(QFileInfo(again + s("/data/logs/raw/dive-01/ctd.csv")).lastModified().date().year(), 2020)
        << "the finished file was written again";
}

TEST_F(Package, WhatAKilledRunFinishedIsNotTrustedBlindly)
{
    {
        const auto head = ledgerHead(file().db());
        ASSERT_OK(head);
        auto writer = PackageWriter::begin(path(s("out")), s("TK26-v1"), packageKey(*head));
        ASSERT_OK(writer);
        ASSERT_OK(writer->add(s("data/logs/raw/dive-01/ctd.csv"), ctdLog()));
    }
    write(path(s("out/TK26-v1.partial/data/logs/raw/dive-01/ctd.csv")), "lost in a power cut");
    write(path(s("out/TK26-v1.partial/data/stranger.txt")), "of an earlier layout");
    const QString package = made(order());
    EXPECT_EQ(bytesOf(package + s("/data/logs/raw/dive-01/ctd.csv")), ctdLog());
    EXPECT_FALSE(QFileInfo::exists(package + s("/data/stranger.txt")));
}

TEST_F(Package, TwoAtOnceDoNotWriteIntoEachOthersFiles)
{
    QDir().mkpath(path(s("out")));
    {
        const auto first = PackageWriter::begin(path(s("out")), s("TK26-v1"), s("key"));
        ASSERT_OK(first);
        const auto second = PackageWriter::begin(path(s("out")), s("TK26-v1"), s("key"));
        ASSERT_FALSE(second);
        EXPECT_EQ(second.error().kind, ErrorKind::Busy);
        EXPECT_TRUE(second.error().sentence.contains(s("wait until it is done")));
        const auto other = PackageWriter::begin(path(s("out")), s("TK26-v2"), s("key"));
        EXPECT_TRUE(other);
    }
    EXPECT_TRUE(PackageWriter::begin(path(s("out")), s("TK26-v1"), s("key")));
    EXPECT_FALSE(QFileInfo::exists(path(s("out/TK26-v1.lock"))));
}

TEST_F(Package, ALockThatNamesNobodyIsVoidUnlessALivingProgramHoldsIt)
{
    const QString lock = path(s("out/TK26-v1.lock"));
    write(lock, {}); // of a run that was killed between making the file and writing into it
    QFile held(lock);
    ASSERT_TRUE(held.open(QIODevice::ReadWrite));
    ASSERT_EQ(::flock(held.handle(), LOCK_EX | LOCK_NB), 0);
    const auto refused = PackageWriter::begin(path(s("out")), s("TK26-v1"), s("key"));
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().kind, ErrorKind::Busy);
    held.close();
    EXPECT_TRUE(PackageWriter::begin(path(s("out")), s("TK26-v1"), s("key")));
}

TEST_F(Package, WhatAKilledRunLeftBesideItIsNobodyAtWork)
{
    // Killed, or cut off from power, before it wrote anything into the file; or with the number of a process.
    for (const QByteArray &left : {QByteArray(), QByteArray("4242\nholdfast\nship\n")}) {
        write(path(s("out/TK26-v1.lock")), left);
        const QString package = made(order());
        ASSERT_FALSE(package.isEmpty());
        EXPECT_FALSE(QFileInfo::exists(path(s("out/TK26-v1.lock"))));
        removePackage(package);
    }
}

TEST_F(Package, ASecondVersionSaysWhatChangedAndWhy)
{
    made(order());
    ASSERT_OK(amendSample(file(), act(), s("TK26-01-001"), {{s("kind"), s("stony coral")}},
                          s("seen again on the bench"), m_kinds));
    takeIn(s("corrected.csv"), s("position-csv"), positionLog(true), s("position.csv"));
    QDir().mkpath(path(s("out/TK26-v7/notes"))); // somebody's folder, no package
    const QString second = made(order());
    EXPECT_TRUE(second.endsWith(s("TK26-v2")));
    const CsvTable entries = table(second + s("/data/changes/entries.csv"));
    ASSERT_EQ(entries.rows.size(), 2U);
    EXPECT_EQ(entries.rows[0].at(entries.column(s("reason"))), s("seen again on the bench"));
    EXPECT_EQ(entries.rows[0].at(entries.column(s("about"))), s("TK26-01-001"));
    EXPECT_EQ(entries.rows[1].at(entries.column(s("verb"))), s("log taken in"));
    const CsvTable values = table(second + s("/data/changes/values.csv"));
    bool kind = false;
    bool place = false;
    for (const QStringList &row : values.rows) {
        kind = kind || (row.at(1) == s("TK26-01-001") && row.at(2) == s("kind") &&
                        row.at(3) == s("octocoral") && row.at(4) == s("stony coral"));
        place = place || (row.at(1) == s("TK26-01-002") && row.at(2) == s("longitude_deg"));
    }
    EXPECT_TRUE(kind);
    EXPECT_TRUE(place);
    EXPECT_TRUE(bytesOf(second + s("/bag-info.txt")).contains("replaces TK26-v1"));
    const QByteArray told = bytesOf(second + s("/data/changes/README.txt"));
    for (const char *words :
         {"TK26-v2 follows TK26-v1", "seen again on the bench", "in the place of an earlier log",
          "TK26-01-001: kind was \"octocoral\", is \"stony coral\""})
        EXPECT_TRUE(told.contains(words)) << words << '\n' << told.data();
}

TEST_F(Package, AnotherRecordIsNotItsEarlierVersion)
{
    made(order());
    const QString other = path(s("other.hfc"));
    {
        auto made2 = CruiseFile::create(other, s("TK26"), s("van"), act(), allVerbRules());
        ASSERT_OK(made2);
    }
    PackageOrder o = order();
    o.cruisePath = other;
    const auto package = makePackage(o, {});
    ASSERT_FALSE(package);
    EXPECT_TRUE(package.error().sentence.contains(s("does not belong to this record")))
        << package.error().sentence.toStdString();
}

TEST_F(Package, OfALedgerThatDoesNotHoldIsNotMade)
{
    ASSERT_OK(execSql(file().db().connection(), s("UPDATE ledger SET actor='Nobody' WHERE seq=3")));
    const auto package = makePackage(order(), {});
    ASSERT_FALSE(package);
    EXPECT_EQ(package.error().kind, ErrorKind::Tampered);
    EXPECT_TRUE(everythingIn(path(s("out"))).isEmpty());
}

} // namespace holdfast::test
