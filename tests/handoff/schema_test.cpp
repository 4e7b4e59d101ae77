// SPDX-License-Identifier: GPL-3.0-or-later
// The JSON and XML of a package by the schemas that lie in it, with validators that are not this project's:
// python3-jsonschema (JSON Schema draft 2020-12) and xmllint (W3C XML Schema 1.0).
#include "a_package.h"
#include "custody/specimens.h"
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
