// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/ids.h"
#include "print/print_support.h"

#include <QPainter>
#include <gtest/gtest.h>

using namespace holdfast;
using namespace holdfast::testing;

namespace
{

std::vector<LabelContent> threeLabels()
{
    std::vector<LabelContent> labels{fullLabel(1), fullLabel(17), fullLabel(998)};
    labels[1].id += QStringLiteral(".2.1");
    return labels;
}

LabelSheets laidOut(const LabelStock &stock, int dpi)
{
    auto sheets = layoutLabels(
        {.stock = stock, .labels = threeLabels(), .copies = 1, .printerDpi = dpi, .acceptFineCode = true});
    EXPECT_TRUE(sheets) << sheets.error().sentence.toStdString();
    return sheets ? std::move(*sheets) : LabelSheets{};
}

/// The label `index` on its page: sheets hold all three, rolls one a page.
QImage picture(const LabelSheets &sheets, const LabelStock &stock, int index, int dpi)
{
    const int perPage = stock.labelsPerPage();
    const auto page = static_cast<std::size_t>(index / perPage);
    return labelPicture(sheets.document.pages.at(page), stock, index % perPage, dpi);
}

} // namespace

TEST(EveryStock, DecodesWithBothReadersAtEveryResolution)
{
    const auto stocks = loadLabelStocks(templatesFolder(QStringLiteral("labels")));
    ASSERT_TRUE(stocks) << stocks.error().sentence.toStdString();
    ASSERT_GE(stocks->size(), 10U);
    for (const LabelStock &stock : *stocks) {
        for (const int dpi : {203, 300, 600}) {
            const LabelSheets sheets = laidOut(stock, dpi);
            for (int i = 0; i < 3; ++i) {
                const std::string expected =
                    printedId(threeLabels()[static_cast<std::size_t>(i)].id).toStdString();
                // A reader sees at least two pixels of each dot.
                const QImage seen = picture(sheets, stock, i, dpi * 2);
                EXPECT_EQ(decodedByZxing(seen), expected) << stock.name.toStdString() << " at " << dpi;
                EXPECT_EQ(decodedByZbar(seen), expected) << stock.name.toStdString() << " at " << dpi;
            }
        }
    }
}

TEST(EveryStock, DecodesOnAScreenOrPrinterOfAnotherResolution)
{
    const LabelStock sheet = stock("a4-70x37");
    const LabelSheets sheets = laidOut(sheet, 600);
    for (const int dpi : {150, 203, 250, 300, 360, 400, 450, 500, 720}) {
        for (int i = 0; i < 3; ++i)
            EXPECT_EQ(decodedByZxing(picture(sheets, sheet, i, dpi)),
                      printedId(threeLabels()[static_cast<std::size_t>(i)].id).toStdString())
                << dpi;
    }
}

TEST(EveryStock, CarriesACodeWithinTheLimitsOnItsOwnPrinter)
{
    const auto stocks = loadLabelStocks(templatesFolder(QStringLiteral("labels")));
    ASSERT_TRUE(stocks);
    for (const LabelStock &stock : *stocks) {
        for (const QRectF &square : {stock.codeMm, stock.secondCodeMm}) {
            if (square.isEmpty())
                continue;
            const auto fit = fitQr(QStringLiteral("TK26-04-017*H"), {square.width(), stock.printerDpi});
            ASSERT_TRUE(fit);
            EXPECT_FALSE(fit->tooFine) << stock.name.toStdString();
        }
    }
}

TEST(EveryStock, NoTextLiesUponAnotherHoweverLongItIs)
{
    LabelContent longest = fullLabel(1);
    longest.kind = QString(200, QLatin1Char('k'));
    longest.description = QStringLiteral("\u05D0\u05DC\u05DE\u05D5\u05D2 ").repeated(40);
    longest.preservative = QString(200, QLatin1Char('p'));
    longest.contact = QStringLiteral("\U0001F980 ").repeated(100);
    LabelContent empty{.id = QStringLiteral("TK26-04-002")};
    const auto stocks = loadLabelStocks(templatesFolder(QStringLiteral("labels")));
    ASSERT_TRUE(stocks);
    for (const LabelStock &stock : *stocks) {
        const auto sheets = layoutLabels({.stock = stock, .labels = {longest, empty}, .copies = 1});
        ASSERT_TRUE(sheets) << sheets.error().sentence.toStdString();
        for (const Page &page : sheets->document.pages)
            EXPECT_EQ(overlapsOnPage(page), "") << stock.name.toStdString();
    }
}

TEST(EveryStock, ItsSecondCodeIsReadWithoutTheFirst)
{
    const auto stocks = loadLabelStocks(templatesFolder(QStringLiteral("labels")));
    ASSERT_TRUE(stocks);
    int withTwo = 0;
    for (const LabelStock &stock : *stocks) {
        if (stock.secondCodeMm.isEmpty())
            continue;
        ++withTwo;
        const LabelSheets sheets = laidOut(stock, stock.printerDpi);
        QImage seen = picture(sheets, stock, 0, stock.printerDpi * 2);
        const double dots = stock.printerDpi * 2 / 25.4;
        QPainter(&seen).fillRect(QRectF(stock.codeMm.topLeft() * dots, stock.codeMm.size() * dots),
                                 Qt::white);
        const std::string expected = printedId(threeLabels()[0].id).toStdString();
        EXPECT_EQ(decodedByZxing(seen), expected) << stock.name.toStdString();
        EXPECT_EQ(decodedByZbar(seen), expected) << stock.name.toStdString();
    }
    EXPECT_GE(withTwo, 3);
}
