// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/label_sheet.h"

#include "base/ids.h"
#include "print/print_support.h"

#include <QFile>
#include <QTemporaryDir>
#include <gtest/gtest.h>

using namespace holdfast;
using namespace holdfast::testing;

namespace
{

std::vector<LabelContent> fullLabels(int count)
{
    std::vector<LabelContent> labels;
    for (int i = 1; i <= count; ++i)
        labels.push_back(fullLabel(i));
    return labels;
}

LabelSheets laidOut(const LabelJob &job)
{
    auto sheets = layoutLabels(job);
    EXPECT_TRUE(sheets) << sheets.error().sentence.toStdString();
    return sheets ? std::move(*sheets) : LabelSheets{};
}

std::string printed(const LabelContent &label)
{
    return printedId(label.id).toStdString();
}

} // namespace

TEST(LabelSheet, EveryCodeOfAPageDecodesToItsPrintedId)
{
    const LabelStock sheet = stock("a4-70x37");
    const auto labels = fullLabels(24);
    for (const int dpi : {203, 300, 600}) {
        const LabelSheets sheets = laidOut({.stock = sheet, .labels = labels, .printerDpi = dpi});
        ASSERT_EQ(sheets.document.pages.size(), 1U);
        const QImage page = renderPage(sheets.document.pages[0], dpi);
        for (int i = 0; i < 24; ++i)
            EXPECT_EQ(decodedByZxing(labelPicture(page, sheet, i, dpi)),
                      printed(labels[static_cast<std::size_t>(i)]))
                << dpi;
    }
}

TEST(LabelSheet, ThePdfCarriesTheSameCodesAndTheTexts)
{
    QTemporaryDir dir;
    const QString path = dir.filePath(QStringLiteral("labels.pdf"));
    const LabelStock sheet = stock("a4-70x37");
    const auto labels = fullLabels(24);
    const Done written = writePdf(laidOut({.stock = sheet, .labels = labels}).document, path);
    ASSERT_TRUE(written) << written.error().sentence.toStdString();
    const QImage page = pdfPage(path, 0, 600);
    const QStringList text = pdfText(path);
    ASSERT_EQ(text.size(), 1);
    for (int i = 0; i < 24; ++i) {
        const LabelContent &label = labels[static_cast<std::size_t>(i)];
        EXPECT_EQ(decodedByZxing(labelPicture(page, sheet, i, 600)), printed(label));
        EXPECT_TRUE(text[0].contains(printedId(label.id))) << printed(label);
    }
    for (const char *part : {"dive 4", "2026-03-12 14:22:07 UTC", "1432.6 m", "ethanol 95 %", "FLAMMABLE",
                             "Deck lab", "21\u00B004.552' S 173\u00B012.884' W"})
        EXPECT_EQ(text[0].count(QString::fromUtf8(part)), 24) << part;
}

TEST(LabelSheet, ASmallTagAt300DpiDecodesWithBothReaders)
{
    const auto labels = fullLabels(5);
    const LabelSheets sheets = laidOut({.stock = stock("cryo-10mm"), .labels = labels});
    ASSERT_EQ(sheets.document.pages.size(), 5U);
    for (std::size_t i = 0; i < 5; ++i) {
        const QImage page = renderPage(sheets.document.pages[i], 300);
        EXPECT_EQ(decodedByZxing(page), printed(labels[i]));
        EXPECT_EQ(decodedByZbar(page.scaled(page.size() * 2)), printed(labels[i]));
    }
}

TEST(LabelSheet, ACodeTooFineIsRefusedWithTheNearestStockThatWorks)
{
    LabelJob job{.stock = stock("cryo-10mm"),
                 .labels = fullLabels(1),
                 .printerDpi = 203,
                 .others = {stock("a4-70x37")}};
    const auto refused = layoutLabels(job);
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().kind, ErrorKind::Refused);
    for (const char *part : {"TK26-04-001*", "2 dots", "203 dpi", "a4-70x37"})
        EXPECT_TRUE(refused.error().sentence.contains(QString::fromLatin1(part)))
            << refused.error().sentence.toStdString();
    job.acceptFineCode = true;
    const LabelSheets accepted = laidOut(job);
    EXPECT_EQ(accepted.notes.size(), 1);
}

TEST(LabelSheet, StartsWhereTheUsedSheetEnds)
{
    const LabelStock sheet = stock("a4-70x37");
    const LabelSheets sheets = laidOut({.stock = sheet, .labels = fullLabels(3), .startPosition = 23});
    ASSERT_EQ(sheets.document.pages.size(), 2U);
    const QImage first = renderPage(sheets.document.pages[0], 300);
    const QImage second = renderPage(sheets.document.pages[1], 300);
    EXPECT_EQ(decodedByZxing(labelPicture(first, sheet, 21, 300)), "");
    EXPECT_EQ(decodedByZxing(labelPicture(first, sheet, 22, 300)), printed(fullLabel(1)));
    EXPECT_EQ(decodedByZxing(labelPicture(first, sheet, 23, 300)), printed(fullLabel(2)));
    EXPECT_EQ(decodedByZxing(labelPicture(second, sheet, 0, 300)), printed(fullLabel(3)));
    EXPECT_FALSE(layoutLabels({.stock = sheet, .labels = fullLabels(1), .startPosition = 25}));
    EXPECT_FALSE(layoutLabels({.stock = sheet, .labels = fullLabels(1), .startPosition = 0}));
}

TEST(LabelSheet, CopiesStandSideBySide)
{
    const LabelStock sheet = stock("a4-70x37");
    const LabelSheets sheets = laidOut({.stock = sheet, .labels = fullLabels(2), .copies = 3});
    EXPECT_EQ(sheets.printed, 6);
    const QImage page = renderPage(sheets.document.pages[0], 300);
    EXPECT_EQ(decodedByZxing(labelPicture(page, sheet, 2, 300)), printed(fullLabel(1)));
    EXPECT_EQ(decodedByZxing(labelPicture(page, sheet, 3, 300)), printed(fullLabel(2)));
}

TEST(LabelSheet, WhatCannotBePrintedIsRefused)
{
    EXPECT_FALSE(layoutLabels({.stock = stock("a4-70x37"), .labels = {}}));
    for (const char *id : {"", "tk26", "TK26_04", "..", "TK 26"})
        EXPECT_FALSE(layoutLabels(
            {.stock = stock("a4-70x37"), .labels = {LabelContent{.id = QString::fromLatin1(id)}}}))
            << id;
}

TEST(LabelSheet, LongTextShrinksThenEndsVisiblyAndIsReported)
{
    LabelContent label = fullLabel(1);
    label.description = QString(200, QLatin1Char('w'));
    const LabelSheets sheets = laidOut({.stock = stock("a4-70x37"), .labels = {label}});
    ASSERT_EQ(sheets.notes.size(), 1);
    EXPECT_TRUE(sheets.notes[0].contains(label.id));
    bool ellipsis = false;
    for (const PageMark &mark : sheets.document.pages[0].marks) {
        if (const auto *text = std::get_if<TextMark>(&mark)) {
            ellipsis = ellipsis || text->text.endsWith(QChar(0x2026));
            EXPECT_TRUE(text->boxMm.adjusted(-0.01, -0.01, 0.01, 0.01).contains(text->inkMm))
                << text->text.toStdString();
        }
    }
    EXPECT_TRUE(ellipsis);
}

TEST(LabelSheet, AHazardWordThatDoesNotFitIsNeverCut)
{
    LabelContent label = fullLabel(1);
    label.hazard = QString(200, QLatin1Char('W'));
    const auto refused = layoutLabels({.stock = stock("a4-70x37"), .labels = {label}});
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().kind, ErrorKind::Refused);
}

TEST(LabelSheet, AFailedWriteLeavesTheOldFile)
{
    QTemporaryDir dir;
    const QString path = dir.filePath(QStringLiteral("labels.pdf"));
    const LabelSheets sheets = laidOut({.stock = stock("a4-70x37"), .labels = fullLabels(1)});
    const Done folder = writePdf(sheets.document, dir.path());
    ASSERT_FALSE(folder);
    EXPECT_EQ(folder.error().kind, ErrorKind::Usage);
    const Done nowhere = writePdf(sheets.document, dir.filePath(QStringLiteral("none/labels.pdf")));
    ASSERT_FALSE(nowhere);
    EXPECT_EQ(nowhere.error().kind, ErrorKind::NotFound);
    QFile old(path);
    ASSERT_TRUE(old.open(QIODevice::WriteOnly));
    old.write("kept");
    old.close();
    EXPECT_FALSE(writePdf(PageDocument{}, path));
    ASSERT_TRUE(old.open(QIODevice::ReadOnly));
    EXPECT_EQ(old.readAll(), QByteArray("kept"));
}
