// SPDX-License-Identifier: GPL-3.0-or-later
// The JSON and XML of a package by the schemas that lie in it, with validators that are not this project's:
// python3-jsonschema (JSON Schema draft 2020-12) and xmllint (W3C XML Schema 1.0).
#include "a_package.h"
#include "custody/specimens.h"
#include "dive/describe.h"
#include "handoff/darwin_core.h"
#include "handoff/vocabulary.h"

#include <QJsonArray>
#include <QJsonDocument>
#include <QTextStream>

namespace holdfast::test
{

class Schemas : public WithPackage
{
protected:
    void SetUp() override
    {
        WithPackage::SetUp();
        SpecimenDetails piece;
        piece.material = s("basalt");
        piece.massG = s("12.5");
        ASSERT_OK(splitSpecimen(file(), act(), s("TK26-01-002"), piece));
        ASSERT_OK(identifyItem(
            file(), act(),
            {s("TK26-01-001"), s("Primnoidae"), s("family"), {}, s("Ana"), s("2026-03-12"), {}, {}, {}}));
        PackageOrder o = order();
        const auto about = DatasetAbout::read(qEnvironmentVariable("HOLDFAST_SOURCE_DIR") +
                                              s("/templates/handoff/about-example.json"));
        ASSERT_OK(about);
        o.about = *about;
        m_package = made(o);
    }
    /// 0 valid, 1 not.
    int validate(const char *schema, const QStringList &files, QByteArray *said)
    {
        QStringList words{script("validate_json.py"), s("data/schemas/") + s(schema)};
        return runProgram(s("/usr/bin/python3"), words + files, m_package, said);
    }
    void expectValid(const char *schema, const QStringList &files)
    {
        QByteArray said;
        EXPECT_EQ(validate(schema, files, &said), 0) << schema << '\n' << said.data();
    }
    /// A document with one change must not pass, and the reason must name `says`.
    void expectInvalid(const char *schema, const QString &file, const QByteArray &from, const QByteArray &to,
                       const char *says)
    {
        QByteArray bytes = bytesOf(m_package + QLatin1Char('/') + file);
        ASSERT_TRUE(bytes.contains(from)) << file.toStdString() << ' ' << from.data();
        bytes.replace(bytes.indexOf(from), from.size(), to);
        write(path(s("changed.json")), bytes);
        QByteArray said;
        EXPECT_EQ(validate(schema, {path(s("changed.json"))}, &said), 1) << schema << ' ' << to.data();
        EXPECT_TRUE(said.contains(says)) << to.data() << '\n' << said.data();
    }
    int xml(const QString &file, QByteArray *said)
    {
        return runProgram(
            s("xmllint"),
            {s("--nonet"), s("--noout"), s("--schema"), s("data/schemas/eml-profile.xsd"), file}, m_package,
            said);
    }
    QString m_package;
};

TEST_F(Schemas, EachJsonOfThePackageIsValidByItsOwn)
{
    expectValid("data-package.schema.json", {s("data/tables/datapackage.json")});
    expectValid("geojson.schema.json", {s("data/geojson/tracks.geojson"), s("data/geojson/samples.geojson")});
    expectValid("prov.schema.json", {s("data/provenance/provenance.json")});
    expectValid("igsn.schema.json", {s("data/igsn/igsn.json")});
}

TEST_F(Schemas, WhatTheStandardsForbidDoesNotPass)
{
    const QString tables = s("data/tables/datapackage.json");
    expectInvalid("data-package.schema.json", tables, "\"integer\"", "\"int\"", "int");
    expectInvalid("data-package.schema.json", tables, "\"path\": \"", "\"path\": \"../", "path");
    expectInvalid("data-package.schema.json", tables, "\"missingValues\"", "\"missing\"", "missing");
    const QString tracks = s("data/geojson/tracks.geojson");
    expectInvalid("geojson.schema.json", tracks, "\"type\": \"FeatureCollection\"",
                  "\"crs\": null, \"type\": \"FeatureCollection\"", "crs"); // RFC 7946, section 4
    expectInvalid("geojson.schema.json", tracks, "\"MultiLineString\"", "\"Polygon\"", "geometry");
    expectInvalid("geojson.schema.json", s("data/geojson/samples.geojson"), "            -19.",
                  "            -119.",
                  "geometry"); // latitude before longitude, or beyond the pole
    const QString prov = s("data/provenance/provenance.json");
    expectInvalid("prov.schema.json", prov, "\"prov:usedEntity\"", "\"prov:entity\"", "prov:entity");
    expectInvalid("prov.schema.json", prov, "Z\"", "\"", "Time"); // no zone
    expectInvalid("prov.schema.json", prov, "http://www.w3.org/ns/prov#", "http://example.org/", "prefix");
    const QString igsn = s("data/igsn/igsn.json");
    expectInvalid("igsn.schema.json", igsn, "POINT (", "POINT (x", "geolocation");
    expectInvalid("igsn.schema.json", igsn, "\"IsPartOf\"", "\"belongsTo\"", "belongsTo");
    // IGSN metadata kernel, description schema 1.1 (3 July 2017): sampleType.xsd, materialType.xsd,
    // methodType.xsd spell these; sampleAccess is Public or Private, no place.
    expectInvalid("igsn.schema.json", igsn, "\"http://vocabulary.odm2.org/specimentype/individualSample/\"",
                  "\"individualSample\"", "individualSample");
    expectInvalid("igsn.schema.json", igsn, "\"http://vocabulary.odm2.org/medium/rock\"", "\"rock\"", "rock");
    expectInvalid("igsn.schema.json", igsn, "\"collectionMethod\": \"Other\"",
                  "\"collectionMethod\": \"remotely operated vehicle\"", "remotely operated vehicle");
    expectInvalid("igsn.schema.json", igsn, "\"storedAt\"", "\"sampleAccess\"", "sampleAccess");
}

TEST_F(Schemas, EmlIsValidByTheProfileAndADisorderedOneIsNot)
{
    QByteArray said;
    EXPECT_EQ(xml(s("data/dwca/eml.xml"), &said), 0) << said.data();
    const QByteArray sound = bytesOf(m_package + s("/data/dwca/eml.xml"));
    const struct {
        QByteArray from, to;
    } cases[] = {{"<language>en</language>", ""},
                 {"<pubDate>2026-03-13</pubDate>", "<pubDate>13.3.2026</pubDate>"},
                 {"<westBoundingCoordinate>1", "<westBoundingCoordinate>9"},
                 {"<contact>", "<contact><surName>x</surName>"}};
    for (const auto &c : cases) {
        QByteArray bytes = sound;
        ASSERT_TRUE(bytes.contains(c.from)) << c.from.data();
        bytes.replace(bytes.indexOf(c.from), c.from.size(), c.to);
        write(path(s("changed.xml")), bytes);
        EXPECT_NE(xml(path(s("changed.xml")), &said), 0) << c.from.data();
    }
}

// RFC 7946 by python3-geojson and by sentence: 3.1.9, 4, 5 and 5.2.
TEST_F(Schemas, ALibraryReadsTheMapAndNothingLiesOutsideItsBoxOrCrossesTheAntimeridian)
{
    QByteArray said;
    const auto read = [&](const QStringList &names) {
        return runProgram(s("/usr/bin/python3"), QStringList{script("read_geojson.py")} + names, m_package,
                          &said);
    };
    EXPECT_EQ(read({s("data/geojson/tracks.geojson"), s("data/geojson/samples.geojson")}), 0) << said.data();
    const QByteArray sound = bytesOf(m_package + s("/data/geojson/tracks.geojson"));
    const qsizetype coordinates = sound.indexOf("\"coordinates\"");
    const struct {
        QByteArray from, to;
        const char *says;
    } cases[] = {{"179.999", "-179.999", "crosses the antimeridian"}, {"-19.", "-18.", "is not in ["}};
    for (const auto &c : cases) {
        QByteArray bytes = sound;
        const qsizetype place = bytes.indexOf(c.from, coordinates);
        ASSERT_GT(place, 0);
        write(path(s("changed.json")), bytes.replace(place, c.from.size(), c.to));
        EXPECT_EQ(read({path(s("changed.json"))}), 1);
        EXPECT_TRUE(said.contains(c.says)) << said.data();
    }
}

// The text guide (TDWG, 2023-09-13), the Darwin Core quick reference and the OBIS manual, by python alone.
TEST_F(Schemas, AStrangerReadsTheArchiveAndSeesWhatDoesNotHangTogether)
{
    QByteArray said;
    const QString folder = m_package + s("/data/dwca");
    const auto read = [&] {
        return runProgram(s("/usr/bin/python3"), {script("recheck_archive.py"), folder}, folder, &said);
    };
    EXPECT_EQ(read(), 0) << said.data();
    EXPECT_TRUE(said.contains("facts: sound") && !said.contains(" 0 facts")) << said.data();
    const struct {
        const char *file, *from, *to, *says;
    } cases[] = {
        {"event.txt", "\tTK26:dive-01\tSample", "\tTK26:dive-07\tSample", "no parent 'TK26:dive-07'"},
        {"event.txt",
         "\tSample\t2026-03-12T08:20:", "\tSample\t2026-02-12T08:20:", "not within TK26:dive-01"},
        {"event.txt", "\tEPSG:4326\t", "\t\t", "half a place"},
        {"occurrence.txt", "\tpresent\t", "\tPresent\t", "'Present'"},
        {"occurrence.txt", "TK26-01-001\t", "TK26-01-009\t", "no event TK26-01-009"},
        {"extendedmeasurementorfact.txt", "/P06/current/ULAA/", "/P06/current/ULAA", "ULAA'"}};
    for (const auto &c : cases) {
        const QString name = folder + QLatin1Char('/') + s(c.file);
        const QByteArray sound = bytesOf(name);
        QByteArray bytes = sound;
        const qsizetype place = bytes.indexOf(c.from);
        ASSERT_GE(place, 0) << c.from;
        write(name, bytes.replace(place, static_cast<qsizetype>(qstrlen(c.from)), c.to));
        EXPECT_EQ(read(), 1) << c.to;
        EXPECT_TRUE(said.contains(c.says)) << c.says << '\n' << said.data();
        write(name, sound);
    }
}

// PROV-JSON, submission to W3C of 24 April 2013, by python3-prov; PROV-CONSTRAINTS, W3C 30 April 2013:
// constraint 37 and the ones it rests on. A part split off after a hand-over was held before as part of its
// parent.
TEST_F(Schemas, ALibraryReadsTheProvenanceWholeAndSeesWhatCannotBe)
{
    handOverToAna(s("TK26-01-002"), s("Ito"));
    SpecimenDetails piece;
    piece.material = s("basalt");
    ASSERT_OK(splitSpecimen(file(), act(), s("TK26-01-002"), piece));
    m_package = made(order());
    QByteArray said;
    const auto read = [&](const QString &name) {
        return runProgram(s("/usr/bin/python3"), {script("read_prov.py"), name}, m_package, &said);
    };
    EXPECT_EQ(read(s("data/provenance/provenance.json")), 0) << said.data();
    const QByteArray sound = bytesOf(m_package + s("/data/provenance/provenance.json"));
    EXPECT_TRUE(sound.contains("TK26-01-002: custody of Ito"));
    EXPECT_FALSE(sound.contains("TK26-01-002.2: custody of Ito"));
    EXPECT_TRUE(sound.contains("TK26-01-002.2: custody of Ana"));
    const struct {
        QByteArray from, to;
        const char *says;
    } cases[] = {{"\"prov:usedEntity\": \"hf:TK26-01-002\"", "\"prov:usedEntity\": \"hf:TK26-01-999\"",
                  "TK26-01-999 is not recorded"},
                 {"\"prov:endTime\": \"2026-03-12T08:30:", "\"prov:endTime\": \"2026-03-12T07:30:",
                  "ends before it begins"}};
    for (const auto &c : cases) {
        QByteArray bytes = sound;
        ASSERT_TRUE(bytes.contains(c.from)) << c.from.data();
        write(path(s("changed.json")), bytes.replace(c.from, c.to));
        EXPECT_EQ(read(path(s("changed.json"))), 1) << c.says;
        EXPECT_TRUE(said.contains(c.says)) << said.data();
    }
}

// EML 2.2.0 (ecoinformatics.org, 2019) allows each of these; the GBIF metadata profile 1.3 (eml.xsd and
// eml-gbif-profile.xsd, elements eml, keywordSet, gbif, para, individualName) does not.
TEST_F(Schemas, EmlKeepsWhatTheGbifProfileAsksBeyondEml)
{
    QByteArray said;
    const QByteArray sound = bytesOf(m_package + s("/data/dwca/eml.xml"));
    const struct {
        QByteArray from, to, says;
    } cases[] = {
        {"<keywordThesaurus>none (free words)</keywordThesaurus>", "", "keywordSet"},
        {"<dateStamp>2026-03-13T12:00:00.000Z</dateStamp>", "", "dateStamp"},
        {"<dateStamp>2026-03-13T12:00:00.000Z</dateStamp>", "<dateStamp>2026-03-13</dateStamp>", "dateStamp"},
        {"scope=\"system\"", "scope=\"document\"", "scope"},
        {"<givenName>Mara</givenName>", "<givenName>Mara</givenName><givenName>M.</givenName>", "givenName"},
        {"<additionalInfo>", "<additionalInfo><para>two</para>", "para"},
        {"</ulink>", "</ulink><ulink url=\"x\"><citetitle>y</citetitle></ulink>", "ulink"},
        {"<organizationName>Institute of Invented Seas</organizationName>",
         "<organizationName> </organizationName>", "organizationName"}};
    for (const auto &c : cases) {
        QByteArray bytes = sound;
        ASSERT_TRUE(bytes.contains(c.from)) << c.from.data();
        bytes.replace(bytes.indexOf(c.from), c.from.size(), c.to);
        write(path(s("changed.xml")), bytes);
        EXPECT_NE(xml(path(s("changed.xml")), &said), 0) << c.from.data();
        EXPECT_TRUE(said.contains(c.says)) << said.data();
    }
}

TEST_F(Schemas, EmlOfWhoSaysAlmostNothingIsValidTooAndKeepsTheEmbargo)
{
    ASSERT_OK(titleCruise(file(), act(), s("Seamount <A> & \u6df1\u6d77 \"2026\"")));
    PackageOrder o = order();
    o.about.creators = {{{}, {}, s("x@example.org")}, {s("Ana"), {}, {}}};
    o.about.project = s("P\x01");
    o.about.abstract = s("one\n\ntwo\x07");
    o.about.embargoUntil = s("2027-01-01");
    m_package = made(o);
    QByteArray said;
    EXPECT_EQ(xml(s("data/dwca/eml.xml"), &said), 0) << said.data();
    const QByteArray eml = bytesOf(m_package + s("/data/dwca/eml.xml"));
    EXPECT_TRUE(eml.contains("<title>Seamount &lt;A&gt; &amp; \u6df1\u6d77 &quot;2026&quot;</title>"))
        << eml.data();
    EXPECT_TRUE(eml.contains("<para>No licence is stated. Embargo until 2027-01-01.</para>")) << eml.data();
    EXPECT_FALSE(eml.contains("<organizationName></organizationName>")) << eml.data();
    o.about.licence = s("javascript:alert(1)");
    m_package = made(o);
    EXPECT_EQ(xml(s("data/dwca/eml.xml"), &said), 0) << said.data();
    const QByteArray unlinked = bytesOf(m_package + s("/data/dwca/eml.xml"));
    EXPECT_TRUE(unlinked.contains("licensed under javascript:alert(1).")) << unlinked.data();
    EXPECT_FALSE(unlinked.contains("<ulink")) << "only an address of the web is a link";
}

TEST_F(Schemas, EachLiesInThePackageAndIsNamedThere)
{
    const QByteArray readme = bytesOf(m_package + s("/data/schemas/README.txt"));
    const QStringList files = QDir(m_package + s("/data/schemas")).entryList(QDir::Files);
    EXPECT_EQ(files.size(), 6);
    for (const QString &name : files)
        EXPECT_TRUE(name == s("README.txt") || readme.contains(name.toUtf8())) << name.toStdString();
    const QStringList templates =
        QDir(qEnvironmentVariable("HOLDFAST_SOURCE_DIR") + s("/templates/handoff/schemas"))
            .entryList(QDir::Files);
    EXPECT_EQ(templates.size(), 5) << "a schema that is not packed";
}

TEST_F(Schemas, EveryCodeOfTheArchiveStandsInTheTableOfCodesWithItsState)
{
    const CsvTable codes = table(m_package + s("/data/tables/vocabulary_codes.csv"));
    QSet<QString> known;
    for (const QStringList &row : codes.rows) {
        known << row.at(codes.column(s("quantity_uri"))) << row.at(codes.column(s("unit_uri")));
        EXPECT_FALSE(row.at(codes.column(s("source"))).isEmpty());
        EXPECT_TRUE(row.at(codes.column(s("quantity_uri")))
                        .startsWith(s("http://vocab.nerc.ac.uk/collection/P01/current/")));
    }
    const QStringList lines =
        QString::fromUtf8(bytesOf(m_package + s("/data/dwca/extendedmeasurementorfact.txt")))
            .split(QLatin1Char('\n'), Qt::SkipEmptyParts);
    ASSERT_GT(lines.size(), 8);
    const QStringList head = lines.front().split(QLatin1Char('\t'));
    for (qsizetype i = 1; i < lines.size(); ++i) {
        const QStringList cells = lines.at(i).split(QLatin1Char('\t'));
        EXPECT_TRUE(known.contains(cells.value(head.indexOf(s("measurementTypeID")))))
            << lines.at(i).toStdString();
        EXPECT_TRUE(known.contains(cells.value(head.indexOf(s("measurementUnitID")))))
            << lines.at(i).toStdString();
    }
}

TEST_F(Schemas, ATableOfCodesWithAFaultIsRefusedByTheQuantity)
{
    const auto sound = readTemplate(s("handoff"), s("vocabulary"));
    ASSERT_OK(sound);
    const auto with = [&](const char *key, const QJsonValue &value) {
        QJsonObject json = *sound;
        QJsonArray list = json.value(s("quantities")).toArray();
        QJsonObject first = list.at(0).toObject();
        first.insert(s(key), value);
        list.replace(0, first);
        json.insert(s("quantities"), list);
        return parseVocabulary(json, s("codes.json"));
    };
    EXPECT_TRUE(with("unit", s("m")));
    for (const auto &[key, value] :
         {std::pair("p01", QJsonValue(s("ADEP"))), std::pair("p06", QJsonValue(s("m"))),
          std::pair("status", QJsonValue(s("sure"))), std::pair("source", QJsonValue(QString())),
          std::pair("quantity", QJsonValue(s("temperature"))), std::pair("quantity", QJsonValue(s("colour"))),
          std::pair("factor", QJsonValue(-1))}) {
        const auto read = with(key, value);
        ASSERT_FALSE(read) << key;
        EXPECT_TRUE(read.error().sentence.contains(s("codes.json"))) << read.error().sentence.toStdString();
    }
}

} // namespace holdfast::test
