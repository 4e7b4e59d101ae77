// SPDX-License-Identifier: GPL-3.0-or-later
// What the Papers screen prints: through QPrinter, into its PDF output. No printer of paper was at hand.
#include "paper_work.h"

#include "base/ids.h"
#include "print/print_support.h"

#include <QTemporaryDir>
#include <gtest/gtest.h>

using namespace holdfast;
using namespace holdfast::testing;

namespace
{

LabelSheets labelsOn(const char *name, int count)
{
    std::vector<LabelContent> labels;
    for (int i = 1; i <= count; ++i)
        labels.push_back(fullLabel(i));
    auto sheets = layoutLabels({.stock = stock(name), .labels = labels, .copies = 1});
    EXPECT_TRUE(sheets) << sheets.error().sentence.toStdString();
    return sheets.value_or(LabelSheets());
}

} // namespace

TEST(PrintPages, APrinterGetsEveryPageAtItsSizeWithCodesThatScan)
{
    const QTemporaryDir dir;
    for (const char *name : {"a4-70x37", "letter-67x25", "roll-100x50", "cryo-10mm"}) {
        const LabelStock sheet = stock(name);
        const LabelSheets sheets = labelsOn(name, 2);
        const QString path = dir.filePath(QString::fromLatin1(name) + QStringLiteral(".pdf"));
        QPrinter printer(QPrinter::HighResolution);
        printer.setOutputFormat(QPrinter::PdfFormat);
        printer.setOutputFileName(path);
        const Done printed = printPages(sheets.document, printer);
        ASSERT_TRUE(printed) << printed.error().sentence.toStdString();
        ASSERT_EQ(pdfText(path).size(), static_cast<qsizetype>(sheets.document.pages.size())) << name;
        const int dpi = sheet.printerDpi * 2;
        const QImage page = pdfPage(path, 0, dpi);
        EXPECT_NEAR(page.width() * 25.4 / dpi, sheet.pageMm.width(), 0.4) << name;
        EXPECT_NEAR(page.height() * 25.4 / dpi, sheet.pageMm.height(), 0.4) << name;
        // From the edge of the paper: the label lies where the stock says.
        EXPECT_EQ(decodedByZxing(labelPicture(page, sheet, 0, dpi)), printedId(fullLabel(1).id).toStdString())
            << name;
        EXPECT_EQ(decodedByZbar(labelPicture(page, sheet, 0, dpi)), printedId(fullLabel(1).id).toStdString())
            << name;
    }
}

TEST(PrintPages, WhatHasNoPagesIsNotPrinted)
{
    const QTemporaryDir dir;
    QPrinter printer;
    printer.setOutputFormat(QPrinter::PdfFormat);
    printer.setOutputFileName(dir.filePath(QStringLiteral("x.pdf")));
    EXPECT_FALSE(printPages(PageDocument{}, printer));
}

TEST(PaperSettings, EveryKindOfPaperIsAtHand)
{
    QStringList faults;
    const auto papers = papersAtHand(faults);
    EXPECT_TRUE(faults.isEmpty()) << faults.join(QLatin1Char(' ')).toStdString();
    for (const auto kind : {Paper::Kind::Custody, Paper::Kind::Report, Paper::Kind::HandOver,
                            Paper::Kind::History, Paper::Kind::Packing, Paper::Kind::Labels}) {
        const auto found = std::find_if(papers.begin(), papers.end(),
                                        [kind](const Paper &paper) { return paper.kind == kind; });
        EXPECT_NE(found, papers.end()) << static_cast<int>(kind);
    }
}
