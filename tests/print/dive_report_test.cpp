// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/dive_report.h"

#include "base/ids.h"
#include "print/print_support.h"
#include "print/report_blocks.h"
#include "print/sample_papers.h"

#include <QTemporaryDir>
#include <QXmlStreamReader>
#include <cmath>
#include <gtest/gtest.h>
#include <limits>

using namespace holdfast;
using namespace holdfast::testing;

namespace
{

SheetLayout reportLayout(const char *name = "report-a4")
{
    auto layout = loadSheetLayout(templatesFolder(QStringLiteral("sheets")), QString::fromLatin1(name));
    EXPECT_TRUE(layout) << layout.error().sentence.toStdString();
    return layout.value_or(SheetLayout{});
}

QStringList pagesOf(const DiveReportContent &content)
{
    const auto document = layoutDiveReport(content, reportLayout());
    EXPECT_TRUE(document) << document.error().sentence.toStdString();
    if (!document)
        return {};
    const QTemporaryDir dir;
    const QString path = dir.filePath(QStringLiteral("report.pdf"));
    EXPECT_TRUE(writePdf(*document, path));
    return pdfText(path);
}

UtcTime at(double seconds)
{
    return utcFromMicroseconds(1773309720000000 + static_cast<std::int64_t>(seconds * 1e6));
}

} // namespace

TEST(DiveReport, SaysItsNumbersOnOneToFourPages)
{
    const QStringList pages = pagesOf(inventedReport());
    EXPECT_GE(pages.size(), 1);
    EXPECT_LE(pages.size(), 4);
    const QString all = pages.join(QLatin1Char(' '));
    for (const char *part : {"Dive report", "9 h 30 min", "greatest depth", "1462.0 m", "set aside or failed",
                             "north", "Depth (m) over UTC", "Temperature (\u00B0C)", "USBL", "1200",
                             "over by 1", "no limit", "wash of the biobox", "start", "end", "DRAFT"})
        EXPECT_TRUE(all.contains(QString::fromUtf8(part))) << part;
    EXPECT_TRUE(all.contains(printedId(QStringLiteral("TK26-04-001"))));
}

TEST(DiveReport, HtmlIsOneWellFormedFileThatLoadsNothing)
{
    DiveReportContent content = inventedReport();
    content.dive.site = QStringLiteral("<script>alert('x')</script> & \"quotes\"");
    const auto html = diveReportHtml(content, reportLayout());
    ASSERT_TRUE(html) << html.error().sentence.toStdString();
    EXPECT_FALSE(html->contains(QStringLiteral("<script")));
    for (const char *outside : {"src=", "href=", "url(", "@import", "<link", "<iframe"})
        EXPECT_FALSE(html->contains(QString::fromLatin1(outside))) << outside;
    QString plain;
    QString xml = *html;
    // HTML's void elements are the only difference to XML here.
    xml.remove(QStringLiteral("<!DOCTYPE html>"));
    xml.replace(QStringLiteral("<meta charset=\"utf-8\">"), QString());
    xml.replace(QStringLiteral("initial-scale=1\">"), QStringLiteral("initial-scale=1\"/>"));
    xml.replace(QStringLiteral("<br>"), QStringLiteral("<br/>"));
    QXmlStreamReader reader(xml);
    int pictures = 0;
    while (!reader.atEnd()) {
        reader.readNext();
        if (reader.isCharacters())
            plain += reader.text();
        pictures += reader.isStartElement() && reader.name() == QLatin1String("svg");
    }
    EXPECT_FALSE(reader.hasError()) << reader.errorString().toStdString() << " at line "
                                    << reader.lineNumber();
    EXPECT_EQ(pictures, 4);
    for (const QString &part :
         {QStringLiteral("<script>alert('x')</script> & \"quotes\""), QStringLiteral("9 h 30 min"),
          printedId(QStringLiteral("TK26-04-001")), QStringLiteral("over by 1")})
        EXPECT_TRUE(plain.contains(part)) << part.toStdString();
}

TEST(DiveReport, AnEmptyDiveStillReports)
{
    DiveReportContent empty;
    empty.dive.cruise = QStringLiteral("TK26");
    const QString all = pagesOf(empty).join(QLatin1Char(' '));
    for (const char *part :
         {"no positions", "no values", "No samples were taken", "Nothing.", "No logs were read"})
        EXPECT_TRUE(all.contains(QString::fromLatin1(part))) << part;
}

TEST(DiveReport, NothingOverlaps)
{
    for (const char *name : {"report-a4", "report-letter"}) {
        const auto document = layoutDiveReport(inventedReport(), reportLayout(name));
        ASSERT_TRUE(document);
        for (const Page &page : document->pages)
            EXPECT_EQ(overlapsOnPage(page), "") << name;
    }
}

TEST(DiveReport, CountsWhatItSays)
{
    DiveReportContent content;
    content.dive.samples = {
        CustodySample{.id = QStringLiteral("A1"),
                      .temperatureDegC = 3,
                      .latitudeDeg = 1,
                      .longitudeDeg = 1,
                      .uncertainty95M = 8},
        CustodySample{.id = QStringLiteral("A2"), .latitudeDeg = 1, .longitudeDeg = 1, .uncertainty95M = 12},
        CustodySample{.id = QStringLiteral("A3")},
        CustodySample{.id = QStringLiteral("A4"), .setAside = QStringLiteral("dropped")}};
    content.depth = {{at(0), 10}, {at(1), std::nan("")}, {at(2), 1462}};
    const DiveNumbers n = diveNumbers(content);
    EXPECT_EQ(n.samples, 3);
    EXPECT_EQ(n.setAside, 1);
    EXPECT_EQ(n.withoutFix, 1);
    EXPECT_EQ(n.withoutWater, 2);
    EXPECT_DOUBLE_EQ(n.medianUncertaintyM.value_or(0), 10);
    EXPECT_DOUBLE_EQ(n.greatestDepthM.value_or(0), 1462);
    EXPECT_FALSE(n.durationS);
    EXPECT_FALSE(n.trackLengthM);
}

// The lengths of a degree on WGS 84 at the equator and at 60 N: geodesy handbooks (from memory): a minute of
// latitude is 1842.90 m at the equator and 1857 m at 60 N; a degree of longitude is 111319.49 m at the
// equator.
TEST(TrackMap, MetresAgreeWithTheLengthOfADegree)
{
    EXPECT_NEAR(eastNorthOf(0, 0.01, 0, 0).eastM, 1113.1949, 0.001);
    EXPECT_NEAR(eastNorthOf(1.0 / 60, 0, 0, 0).northM, 1842.90, 0.05);
    EXPECT_NEAR(eastNorthOf(60 + 1.0 / 60, 20, 60, 20).northM, 1857.0, 0.5);
}

TEST(TrackMap, DateLineAndPoleAreOrdinaryPlaces)
{
    const EastNorth across = eastNorthOf(-17, -179.995, -17, 179.995);
    const EastNorth plain = eastNorthOf(-17, 10.005, -17, 9.995);
    EXPECT_NEAR(across.eastM, plain.eastM, 1e-6);
    const EastNorth overPole = eastNorthOf(89.999, -170, 89.999, 10); // straight over the pole: 2 x 111.69 m
    EXPECT_NEAR(std::hypot(overPole.eastM, overPole.northM), 223.4, 0.5);
}

TEST(TimeChart, TicksAreRoundAndInside)
{
    EXPECT_EQ(roundTicks(0, 10, 5), (std::vector<double>{0, 2, 4, 6, 8, 10}));
    for (const double tick : roundTicks(3.387, 3.612, 4)) {
        EXPECT_GE(tick, 3.387);
        EXPECT_LE(tick, 3.612);
    }
    EXPECT_TRUE(roundTicks(5, 5, 4).empty());
    EXPECT_TRUE(roundTicks(std::nan(""), 5, 4).empty());
}

TEST(TimeChart, NoiseAtRestDoesNotLookLikeACourse)
{
    TimeChart chart{.title = QStringLiteral("Depth (m)"), .from = at(0), .to = at(100), .leastSpan = 5};
    for (int i = 0; i <= 100; ++i)
        chart.points.push_back({at(i), 1000 + (i % 2 ? 0.05 : -0.05)});
    const QRectF area(0, 0, 180, 50);
    double top = 50, bottom = 0;
    for (const PageMark &mark : drawTimeChart(chart, area)) {
        const auto *path = std::get_if<PathMark>(&mark);
        if (!path || path->grey > 0)
            continue;
        for (const QPointF &p : path->pointsMm) {
            top = std::min(top, p.y());
            bottom = std::max(bottom, p.y());
        }
    }
    EXPECT_GT(bottom - top, 0.3);
    EXPECT_LT(bottom - top, 2) << "a tenth of a metre of five is a fiftieth of the height";
}

TEST(TimeChart, ALowStripHasTwoTicksWithAllDecimalsTheyNeed)
{
    TimeChart chart{.title = QStringLiteral("Practical salinity"), .from = at(0), .to = at(100)};
    chart.compact = true;
    for (int i = 0; i <= 100; ++i)
        chart.points.push_back({at(i), 34.541 + (i % 2 ? 0.004 : -0.004)});
    for (const double height : {7.0, 9.0, 12.0, 20.0}) {
        int ticks = 0;
        for (const PageMark &mark : drawTimeChart(chart, QRectF(0, 0, 120, height))) {
            const auto *text = std::get_if<TextMark>(&mark);
            bool isNumber = false;
            const double value = text ? text->text.toDouble(&isNumber) : 0;
            if (!isNumber)
                continue;
            ++ticks;
            EXPECT_NEAR(value, 34.541, 0.006) << "a tick says where it stands";
        }
        EXPECT_GE(ticks, 2) << height;
    }
}

TEST(TimeChart, WhatIsProvisionalIsDashedAndSaid)
{
    TimeChart chart{.title = QStringLiteral("Depth (m)"), .from = at(0), .to = at(100)};
    for (int i = 0; i <= 100; ++i)
        chart.points.push_back({at(i), 1000.0 + i});
    chart.provisionalFrom = at(60);
    double firstDashed = 1e9, lastWhole = 0;
    bool said = false;
    for (const PageMark &mark : drawTimeChart(chart, QRectF(0, 0, 180, 50))) {
        if (const auto *text = std::get_if<TextMark>(&mark))
            said = said || text->text.contains(QStringLiteral("provisional"));
        const auto *path = std::get_if<PathMark>(&mark);
        if (!path || path->grey > 0)
            continue;
        for (const QPointF &p : path->pointsMm) {
            if (path->dashed)
                firstDashed = std::min(firstDashed, p.x());
            else
                lastWhole = std::max(lastWhole, p.x());
        }
    }
    EXPECT_TRUE(said);
    EXPECT_NEAR(firstDashed, 13 + 165 * 0.6, 2);
    EXPECT_NEAR(firstDashed, lastWhole, 0.01) << "one line goes on in the other";
}

TEST(TrackMap, AProvisionalTrackIsARowOfDotsWithItsUncertaintyAtTheEnd)
{
    TrackMapContent map;
    for (int i = 0; i < 50; ++i)
        map.track.push_back({at(i), -21 + i * 1e-5, -173, i >= 20, 9.0});
    map.endWord = QStringLiteral("last");
    int dots = 0, circles = 0;
    bool said = false, last = false;
    for (const PageMark &mark : drawTrackMap(map, QRectF(0, 0, 120, 80))) {
        if (const auto *text = std::get_if<TextMark>(&mark)) {
            said = said || text->text.contains(QStringLiteral("dots: provisional"));
            last = last || text->text == map.endWord;
        }
        if (const auto *box = std::get_if<BoxMark>(&mark)) {
            dots += box->round && box->rectMm.width() < 0.5;
            circles += box->round && box->dashed;
        }
    }
    EXPECT_GT(dots, 5);
    EXPECT_GE(circles, 1);
    EXPECT_TRUE(said);
    EXPECT_TRUE(last);
}

TEST(TimeChart, ASpikeSurvivesThinningAndAGapIsNotBridged)
{
    TimeChart chart{.title = QStringLiteral("t"), .from = at(0), .to = at(40000)};
    for (int i = 0; i < 20000; ++i)
        chart.points.push_back({at(i), i == 7777 ? 50.0 : 1.0});
    for (int i = 30000; i < 40000; ++i)
        chart.points.push_back({at(i), 2.0});
    const QRectF area(0, 0, 180, 50);
    double top = 50;
    int lines = 0;
    std::size_t pointCount = 0;
    for (const PageMark &mark : drawTimeChart(chart, area)) {
        const auto *path = std::get_if<PathMark>(&mark);
        if (!path || path->grey > 0)
            continue;
        ++lines;
        pointCount += static_cast<std::size_t>(path->pointsMm.size());
        for (const QPointF &p : path->pointsMm) {
            top = std::min(top, p.y());
            EXPECT_TRUE(area.contains(p));
        }
    }
    EXPECT_EQ(lines, 2);
    EXPECT_LT(pointCount, 3000U);
    EXPECT_LT(top, 8); // the spike reaches the upper edge of the plot
}
