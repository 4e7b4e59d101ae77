// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/packing_list.h"

#include "print/print_support.h"
#include "print/sample_papers.h"

#include <QTemporaryDir>
#include <gtest/gtest.h>

using namespace holdfast;
using namespace holdfast::testing;

namespace
{

SheetLayout packingLayout(const char *name)
{
    auto layout = loadSheetLayout(templatesFolder(QStringLiteral("sheets")), QString::fromLatin1(name));
    EXPECT_TRUE(layout) << layout.error().sentence.toStdString();
    return layout.value_or(SheetLayout{});
}

QString textOf(const PackingListContent &content, const char *layout = "packing-a4")
{
    const auto document = layoutPackingList(content, packingLayout(layout));
    EXPECT_TRUE(document) << document.error().sentence.toStdString();
    if (!document)
        return {};
    const QTemporaryDir dir;
    const QString path = dir.filePath(QStringLiteral("list.pdf"));
    EXPECT_TRUE(writePdf(*document, path));
    return pdfText(path).join(QLatin1Char(' '));
}

} // namespace

TEST(PackingList, SumsTheHazardsOfAllPackages)
{
    const PackingListContent shipment = inventedShipment();
    const auto sums = sumHazards(shipment);
    ASSERT_EQ(sums.size(), 4U);
    EXPECT_EQ(sums[0].substance->key, QStringLiteral("ethanol"));
    EXPECT_EQ(sums[0].packages, 2);
    EXPECT_EQ(sums[0].containers, 3);
    EXPECT_DOUBLE_EQ(sums[0].liquidMl, 500);
    EXPECT_EQ(sums[0].withoutQuantity, 1);
    EXPECT_EQ(sums[1].substance->key, QStringLiteral("formaldehyde"));
    EXPECT_EQ(sums[2].substance->key, QStringLiteral("dry-ice"));
    EXPECT_EQ(sums[3].substance, nullptr);
    EXPECT_EQ(sums[3].name, QStringLiteral("methanoethanolic mix"));
}

// UN numbers of the UN Model Regulations, from memory: ethanol 1170, formaldehyde solution 2209, dry ice
// 1845.
TEST(PackingList, SaysWhatLiesWhereAndAlwaysItsCautions)
{
    for (const char *layout : {"packing-a4", "packing-letter"}) {
        const QString all = textOf(inventedShipment(), layout);
        for (const char *part :
             {"Invented Museum", "TK26-04-001*", "UN 1170", "ETHANOL SOLUTION", "UN 2209", "UN 1845",
              "500 ml", "not in the table", "safety data sheet", "not a transport document",
              "carrier, by local rules and by people licensed",
              "Permit P-9 is named by 1 of the items but is not described here",
              "3 of the items name no permit", "DRAFT: packages are open", "S-1041", "2026-12-31"})
            EXPECT_TRUE(all.contains(QString::fromLatin1(part))) << part;
    }
}

TEST(PackingList, WhatCannotBeListedIsRefused)
{
    PackingListContent content = inventedShipment();
    content.packages[0].items[0].substance = QStringLiteral("water of life");
    EXPECT_FALSE(layoutPackingList(content, packingLayout("packing-a4")));
    content = inventedShipment();
    content.packages.clear();
    EXPECT_FALSE(layoutPackingList(content, packingLayout("packing-a4")));
    content = inventedShipment();
    content.packages[0].items[0].id = QStringLiteral("no_id");
    EXPECT_FALSE(layoutPackingList(content, packingLayout("packing-a4")));
    EXPECT_FALSE(layoutPackingList(inventedShipment(), packingLayout("custody-a4")));
}

TEST(PackingList, NothingOverlapsWithLongWords)
{
    PackingListContent content = inventedShipment();
    content.consignee = QString(200, QLatin1Char('W'));
    content.packages[0].items[0].what = QString(300, QLatin1Char('w'));
    content.packages[0].kind = QString(200, QLatin1Char('k'));
    const auto document = layoutPackingList(content, packingLayout("packing-letter"));
    ASSERT_TRUE(document);
    for (const Page &page : document->pages)
        EXPECT_EQ(overlapsOnPage(page), "");
}

TEST(Substances, AFaultyTableIsRefusedByField)
{
    const auto fault = [](const char *json) {
        const auto table = readSubstances(json, QStringLiteral("Substances t.json"));
        return table ? std::string() : table.error().sentence.toStdString();
    };
    EXPECT_NE(fault(R"({"title":"t","cautions":[],"substances":[]})").find("cautions"), std::string::npos);
    EXPECT_NE(fault(R"({"title":"t","cautions":["c"],"substances":[{"key":"a","words":["a"]}]})")
                  .find("substances[0].un"),
              std::string::npos);
    EXPECT_EQ(fault(R"({"title":"t","cautions":["c"],"substances":[]})"), "");
}
