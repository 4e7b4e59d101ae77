// SPDX-License-Identifier: GPL-3.0-or-later
// The rules for Darwin Core Archives: text guide (TDWG, 2023-09-13, section beside each test), term list,
// OBIS manual.
#include "a_bag.h"
#include "handoff/check_package.h"
#include "handoff/dwc_terms.h"
#include "handoff/dwca_check.h"
#include "handoff/reading_limits.h"

#include <QRegularExpression>
#include <QXmlStreamReader>

namespace holdfast::test
{

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

} // namespace

/// A small archive by hand; each test spoils one thing.
class Archive : public WithBag
{
protected:
    QByteArray meta = R"(<?xml version="1.0" encoding="UTF-8"?>
<archive xmlns="http://rs.tdwg.org/dwc/text/" metadata="eml.xml">
  <core rowType="http://rs.tdwg.org/dwc/terms/Event" fieldsTerminatedBy="\t" linesTerminatedBy="\n" fieldsEnclosedBy="" ignoreHeaderLines="1" encoding="UTF-8">
    <files><location>event.txt</location></files>
    <id index="0"/>
    <field index="0" term="http://rs.tdwg.org/dwc/terms/eventID"/>
    <field index="1" term="http://rs.tdwg.org/dwc/terms/parentEventID"/>
    <field index="2" term="http://rs.tdwg.org/dwc/terms/eventDate"/>
    <field index="3" term="http://rs.tdwg.org/dwc/terms/decimalLatitude"/>
    <field index="4" term="http://rs.tdwg.org/dwc/terms/decimalLongitude"/>
    <field index="5" term="http://rs.tdwg.org/dwc/terms/coordinateUncertaintyInMeters"/>
    <field index="6" term="http://rs.tdwg.org/dwc/terms/minimumDepthInMeters"/>
    <field index="7" term="http://rs.tdwg.org/dwc/terms/maximumDepthInMeters"/>
    <field default="EPSG:4326" term="http://rs.tdwg.org/dwc/terms/geodeticDatum"/>
  </core>
  <extension rowType="http://rs.tdwg.org/dwc/terms/Occurrence" fieldsTerminatedBy="\t" linesTerminatedBy="\n" fieldsEnclosedBy="" ignoreHeaderLines="1">
    <files><location>occurrence.txt</location></files>
    <coreid index="0"/>
    <field index="1" term="http://rs.tdwg.org/dwc/terms/occurrenceID"/>
    <field index="2" term="http://rs.tdwg.org/dwc/terms/occurrenceStatus"/>
    <field index="3" term="http://rs.tdwg.org/dwc/terms/basisOfRecord"/>
    <field index="4" term="http://rs.tdwg.org/dwc/terms/scientificName"/>
    <field index="5" term="http://rs.tdwg.org/dwc/terms/scientificNameID"/>
    <field index="6" term="http://rs.tdwg.org/dwc/terms/associatedOccurrences"/>
  </extension>
  <extension rowType="http://rs.iobis.org/obis/terms/ExtendedMeasurementOrFact" fieldsTerminatedBy="\t" linesTerminatedBy="\n" fieldsEnclosedBy="" ignoreHeaderLines="1">
    <files><location>emof.txt</location></files>
    <coreid index="0"/>
    <field index="1" term="http://rs.tdwg.org/dwc/terms/occurrenceID"/>
    <field index="2" term="http://rs.tdwg.org/dwc/terms/measurementType"/>
    <field index="3" term="http://rs.iobis.org/obis/terms/measurementTypeID"/>
    <field index="4" term="http://rs.tdwg.org/dwc/terms/measurementValue"/>
    <field index="5" term="http://rs.tdwg.org/dwc/terms/measurementUnit"/>
    <field index="6" term="http://rs.iobis.org/obis/terms/measurementUnitID"/>
  </extension>
</archive>
)";
    QByteArray events = "eventID\tparentEventID\teventDate\tdecimalLatitude\tdecimalLongitude\t"
                        "coordinateUncertaintyInMeters\tminimumDepthInMeters\tmaximumDepthInMeters\n"
                        "C\t\t2026-03-12/2026-03-14\t-19.4\t-179.9\t900\t\t\n"
                        "C1\tC\t2026-03-12T08:20:00Z\t-19.43\t179.99\t2.1\t1200\t1200\n";
    QByteArray occurrences =
        "eventID\toccurrenceID\toccurrenceStatus\tbasisOfRecord\tscientificName\tscientificNameID\t"
        "associatedOccurrences\n"
        "C1\tO1\tpresent\tMaterialSample\tBiota\turn:lsid:marinespecies.org:taxname:1\t\n"
        "C1\tO2\tpresent\tMaterialSample\tBiota\turn:lsid:marinespecies.org:taxname:1\t"
        "\"found on\":\"O1\"\n";
    QByteArray measurements =
        "eventID\toccurrenceID\tmeasurementType\tmeasurementTypeID\tmeasurementValue\tmeasurementUnit\tmeasur"
        "ementUnitID\n"
        "C1\t\ttemperature\thttp://vocab.nerc.ac.uk/collection/P01/current/TEMPPR01/\t3.41\tdegC\t"
        "http://vocab.nerc.ac.uk/collection/P06/current/UPAA/\n";
    QByteArray eml = "<eml><dataset><title>t</title><creator>c</creator><abstract>a</abstract>"
                     "<intellectualRights>CC0</intellectualRights><contact>c</contact></dataset><citation>x</"
                     "citation></eml>";

    QString check() { return findingsOf().text(); }
    PackageFindings findingsOf()
    {
        put(s("meta.xml"), meta);
        put(s("event.txt"), events);
        put(s("occurrence.txt"), occurrences);
        put(s("emof.txt"), measurements);
        put(s("eml.xml"), eml);
        const auto source = BagSource::open(bag());
        EXPECT_TRUE(source.has_value());
        PackageFindings findings;
        EXPECT_TRUE(checkDarwinCore(**source, QString(), *parseIsoUtc("2026-04-01T00:00:00Z"), {}, findings));
        return findings;
    }
    void expect(const char *says)
    {
        const QString found = check();
        EXPECT_TRUE(found.contains(s(says))) << "wanted: " << says << "\nfound: " << found.toStdString();
    }
};

TEST_F(Archive, SoundOnesHaveNoFinding)
{
    EXPECT_EQ(check().toStdString(), "");
}

TEST_F(Archive, OneCoreWithAnIdAndTheOrderOfElements) // 2.1, 2.1.2 and the schema
{
    meta.replace("<id index=\"0\"/>", "");
    expect("gives event.txt no id");
    meta.replace("<coreid index=\"0\"/>", "");
    expect("gives occurrence.txt no coreid");
}

TEST_F(Archive, EmptyEndsTellNothingApart) // 2.2, where they are one or more characters
{
    const QByteArray sound = meta;
    for (const char *end : {"fieldsTerminatedBy=\"\\t\"", "linesTerminatedBy=\"\\n\""}) {
        for (const char *quote : {"fieldsEnclosedBy=\"\"", "fieldsEnclosedBy=\"&quot;\""}) {
            meta = sound;
            ASSERT_TRUE(meta.contains(end));
            meta.replace(end, QByteArray(end).left(QByteArray(end).indexOf('=')) + "=\"\"");
            meta.replace("fieldsEnclosedBy=\"\"", quote);
            expect("gives an empty");
        }
    }
}

TEST_F(Archive, ATableOfNothingButLineFeedsIsReadToALimit)
{
    meta.replace("obis/terms/ExtendedMeasurementOrFact", "obis/terms/Other"); // no rules for its rows
    measurements += QByteArray(static_cast<qsizetype>(mostTableRows) + 1000, '\n');
    const PackageFindings findings = findingsOf();
    EXPECT_LE(findings.kept().size(), 1000U);
    // Each line that was read has one field instead of seven, and names no event; the first two are sound.
    EXPECT_EQ(findings.errors(), 2 * (mostTableRows - 2) + 1) << findings.text().toStdString();
}

TEST_F(Archive, AllTablesOfOneArchiveTogetherAreReadToALimit)
{
    // One table of 4 million fields, which meta.xml describes as three extensions.
    for (int i = 0; i < 4; ++i)
        measurements += QByteArray(1'000'000, '\t') + '\n';
    const qsizetype from = meta.lastIndexOf("  <extension");
    const QByteArray extension = meta.mid(from, meta.indexOf("</archive>") - from);
    meta.insert(from, extension + extension);
    const QString found = check();
    EXPECT_TRUE(found.contains(s("holds more than is read of one archive"))) << found.toStdString();
}

TEST_F(Archive, AChainOfAllEventsIsClimbedOnce)
{
    // Climbed from each of its events anew it would take 10 000 000 000 steps.
    events.clear();
    events += "eventID\tparentEventID\teventDate\tdecimalLatitude\tdecimalLongitude\t"
              "coordinateUncertaintyInMeters\tminimumDepthInMeters\tmaximumDepthInMeters\n";
    for (int i = 0; i < 100'000; ++i)
        events += "C" + QByteArray::number(i) + "\tC" + QByteArray::number(std::max(0, i - 1)) +
                  "\t2026-03-12\t-19.4\t-179.9\t900\t\t\n";
    const PackageFindings findings = findingsOf();
    EXPECT_EQ(findings.text().count(s("is its own ancestor")), 1) << findings.text().toStdString();
    EXPECT_TRUE(findings.text().contains(s("C0 is its own ancestor")));
}

TEST_F(Archive, FieldsComeAfterTheFiles) // the schema's sequence
{
    meta.replace("<files><location>event.txt</location></files>\n    <id index=\"0\"/>",
                 "<id index=\"0\"/>\n    <files><location>event.txt</location></files>");
    expect("has files out of order");
}

TEST_F(Archive, TermsAreFullUris) // 2.3
{
    meta.replace("http://rs.tdwg.org/dwc/terms/eventDate", "eventDate");
    expect("the term \"eventDate\" in event.txt, which is no full URI");
}

TEST_F(Archive, EveryColumnThatIsNamedIsThere) // 2.3
{
    meta.replace("index=\"7\"", "index=\"17\"");
    expect("has no column 17");
    expect("has a column 7 that meta.xml does not map");
}

TEST_F(Archive, AHeaderThatIsNotSkippedBecomesARecord) // 2.2, ignoreHeaderLines defaults to 0
{
    meta.replace("ignoreHeaderLines=\"1\" encoding", "encoding");
    expect("eventDate \"eventDate\", which is no ISO 8601");
}

TEST_F(Archive, RowsAreOfOneWidth)
{
    events += "C2\tC\n";
    expect("line 4 has 2 fields, not 8");
}

// GBIF metadata profile 1.3 (eml-gbif-profile.xsd, elements keywordSet and gbif); EML 2.2.0 allows both.
TEST_F(Archive, MetadataThatGbifWouldNotTakeIsSaid)
{
    const QByteArray sound = eml;
    const auto with = [&](const char *keywords, const char *more) {
        eml = QByteArray(sound)
                  .replace("</abstract>", QByteArray("</abstract>") + keywords)
                  .replace("<citation>", QByteArray("<gbif>") + more + "<citation>")
                  .replace("</citation>", "</citation></gbif>");
    };
    with("<keywordSet><keyword>k</keyword><keywordThesaurus>none</keywordThesaurus></keywordSet>",
         "<dateStamp>2026-03-12T00:00:00Z</dateStamp>");
    EXPECT_EQ(check().toStdString(), "");
    with("<keywordSet><keyword>k</keyword></keywordSet>", "<dateStamp>2026-03-12T00:00:00Z</dateStamp>");
    expect("has a keywordSet without keywordThesaurus");
    with("", "");
    expect("has a gbif without dateStamp");
}

// 2: the archive is what meta.xml describes; a damaged one beside its tables is a damaged archive, not none.
TEST_F(Archive, ADamagedDescriptionIsAnError)
{
    const auto report = [this](const QByteArray &text) {
        check();
        makeValid();
        put(s("meta.xml"), text);
        return *checkPackage(bag(), *parseIsoUtc("2026-04-01T00:00:00Z"), {});
    };
    EXPECT_EQ(report(meta).errors(), 0) << report(meta).text().toStdString();
    for (const QByteArray &text : {QByteArray("<archive"), QByteArray(), meta.left(700)}) {
        const PackageReport found = report(text);
        EXPECT_EQ(found.darwinCore.size(), 1);
        EXPECT_TRUE(found.text().contains(s("meta.xml: is no sound XML"))) << found.text().toStdString();
    }
}

TEST_F(Archive, NoByteOrderMark) // from memory: importers misread the first header
{
    events.prepend("\xEF\xBB\xBF");
    expect("begins with a byte order mark");
}

TEST_F(Archive, IdsAreUniqueAndResolve) // 2.1.2; OBIS manual, identifiers
{
    events += "C1\tC\t2026-03-12T08:20:00Z\t-19.43\t179.99\t2\t1\t1\n";
    expect("the eventID C1 twice");
    occurrences += "C9\tO2\tpresent\tMaterialSample\tBiota\tx\t\n";
    expect("a row for C9, which is not in the core");
    expect("the occurrenceID O2 twice");
}

TEST_F(Archive, ParentsResolveWithoutACircle) // OBIS manual, Event
{
    events.replace("C1\tC\t", "C1\tD\t");
    expect("names the parent D, which is not there");
    events.replace("C1\tD\t", "C1\tC\t").replace("C\t\t", "C\tC1\t");
    expect("is its own ancestor");
}

TEST_F(Archive, DatesPlacesAndDepthsAreOnes) // Darwin Core terms; OBIS quality checks
{
    const QByteArray good = events;
    events = good;
    events.replace("2026-03-12T08:20:00Z", "12.3.2026");
    expect("which is no ISO 8601 date");
    events = good;
    events.replace("2026-03-12T08:20:00Z", "2027-03-12");
    expect("lies in the future");
    events = good;
    events.replace("2026-03-12T08:20:00Z", "2026-03-12T08:20:00");
    expect("would mean local time");
    events = good;
    events.replace("-19.43\t179.99", "0\t0");
    expect("lies at 0, 0");
    events = good;
    events.replace("-19.43\t179.99", "-19.43\t180.01");
    expect("which is none");
    events = good;
    events.replace("\t2.1\t", "\t0\t");
    expect("must be above 0");
    events = good;
    events.replace("\t1200\t1200", "\t1200\t1100");
    expect("has the depths 1200 to 1100");
    events = good;
    events.replace("\t1200\t1200", "\t12000\t12000");
    expect("has the depths 12000 to 12000");
}

TEST_F(Archive, OccurrencesAreWhatObisTakes) // OBIS manual, Occurrence
{
    const QByteArray good = occurrences;
    occurrences.replace("O1\tpresent", "O1\tPresent");
    expect("not present or absent");
    occurrences = good;
    occurrences.replace("O1\tpresent\tMaterialSample", "O1\tpresent\tSpecimen");
    expect("is no basis of record");
    occurrences = good;
    occurrences.replace("O1\tpresent\tMaterialSample\tBiota",
                        "O1\tpresent\tMaterialSample\tGadus cf. morhua");
    expect("belongs into identificationQualifier");
    occurrences = good;
    occurrences.replace(":\"O1\"", ":\"O7\"");
    expect("is associated with O7, which is not there");
    meta.replace("http://rs.tdwg.org/dwc/terms/basisOfRecord", "http://rs.tdwg.org/dwc/terms/lifeStage");
    expect("has no basisOfRecord, which is required");
}

TEST_F(Archive, MeasurementsAreInObisTermsAndNercCodes) // OBIS manual, eMoF
{
    const QByteArray good = measurements;
    measurements.replace("\t3.41\t", "\tcold\t");
    expect("which is no number");
    measurements = good;
    measurements.replace("/P01/current/TEMPPR01/", "/P06/current/UPAA/");
    expect("is no code of NERC collection P01");
    measurements = good;
    measurements.replace("C1\t\t", "C1\tO9\t");
    expect("measures O9, which is not there");
    measurements = good;
    meta.replace("http://rs.iobis.org/obis/terms/measurementTypeID",
                 "http://rs.tdwg.org/dwc/terms/measurementTypeID");
    expect("it is a term of OBIS");
}

TEST_F(Archive, TheMetadataSayWhoAndUnderWhichTerms) // OBIS manual, EML
{
    eml.replace("<title>t</title>", "");
    expect("has no title");
    eml = "<eml><dataset>";
    expect("is no sound XML");
}

TEST(DwcTerms, AreThoseOfTheTermList) // TDWG term list as of 2026-08
{
    const QString shared = qEnvironmentVariable("HOLDFAST_SHARED_DATA");
    if (shared.isEmpty())
        GTEST_SKIP() << "HOLDFAST_SHARED_DATA is not set";
    QFile list(shared + s("/standards/darwin-core-terms.csv"));
    ASSERT_TRUE(list.open(QIODevice::ReadOnly));
    QHash<QString, QStringList> known;
    for (const QByteArray &line : list.readAll().split('\n'))
        known.insert(QString::fromUtf8(line).section(QLatin1Char(','), 0, 0),
                     QString::fromUtf8(line).split(QLatin1Char(',')));
    const struct {
        const DwcTable &table;
        int column;
    } tables[] = {{eventTable(), 3}, {occurrenceTable(), 4}, {measurementTable(), 5}};
    for (const auto &[table, column] : tables) {
        for (qsizetype i = 1; i < table.terms.size(); ++i) {
            const QString term = table.terms.at(i);
            ASSERT_TRUE(known.contains(term)) << term.toStdString();
            EXPECT_EQ(termUri(term), known.value(term).value(1));
            EXPECT_EQ(known.value(term).value(column).trimmed(), s("y"))
                << term.toStdString() << " in " << table.file.toStdString();
        }
    }
}

TEST(DwcTerms, MayStandInTheirRowTypes) // property lists of the row types, GBIF Repository of Schemas
{
    const QString shared = qEnvironmentVariable("HOLDFAST_SHARED_DATA");
    if (shared.isEmpty())
        GTEST_SKIP() << "HOLDFAST_SHARED_DATA is not set";
    const struct {
        const DwcTable &table;
        const char *file;
    } tables[] = {{eventTable(), "dwc_event_2025-07-10.xml"},
                  {occurrenceTable(), "dwc_occurrence_2025-07-10.xml"},
                  {measurementTable(), "extended_measurement_or_fact_2023-08-28.xml"}};
    for (const auto &[table, name] : tables) {
        QFile file(shared + s("/standards/schema/") + s(name));
        ASSERT_TRUE(file.open(QIODevice::ReadOnly));
        QXmlStreamReader xml(&file);
        QStringList allowed;
        while (!xml.atEnd()) {
            if (xml.readNext() == QXmlStreamReader::StartElement && xml.name() == s("property"))
                allowed << xml.attributes().value(s("qualName")).toString();
        }
        ASSERT_GT(allowed.size(), 5);
        for (qsizetype i = 1; i < table.terms.size(); ++i)
            EXPECT_TRUE(allowed.contains(termUri(table.terms.at(i))))
                << termUri(table.terms.at(i)).toStdString() << " in " << name;
    }
}

} // namespace holdfast::test
