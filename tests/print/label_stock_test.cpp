// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/print_support.h"

#include <gtest/gtest.h>

using namespace holdfast;
using namespace holdfast::testing;

namespace
{

const QByteArray good = R"({
  "title": "Test", "media": "sheet", "printer_dpi": 300,
  "page": { "width_mm": 100, "height_mm": 60 },
  "grid": { "columns": 2, "rows": 2, "label_width_mm": 40, "label_height_mm": 20, "left_mm": 5, "column_gap_mm": 2 },
  "code": { "x_mm": 0, "y_mm": 0, "side_mm": 15 },
  "texts": [ { "fields": ["id"], "x_mm": 16, "y_mm": 0, "width_mm": 20, "height_mm": 6, "size_pt": 8 } ]
})";

QString faultOf(QByteArray json)
{
    const auto stock = readLabelStock(json, QStringLiteral("test"), QStringLiteral("Label stock test.json"));
    return stock ? QString() : stock.error().sentence;
}

QString faultWith(const char *before, const char *after)
{
    EXPECT_TRUE(good.contains(before)) << before;
    return faultOf(QByteArray(good).replace(before, after));
}

} // namespace

TEST(LabelStock, EveryStockOfTheRepositoryIsGood)
{
    const auto stocks = loadLabelStocks(templatesFolder(QStringLiteral("labels")));
    ASSERT_TRUE(stocks) << stocks.error().sentence.toStdString();
    EXPECT_GE(stocks->size(), 2U);
}

TEST(LabelStock, PositionsRunRowByRow)
{
    const auto stock = readLabelStock(good, QStringLiteral("test"), QStringLiteral("test"));
    ASSERT_TRUE(stock) << stock.error().sentence.toStdString();
    EXPECT_EQ(stock->labelsPerPage(), 4);
    EXPECT_EQ(stock->labelRectMm(0), QRectF(5, 0, 40, 20));
    EXPECT_EQ(stock->labelRectMm(1), QRectF(47, 0, 40, 20));
    EXPECT_EQ(stock->labelRectMm(2), QRectF(5, 20, 40, 20));
}

TEST(LabelStock, AFaultNamesFileFieldWhatWasFoundAndWhatWasExpected)
{
    const QString dpi = faultWith("\"printer_dpi\": 300", "\"printer_dpi\": \"fine\"");
    for (const char *part : {"Label stock test.json", "printer_dpi", "72", "4800", "\"fine\""})
        EXPECT_TRUE(dpi.contains(QString::fromLatin1(part))) << dpi.toStdString();
    EXPECT_TRUE(faultWith("[\"id\"]", "[\"idd\"]").contains(QStringLiteral("texts[0].fields")));
    EXPECT_TRUE(faultWith("\"title\"", "\"titel\"").contains(QStringLiteral("title")));
    EXPECT_TRUE(faultWith("\"size_pt\": 8", "\"size_pt\": 8, \"colour\": \"red\"")
                    .contains(QStringLiteral("colour")));
}

TEST(LabelStock, PartsMayNotReachBeyondTheLabelNorLieUponEachOther)
{
    EXPECT_TRUE(
        faultWith("\"width_mm\": 20", "\"width_mm\": 30").contains(QStringLiteral("beyond the label")));
    EXPECT_TRUE(faultWith("\"x_mm\": 16", "\"x_mm\": 14").contains(QStringLiteral("lies upon code")));
    EXPECT_TRUE(faultWith("\"columns\": 2", "\"columns\": 3").contains(QStringLiteral("beyond the page")));
    EXPECT_TRUE(faultWith("\"media\": \"sheet\"", "\"media\": \"sheet\", \"shape\": \"round\"")
                    .contains(QStringLiteral("round")));
}

TEST(LabelStock, ASecondCodeNeedsAFirstAndRoomOfItsOwn)
{
    EXPECT_TRUE(faultWith("\"code\"", "\"second_code\"").contains(QStringLiteral("no first one")));
    EXPECT_TRUE(
        faultWith("\"texts\"", "\"second_code\": {\"x_mm\": 10, \"y_mm\": 0, \"side_mm\": 10}, \"texts\"")
            .contains(QStringLiteral("second_code\": it lies upon code")));
    EXPECT_TRUE(faultWith("\"code\": { \"x_mm\": 0, \"y_mm\": 0, \"side_mm\": 15 }", "\"second_code\": 3")
                    .contains(QStringLiteral("second_code")));
}

TEST(LabelStock, BrokenJsonIsToldByLine)
{
    EXPECT_TRUE(faultWith("\"sheet\",", "\"sheet\"").contains(QStringLiteral("line 2")))
        << faultWith("\"sheet\",", "\"sheet\"").toStdString();
    EXPECT_FALSE(faultOf("[]").isEmpty());
    EXPECT_FALSE(faultOf("").isEmpty());
    EXPECT_FALSE(faultOf(QByteArray("\x00\xff\x13", 3)).isEmpty());
}

TEST(LabelStock, AnUnknownNameListsTheKnownOnes)
{
    const auto stock = loadLabelStock(templatesFolder(QStringLiteral("labels")), QStringLiteral("nothing"));
    ASSERT_FALSE(stock);
    EXPECT_EQ(stock.error().kind, ErrorKind::NotFound);
    EXPECT_TRUE(stock.error().sentence.contains(QStringLiteral("a4-70x37")));
    EXPECT_FALSE(loadLabelStock(QStringLiteral("/nonexistent"), QStringLiteral("a4-70x37")));
}
