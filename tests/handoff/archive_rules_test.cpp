// SPDX-License-Identifier: GPL-3.0-or-later
// What an archive's readers are told must be so. Darwin Core: definitions of the terms in TDWG's list of
// terms (2023-09-13), quoted in short beside each test; PROV-DM, W3C 30 April 2013; RFC 8493.
#include "a_package.h"
#include "custody/entry_amendment.h"
#include "custody/specimens.h"
#include "handoff/check_package.h"
#include "handoff/receive_package.h"

#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>

namespace holdfast::test
{

class ArchiveRules : public WithPackage
{
protected:
    using Row = QHash<QString, QString>;

    /// The row of a Darwin Core table whose cell in `column` is `key`.
    static Row rowOf(const QString &file, const QString &key, int column = 0)
    {
        const QStringList lines = QString::fromUtf8(bytesOf(file)).split(QLatin1Char('\n'));
        const QStringList head = lines.front().split(QLatin1Char('\t'));
        Row row;
        for (const QString &line : lines) {
            const QStringList cells = line.split(QLatin1Char('\t'));
            for (qsizetype i = 0; cells.value(column) == key && i < head.size(); ++i)
                row.insert(head.at(i), cells.value(i));
        }
        return row;
    }
    Row event(const QString &id) { return rowOf(m_package + s("/data/dwca/event.txt"), id); }
    Row occurrence(const QString &id) { return rowOf(m_package + s("/data/dwca/occurrence.txt"), id, 1); }
    void pack()
    {
        m_package = made(order());
        const auto report = checkPackage(m_package, at("2026-04-01T00:00:00Z"), {});
        ASSERT_OK(report);
        EXPECT_EQ(report->errors(), 0) << report->text().toStdString();
    }
    /// Dive 2: an invented hour at one depth after another, a sample after twenty minutes.
    void secondDive(double latitudeDeg, double longitudeDeg, double depthM, double lastDepthM,
                    int positions = 900)
    {
        const auto loadout = readTemplate(s("loadouts"), s("demo"));
        ASSERT_OK(loadout);
        ASSERT_OK(planDive(file(), act(), 2, s("Deep vehicle"), *loadout));
        QByteArray log = "time_utc,latitude_deg,longitude_deg,depth_m\n";
        for (int i = 0; i < positions; ++i)
            log += toIso(at("2026-03-12T10:00:00Z") + std::chrono::seconds(4 * i)).toLatin1() + ',' +
                   QByteArray::number(latitudeDeg + i * 1e-6, 'f', 7) + ',' +
                   QByteArray::number(longitudeDeg, 'f', 7) + ',' +
                   QByteArray::number(i < 600 ? depthM : lastDepthM, 'f', 1) + '\n';
        write(path(s("second.csv")), log);
        const auto profile = feedProfile(s("position-csv"));
        ASSERT_OK(profile);
        m_now = at("2026-03-12T11:30:00Z");
        ASSERT_OK(takeInCorrectedLog(file(), act(), 2, path(s("second.csv")), *profile, {}));
        SampleDetails d;
        d.slot = s("B1");
        d.kind = s("octocoral");
        ASSERT_OK(stampSample(file(), act(), 2, at("2026-03-12T10:20:00Z"), d, m_kinds));
    }
    void consume()
    {
        handOverToAna(s("TK26-01-001"), s("Mara"));
        const Act a = act();
        ASSERT_OK(endCustody(file(), a,
                             {{s("TK26-01-001")}, s("consumed"), s("Ana"), {}, s("extracted"), a.now, {}}));
    }
    QJsonObject json(const char *file)
    {
        return QJsonDocument::fromJson(bytesOf(m_package + s(file))).object();
    }
    void expectRefused(const char *says)
    {
        QByteArray said;
        ASSERT_EQ(runProgram(s("python3"), {script("reseal_bag.py"), m_package}, m_package, &said), 0)
            << said.data();
        const auto received = receivePackage(m_package, path(s("back.hfc")), s("archive"), {});
        ASSERT_FALSE(received) << says;
        EXPECT_TRUE(received.error().sentence.contains(s(says))) << received.error().sentence.toStdString();
        EXPECT_FALSE(QFileInfo::exists(path(s("back.hfc"))));
    }
    QString m_package;
};

// minimumDepthInMeters: "The lesser depth of a range of depth below the local surface, in meters." What lies
// above the surface is no depth, and a nought in its place would be one that nobody measured.
TEST_F(ArchiveRules, WhatIsAboveTheSurfaceIsNoDepthAndNoNoughtStandsForIt)
{
    secondDive(-19.4, 179.9, -100, -120);
    pack();
    const Row sample = event(s("TK26-02-001"));
    EXPECT_EQ(sample.value(s("minimumDepthInMeters")), QString());
    EXPECT_EQ(sample.value(s("maximumDepthInMeters")), QString());
    EXPECT_TRUE(sample.value(s("eventRemarks")).contains(s("-100.00 m")))
        << sample.value(s("eventRemarks")).toStdString();
    EXPECT_EQ(event(s("TK26:dive-02")).value(s("maximumDepthInMeters")), QString());
}

// An event is "an action that occurs at some location during some time"; eventDate: "the date-time or
// interval during which a dwc:Event occurred"; maximumDepthInMeters: "the greater depth of a range". All
// three are those of the dive, not of its samples.
TEST_F(ArchiveRules, ADivesDepthsAndDatesAreThoseOfTheWholeDive)
{
    secondDive(-19.4, 179.9, 3, 23.3);
    pack();
    const Row dive = event(s("TK26:dive-02"));
    EXPECT_EQ(dive.value(s("minimumDepthInMeters")), s("3.0"));
    EXPECT_EQ(dive.value(s("maximumDepthInMeters")), s("23.3"));
    EXPECT_EQ(event(s("TK26-02-001")).value(s("maximumDepthInMeters")), s("3.0"));
    const QStringList ends = dive.value(s("eventDate")).split(QLatin1Char('/'));
    ASSERT_EQ(ends.size(), 2) << "an interval, not one instant";
    EXPECT_EQ(ends.at(0), s("2026-03-12T10:00:00.000Z"));
    EXPECT_GE(ends.at(1), s("2026-03-12T10:59:20.000Z")); // the last position within a step of the track
    EXPECT_TRUE(dive.value(s("eventRemarks")).contains(s("launch and recovery not logged")));
    ASSERT_OK(reachPhase(file(), act(), 2, Phase::Launched, at("2026-03-12T10:10:00Z")));
    ASSERT_OK(reachPhase(file(), act(), 2, Phase::OnDeck, at("2026-03-12T10:30:00Z")));
    pack();
    EXPECT_EQ(event(s("TK26:dive-02")).value(s("eventDate")),
              s("2026-03-12T10:10:00.000Z/2026-03-12T10:30:00.000Z"));
    EXPECT_EQ(event(s("TK26:dive-02")).value(s("maximumDepthInMeters")), s("3.0")) << "as far as in water";
}

// The pressure sensor knows depth better than the acoustics, whose log says 1200.0 m all along: 1212.0 to
// 1212.2 dbar at 19.43 degrees south are 1201.1 to 1201.3 m by the formula of UNESCO technical papers in
// marine science 44 (Fofonoff and Millard 1983, algorithm 5, its coefficients from memory).
TEST_F(ArchiveRules, ADivesDepthsAreThoseOfItsPressureSensor)
{
    pack();
    const Row dive = event(s("TK26:dive-01"));
    EXPECT_NEAR(dive.value(s("minimumDepthInMeters")).toDouble(), 1201.1, 0.3);
    EXPECT_NEAR(dive.value(s("maximumDepthInMeters")).toDouble(), 1201.3, 0.3);
    EXPECT_LT(dive.value(s("minimumDepthInMeters")).toDouble(),
              dive.value(s("maximumDepthInMeters")).toDouble());
}

// coordinateUncertaintyInMeters: "Leave the value empty if the uncertainty is unknown, cannot be estimated,
// or is not applicable"; our own check takes none beyond 10,000 km.
TEST_F(ArchiveRules, PlacesAllOverTheEarthHaveNoMiddle)
{
    secondDive(19.4, 15, 3, 23.3, 330); // nearly on the other side of the earth, and much shorter
    pack();
    const Row cruise = event(s("TK26"));
    EXPECT_EQ(cruise.value(s("decimalLatitude")), QString());
    EXPECT_EQ(cruise.value(s("coordinateUncertaintyInMeters")), QString());
    EXPECT_TRUE(cruise.value(s("locationRemarks")).contains(s("no one place")));
    EXPECT_NE(event(s("TK26:dive-02")).value(s("decimalLatitude")), QString());
}

// associatedMedia: "a list of identifiers (publication, global unique identifier, URI) of media associated":
// what the reader of the package can find, and nothing that is not in it.
TEST_F(ArchiveRules, MediaAreTheFilesThatAreThere)
{
    for (const char *name : {"one.jpg", "two.jpg", "three.jpg"})
        write(path(s(name)), QByteArray("picture ") + name);
    ASSERT_OK(linkPhotograph(file(), act(), s("TK26-01-001"), path(s("one.jpg")), {}));
    ASSERT_OK(linkPhotograph(file(), act(), s("TK26-01-001"), path(s("two.jpg")), {}));
    ASSERT_OK(linkPhotograph(file(), act(), s("TK26-01-002"), path(s("three.jpg")), {}));
    QFile::remove(path(s("two.jpg")));
    write(path(s("three.jpg")), "retouched since");
    const auto grid = cruiseCompleteness(m_path, {}, {});
    ASSERT_OK(grid);
    EXPECT_TRUE(grid->text().contains(s("two.jpg (not found where it was linked)")))
        << grid->text().toStdString();
    const auto package = makePackage(order(), {});
    ASSERT_OK(package);
    m_package = package->path;
    EXPECT_EQ(package->photographs, 3);
    EXPECT_EQ(package->photographsLeftOut, 2);
    EXPECT_EQ(occurrence(s("TK26-01-001")).value(s("associatedMedia")),
              s("data/photographs/TK26-01-001.jpg"));
    EXPECT_TRUE(QFileInfo::exists(m_package + s("/data/photographs/TK26-01-001.jpg")));
    const QString open = QString::fromUtf8(bytesOf(m_package + s("/data/open-points.txt")));
    EXPECT_TRUE(open.contains(s("two.jpg (not found where it was linked)"))) << open.toStdString();
    EXPECT_TRUE(open.contains(s("three.jpg (was changed since it was linked")));
}

// What a photograph is, its SHA-256 says; the package gives it a name of its own.
TEST_F(ArchiveRules, PhotographsOfAPackageAreFoundAgainByTheirSums)
{
    write(path(s("one.jpg")), "first picture");
    ASSERT_OK(linkPhotograph(file(), act(), s("TK26-01-001"), path(s("one.jpg")), {}));
    pack();
    const QString back = path(s("back.hfc"));
    const auto received = receivePackage(m_package, back, s("archive"), {});
    ASSERT_OK(received);
    EXPECT_EQ(received->photographs, 1);
    QFile::remove(path(s("one.jpg")));
    QDir().mkpath(path(s("out2")));
    PackageOrder o = order();
    o.cruisePath = back;
    o.parent = path(s("out2"));
    o.pictures = m_package + s("/data/photographs");
    const auto again = makePackage(o, {});
    ASSERT_OK(again);
    EXPECT_EQ(again->photographsLeftOut, 0);
    EXPECT_EQ(bytesOf(again->path + s("/data/photographs/TK26-01-001.jpg")), "first picture");
}

// PROV-DM 5.1.8, Invalidation: "the start of the destruction, cessation, or expiry of an existing entity by
// an activity"; 5.2.2, Revision: a derivation of type prov:Revision.
TEST_F(ArchiveRules, ProvenanceSaysWhatIsNoMoreAndWhatWasCorrected)
{
    ASSERT_OK(
        amendSample(file(), act(), s("TK26-01-002"), {{s("kind"), s("pumice")}}, s("seen again"), m_kinds));
    takeIn(s("corrected.csv"), s("position-csv"), positionLog(true), s("position.csv"));
    consume();
    pack();
    const QJsonObject prov = json("/data/provenance/provenance.json");
    const QJsonObject ended = prov.value(s("wasInvalidatedBy")).toObject();
    ASSERT_EQ(ended.size(), 1);
    EXPECT_EQ(ended.begin().value().toObject().value(s("prov:entity")).toString(), s("hf:TK26-01-001"));
    int logs = 0;
    int records = 0;
    for (const QJsonValue v : prov.value(s("wasDerivedFrom")).toObject()) {
        if (v.toObject().value(s("prov:type")).toObject().value(s("$")) != QJsonValue(s("prov:Revision")))
            continue;
        const QString of = v.toObject().value(s("prov:usedEntity")).toString();
        logs += of.startsWith(s("hf:log:")) ? 1 : 0;
        records += of == s("hf:TK26-01-002:kind:record-1") ? 1 : 0;
    }
    EXPECT_EQ(logs, 1);
    EXPECT_EQ(records, 1);
    QByteArray said;
    EXPECT_EQ(runProgram(s("/usr/bin/python3"),
                         {script("read_prov.py"), s("data/provenance/provenance.json")}, m_package, &said),
              0)
        << said.data();
    // One thing, one state, wherever it is told (disposition: "used up" is among Darwin Core's examples).
    EXPECT_EQ(prov.value(s("entity")).toObject().value(s("hf:TK26-01-001")).toObject().value(s("hf:state")),
              QJsonValue(s("consumed")));
    EXPECT_EQ(occurrence(s("TK26-01-001")).value(s("disposition")), s("used up"));
    const CsvTable samples = table(m_package + s("/data/tables/samples.csv"));
    EXPECT_EQ(samples.rows.at(0).at(samples.column(s("state"))), s("consumed"));
    for (const QJsonValue v : json("/data/geojson/samples.geojson").value(s("features")).toArray()) {
        if (v.toObject().value(s("id")) == QJsonValue(s("TK26-01-001"))) {
            EXPECT_EQ(v.toObject().value(s("properties")).toObject().value(s("state")),
                      QJsonValue(s("consumed")));
        }
    }
}

TEST_F(ArchiveRules, WhatChangedIsNamedByWhatItIsAbout)
{
    handOverToAna(s("TK26-01-001"), s("Mara"));
    made(order());
    QString answer;
    ASSERT_OK(forEachEntry(file().db(), [&](const Entry &e) -> Done {
        if (e.verb == s("hand-over answered"))
            answer = e.uuid;
        return {};
    }));
    ASSERT_OK(amendEntry(file(), act(), answer, s("condition"), s("thawed"), s("read again")));
    ASSERT_OK(takeStamp(file(), act(), 1, m_now, {}));
    m_package = made(order());
    const CsvTable entries = table(m_package + s("/data/changes/entries.csv"));
    ASSERT_EQ(entries.rows.size(), 2U);
    EXPECT_EQ(entries.rows[0].at(entries.column(s("about"))), s("hand-over answered TK26-01-001"));
    EXPECT_TRUE(entries.rows[1].at(entries.column(s("about"))).startsWith(s("moment 2026-03-12T09:")))
        << entries.rows[1].at(entries.column(s("about"))).toStdString();
    const QByteArray told = bytesOf(m_package + s("/data/changes/README.txt"));
    EXPECT_TRUE(
        told.contains("hand-over answered TK26-01-001: corrected: condition from \"intact\" to \"thawed\""))
        << told.data();
}

// RFC 8493 can't know that a file was left out and the manifests made to fit; the record can.
TEST_F(ArchiveRules, APackageWithoutALogOfItsLedgerIsRefused)
{
    pack();
    QFile::remove(m_package + s("/data/logs/values/dive-01/ctd.csv.blocks"));
    expectRefused("data/logs/values/dive-01/ctd.csv.blocks is missing");
}

TEST_F(ArchiveRules, APackageWhoseTableHidesALogIsRefused)
{
    pack();
    QFile::remove(m_package + s("/data/logs/values/dive-01/ctd.csv.blocks"));
    QByteArray kept;
    for (const QByteArray &line : bytesOf(m_package + s("/data/tables/log_files.csv")).split('\n')) {
        if (!line.contains("ctd.csv") && !line.isEmpty())
            kept += line + '\n';
    }
    write(m_package + s("/data/tables/log_files.csv"), kept);
    expectRefused("does not tell of the log ctd.csv of dive 1");
}

TEST_F(ArchiveRules, WithoutItsTableOfLogsAPackageIsRefused)
{
    pack();
    QFile::remove(m_package + s("/data/tables/log_files.csv"));
    expectRefused("holds no file data/tables/log_files.csv");
}

TEST_F(ArchiveRules, TheRefusalNamesWhatIsMissing)
{
    pack();
    QFile::remove(m_package + s("/data/ledger/heads.txt"));
    expectRefused("it holds no data/ledger/heads.txt");
}

TEST_F(ArchiveRules, AnEntryThatStandsTwiceIsNamed)
{
    pack();
    const QString ledger = m_package + s("/data/ledger/ledger.txt");
    const QByteArray text = bytesOf(ledger);
    const QByteArray last = text.mid(text.lastIndexOf('\n', text.size() - 2) + 1);
    write(ledger, text + last);
    expectRefused("of station van is there twice or out of order");
}

} // namespace holdfast::test
