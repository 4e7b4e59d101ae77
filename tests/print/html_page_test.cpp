// SPDX-License-Identifier: GPL-3.0-or-later
// The HTML report without a browser: its drawings as another program's renderer shows them, beside the same
// drawings on the pages; and its words beside those of the PDF.
#include "print/print_support.h"
#include "print/report_blocks.h"
#include "print/sample_papers.h"

#include <QFile>
#include <QPainter>
#include <QProcess>
#include <QRegularExpression>
#include <QStandardPaths>
#include <QTemporaryDir>
#include <gtest/gtest.h>

using namespace holdfast;
using namespace holdfast::testing;

namespace
{

SheetLayout reportLayout()
{
    const auto layout =
        loadSheetLayout(templatesFolder(QStringLiteral("sheets")), QStringLiteral("report-a4"));
    EXPECT_TRUE(layout);
    return layout.value_or(SheetLayout());
}

QString html()
{
    const auto page = diveReportHtml(inventedReport(), reportLayout());
    EXPECT_TRUE(page);
    return page.value_or(QString());
}

/// An SVG drawn by librsvg at 150 dpi of its millimetres.
QImage drawnByLibrsvg(const QString &svg, const QTemporaryDir &dir)
{
    QFile in(dir.filePath(QStringLiteral("figure.svg")));
    EXPECT_TRUE(in.open(QIODevice::WriteOnly));
    in.write(svg.toUtf8());
    in.close();
    static const QRegularExpression box(QStringLiteral("viewBox=\"0 0 ([0-9.]+) ([0-9.]+)\""));
    const double widthMm = box.match(svg).captured(1).toDouble();
    const QString png = dir.filePath(QStringLiteral("figure.png"));
    QProcess process;
    process.start(QStringLiteral("rsvg-convert"),
                  {QStringLiteral("-w"), QString::number(qRound(widthMm * 150 / 25.4)), QStringLiteral("-b"),
                   QStringLiteral("white"), QStringLiteral("-o"), png, in.fileName()});
    process.waitForFinished(30000);
    return QImage(png).convertToFormat(QImage::Format_Grayscale8);
}

double meanDifference(const QImage &a, const QImage &b)
{
    // Coarse: what is compared is ink and place, not how a renderer smooths a letter.
    const QSize coarse = a.size() / 3;
    const QImage x = a.scaled(coarse, Qt::IgnoreAspectRatio, Qt::SmoothTransformation);
    const QImage y = b.scaled(coarse, Qt::IgnoreAspectRatio, Qt::SmoothTransformation);
    double sum = 0;
    for (int row = 0; row < coarse.height(); ++row) {
        for (int column = 0; column < coarse.width(); ++column)
            sum += std::abs(qGray(x.pixel(column, row)) - qGray(y.pixel(column, row)));
    }
    return sum / (static_cast<double>(coarse.width()) * coarse.height());
}

} // namespace

TEST(HtmlPage, ItsDrawingsLookLikeThoseOnPaper)
{
    if (QStandardPaths::findExecutable(QStringLiteral("rsvg-convert")).isEmpty())
        GTEST_SKIP() << "librsvg2-bin is not installed";
    const QTemporaryDir dir;
    const SheetLayout layout = reportLayout();
    const double widthMm = layout.pageMm.width() - 2 * layout.marginMm;
    const DiveReportContent report = inventedReport();
    TrackMapContent map;
    map.track = report.track;
    TimeChart chart{.title = QStringLiteral("Depth (m)"), .points = report.depth, .downwards = true};
    chart.from = report.depth.front().time;
    chart.to = report.depth.back().time;
    for (const auto &marks :
         {drawTrackMap(map, QRectF(0, 0, widthMm, 100)), drawTimeChart(chart, QRectF(0, 0, widthMm, 60))}) {
        double heightMm = 0;
        for (const PageMark &mark : marks) {
            if (const auto *box = std::get_if<BoxMark>(&mark))
                heightMm = std::max(heightMm, box->rectMm.bottom());
            if (const auto *text = std::get_if<TextMark>(&mark))
                heightMm = std::max(heightMm, text->boxMm.bottom());
        }
        const QSizeF size(widthMm, std::ceil(heightMm));
        const QImage painted =
            renderPage(Page{.sizeMm = size, .marks = marks}, 150).convertToFormat(QImage::Format_Grayscale8);
        const QImage drawn = drawnByLibrsvg(svgOf(marks, size), dir);
        ASSERT_FALSE(drawn.isNull());
        EXPECT_NEAR(drawn.width(), painted.width(), 2);
        EXPECT_NEAR(drawn.height(), painted.height(), 2);
        EXPECT_LE(meanDifference(painted, drawn.scaled(painted.size())), 3.0);
        QImage blank(painted.size(), QImage::Format_Grayscale8);
        blank.fill(Qt::white);
        EXPECT_GE(meanDifference(blank, drawn.scaled(painted.size())), 2.0) << "nothing was drawn";
    }
}

TEST(HtmlPage, SaysWhatThePagesSay)
{
    const QTemporaryDir dir;
    const auto document = layoutDiveReport(inventedReport(), reportLayout());
    ASSERT_TRUE(document);
    const QString pdf = dir.filePath(QStringLiteral("report.pdf"));
    ASSERT_TRUE(writePdf(*document, pdf));
    QString paper = pdfText(pdf).join(QString());
    paper.remove(QRegularExpression(QStringLiteral("\\s")));
    // Every cell of every table of the HTML stands on the pages too; blanks are where lines break.
    static const QRegularExpression cell(QStringLiteral("<td[^>]*>(.*?)</td>"));
    auto cells = cell.globalMatch(html());
    int compared = 0;
    while (cells.hasNext()) {
        QString text = cells.next().captured(1);
        static const QRegularExpression tag(QStringLiteral("<[^>]+>|\\s"));
        text.remove(tag);
        text.replace(QStringLiteral("&quot;"), QStringLiteral("\""));
        text.replace(QStringLiteral("&amp;"), QStringLiteral("&"));
        bool latin = true;
        for (const QChar c : text)
            latin = latin && c.unicode() < 0x250;
        if (text.isEmpty() || !latin)
            continue; // right-to-left text is read back in its own test
        ++compared;
        EXPECT_TRUE(paper.contains(text)) << text.toStdString();
    }
    EXPECT_GT(compared, 100);
}
