// SPDX-License-Identifier: GPL-3.0-or-later
// The pure parts of a hand-off: cells, names, paths, dates, names of taxa, lines about the antimeridian.
#include "handoff/dwc_names.h"
#include "handoff/dwc_rules.h"
#include "handoff/geo.h"
#include "handoff/package_paths.h"
#include "handoff/safe_cell.h"

#include <gtest/gtest.h>

namespace holdfast
{

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

} // namespace

TEST(SafeCell, WhatBeginsAFormulaGetsAnApostropheAndComesBack) // common practice against formula injection
{
    for (const char *text :
         {"=1+1", "+49 1234", "-cmd", "@SUM(A1)", "\tx", "\rx", "'quoted", "''", "=", "-", "\uFF1Dx"}) {
        EXPECT_EQ(safeCell(s(text)), s("'") + s(text)) << text;
        EXPECT_EQ(fromSafeCell(safeCell(s(text))), s(text)) << text;
    }
    for (const char *text : {"", "plain", "a=b", "-12.5", "-0.001", "1e-7", "-1E+5", "0"}) {
        EXPECT_EQ(safeCell(s(text)), s(text)) << text;
        EXPECT_EQ(fromSafeCell(safeCell(s(text))), s(text)) << text;
    }
    EXPECT_EQ(safeCell(s("-12.5 m")), s("'-12.5 m")) << "no number, so it could be a formula";
    EXPECT_EQ(safeCell(s("-1\n=2")), s("'-1\n=2")) << "a number is a number to its last character";
}

TEST(SafeCell, FieldsAreQuotedByRfc4180) // RFC 4180 section 2, rules 5 to 7
{
    EXPECT_EQ(safeCsvField(s("a,b")), "\"a,b\"");
    EXPECT_EQ(safeCsvField(s("say \"x\"")), "\"say \"\"x\"\"\"");
    EXPECT_EQ(safeCsvField(s("two\nlines")), "\"two\nlines\"");
    EXPECT_EQ(safeCsvField(s("=A1,2")), "\"'=A1,2\"");
}

TEST(SafeCell, OneLineHasNoTabAndNoLineEnd)
{
    EXPECT_EQ(safeOneLine(s("a\tb\r\nc\u2028d")), s("a b c d"));
    EXPECT_EQ(safeOneLine(s(" \n=x")), s("'=x"));
}

TEST(SafeCell, OneLineHasNothingThatXmlCannotHold) // XML 1.0 (fifth edition), 2.2 Characters: production [2]
{
    EXPECT_EQ(safeOneLine(s("bell\x07 vt\x0b, esc\x1b[0m, del\x7f, nel\u0085, non\ufffe, \u00e9\U0001F991")),
              s("bell  vt , esc [0m, del , nel , non , \u00e9\U0001F991"));
    EXPECT_EQ(safeOneLine(QString(QChar(u'\0')) + s("=x")), s("'=x"));
}

TEST(PortableName, TakesWhatNoSystemKeepsOut) // RFC 8493 6.1; device names: common practice
{
    EXPECT_EQ(portableName(s("a:b*c.csv")), s("a_b_c.csv"));
    EXPECT_EQ(portableName(s("../../etc/passwd")), s("_.._.._etc_passwd"));
    EXPECT_EQ(portableName(s("CON.txt")), s("_CON.txt"));
    EXPECT_EQ(portableName(s("100%.log")), s("100_.log"));
    EXPECT_EQ(portableName(s("end. ")), s("end"));
    EXPECT_EQ(portableName(s("e\u0301.csv")), s("\u00e9.csv"));
    EXPECT_EQ(portableName(QString()), s("file"));
    EXPECT_LE(portableName(QString(300, QLatin1Char('x')) + s(".csv")).size(), 120);
    EXPECT_TRUE(portableName(QString(300, QLatin1Char('x')) + s(".csv")).endsWith(s(".csv")));
}

TEST(PortableName, NoTwoDifferInCaseOrFormOnly)
{
    UniqueNames names;
    EXPECT_EQ(names.take(s("ctd.csv")), s("ctd.csv"));
    EXPECT_EQ(names.take(s("CTD.csv")), s("CTD-2.csv"));
    EXPECT_EQ(names.take(s("ctd.csv")), s("ctd-3.csv"));
}

TEST(BagPath, EncodesThreeBytesAndReadsThemBack) // RFC 8493 2.1.3
{
    EXPECT_EQ(encodedPath(s("a\nb\rc%d e#")), s("a%0Ab%0Dc%25d e#"));
    for (const char *path : {"100%0A.txt", "a%25b", "x\r\ny", "plain é"})
        EXPECT_EQ(decodedPath(encodedPath(s(path))), s(path)) << path;
}

TEST(CertainName, KeepsTheLowestCertainTaxonAlone) // OBIS manual, names; Sigovini et al. 2016 for the signs
{
    const struct {
        const char *logged, *qualifier, *name, *doubt;
    } cases[] = {
        {"Lophelia pertusa", "", "Lophelia pertusa", ""},
        {"Gadus cf. morhua", "", "Gadus", "cf. morhua"},
        {"Gadus morhua", "cf.", "Gadus", "cf. morhua"},
        {"Bathymodiolus sp.", "", "Bathymodiolus", "sp."},
        {"Munidopsis sp. indet.", "", "Munidopsis", "sp. indet."},
        {"Primnoidae", "", "Primnoidae", ""},
        {"Primnoidae?", "", "Biota", "Primnoidae?"},
        {"Primnoidae", "cf.", "Biota", "cf. Primnoidae"},
        {"", "", "Biota", ""},
    };
    for (const auto &c : cases) {
        const CertainName name = certainName(s(c.logged), s(c.qualifier));
        EXPECT_EQ(name.scientificName, s(c.name)) << c.logged;
        EXPECT_EQ(name.identificationQualifier, s(c.doubt)) << c.logged;
        EXPECT_TRUE(wrongScientificName(name.scientificName).isEmpty()) << c.logged;
    }
}

TEST(EventDate, TakesTheFormsThatArchivesTake) // Darwin Core term eventDate: its examples; OBIS manual, dates
{
    for (const char *good : {"1963-03-08T14:07-06:00", "2009-02-20T08:40Z", "2018-08-29T15:19", "1809-02-12",
                             "1906-06", "1971", "2007-03-01T13:00:00Z/2008-05-11T15:30:00Z", "1900/1909",
                             "2007-11-13/15", "2024-05-03T10:00Z/10:05Z", "2026-03-12T14:22:07.300Z"})
        EXPECT_TRUE(readEventDate(s(good))) << good;
    for (const char *bad : {"", "12.3.2026", "2026-W12", "2026-071", "P1D", "2026-13-01", "2026-02-30",
                            "2008/2007", "2026-03-12 14:22", "2026-03-12T25:00Z", "a/b/c"})
        EXPECT_FALSE(readEventDate(s(bad))) << bad;
    EXPECT_FALSE(readEventDate(s("2018-08-29T15:19"))->zoned);
    EXPECT_EQ(toIso(readEventDate(s("2007-11-13/15"))->to), s("2007-11-16T00:00:00.000Z"))
        << "an end without time is the whole day, to its last microsecond, which rounds up";
    EXPECT_EQ(toIso(readEventDate(s("1963-03-08T14:07-06:00"))->from), s("1963-03-08T20:07:00.000Z"));
}

TEST(DwcRules, NamesAndBasesAndCodes) // OBIS manual and quality checks
{
    EXPECT_TRUE(wrongScientificName(s("Lophelia pertusa")).isEmpty());
    EXPECT_TRUE(wrongScientificName(s("Spongia")).isEmpty()) << "no sign of doubt";
    EXPECT_FALSE(wrongScientificName(s("Gadus sp.")).isEmpty());
    EXPECT_FALSE(wrongScientificName(s("Gadus cf. morhua")).isEmpty());
    EXPECT_FALSE(wrongScientificName(s("Gadus?")).isEmpty());
    EXPECT_TRUE(wrongBasisOfRecord(s("MaterialSample")).isEmpty());
    EXPECT_FALSE(wrongBasisOfRecord(s("materialsample")).isEmpty());
    EXPECT_TRUE(wrongVocabularyUri(s("http://vocab.nerc.ac.uk/collection/P01/current/TEMPPR01/"), s("P01"))
                    .isEmpty());
    EXPECT_FALSE(
        wrongVocabularyUri(s("http://vocab.nerc.ac.uk/collection/P06/current/UPAA/"), s("P01")).isEmpty());
}

TEST(Antimeridian, ALineIsCutWhereItCrosses) // RFC 7946 section 3.1.9, whose example goes from 170 E to 170 W
{
    const GeoPoint line[] = {{40, 170}, {40, -170}};
    const auto parts = cutAtAntimeridian(line);
    ASSERT_EQ(parts.size(), 2U);
    EXPECT_DOUBLE_EQ(parts[0].back().at.longitudeDeg, 180);
    EXPECT_DOUBLE_EQ(parts[1].front().at.longitudeDeg, -180);
    EXPECT_DOUBLE_EQ(parts[0].back().at.latitudeDeg, 40);
    EXPECT_FALSE(parts[0].back().source);
    EXPECT_EQ(parts[1].back().source, 1U);
}

TEST(Antimeridian, ALineThatStaysIsLeft)
{
    const GeoPoint line[] = {{0, 10}, {1, 11}, {2, 12}};
    ASSERT_EQ(cutAtAntimeridian(line).size(), 1U);
    EXPECT_EQ(wktOf(line, 200), s("LINESTRING (10.000000 0.000000, 11.000000 1.000000, 12.000000 2.000000)"));
    const GeoPoint one[] = {{0, 10}};
    EXPECT_TRUE(cutAtAntimeridian(one).empty());
    EXPECT_TRUE(wktOf(one, 200).isEmpty());
}

TEST(Antimeridian, TheBoxGoesTheShortWayRound) // RFC 7946 section 5.2: Fiji, 177 E to 178 W
{
    const GeoPoint fiji[] = {{-20, 177}, {-16, -178}};
    const auto box = boundingBox(fiji);
    ASSERT_TRUE(box);
    EXPECT_DOUBLE_EQ(box->west, 177);
    EXPECT_DOUBLE_EQ(box->east, -178);
    const auto around = surrounding(fiji);
    ASSERT_TRUE(around);
    EXPECT_GT(std::abs(around->middle.longitudeDeg), 177);
}

} // namespace holdfast
