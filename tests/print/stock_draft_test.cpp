// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/stock_draft.h"

#include "print/print_support.h"
#include "print/template_reader.h"

#include <gtest/gtest.h>

using namespace holdfast;
using namespace holdfast::testing;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

StockDraft draftOf(const char *name)
{
    const auto json = readTemplateFile(templatesFolder(s("labels")), s(name), s("stock"));
    EXPECT_TRUE(json);
    auto draft = StockDraft::fromJson(json.value_or(QByteArray()), s(name));
    EXPECT_TRUE(draft);
    return draft.value_or(StockDraft());
}

std::size_t rowOf(const StockDraft &draft, const char *part, const char *label)
{
    const auto rows = draft.rows();
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (rows[i].part.startsWith(s(part)) && rows[i].label == s(label))
            return i;
    }
    ADD_FAILURE() << part << ": " << label;
    return 0;
}

} // namespace

TEST(StockDraft, EveryStockComesThroughUnchanged)
{
    for (const QString &name : templateNamesIn(templatesFolder(s("labels")))) {
        StockDraft draft = draftOf(name.toUtf8().constData());
        const QByteArray before = draft.json();
        // Typing each value again as it stands must change nothing: every field of the README has a row.
        const auto rows = draft.rows();
        for (std::size_t i = 0; i < rows.size(); ++i)
            draft.set(i, rows[i].value);
        EXPECT_EQ(draft.json(), before) << name.toStdString();
        EXPECT_TRUE(draft.stock()) << name.toStdString();
    }
}

TEST(StockDraft, ATypedNumberMovesItsPartAndAWrongOneIsASentence)
{
    StockDraft draft = draftOf("cryo-10mm");
    const std::size_t width = rowOf(draft, "Labels on the page", "label width (mm)");
    draft.set(width, s("3"));
    const auto narrow = draft.stock();
    ASSERT_FALSE(narrow);
    EXPECT_TRUE(narrow.error().sentence.contains(s("label_width_mm")))
        << narrow.error().sentence.toStdString();
    draft.set(width, s("wide"));
    const auto word = draft.stock();
    ASSERT_FALSE(word);
    EXPECT_TRUE(word.error().sentence.contains(s("\"wide\""))) << word.error().sentence.toStdString();
    EXPECT_EQ(draft.rows()[width].value, s("wide")); // what was typed stays to be mended
    draft.set(width, s("36"));
    ASSERT_TRUE(draft.stock());
    const std::size_t x = rowOf(draft, "Second QR code", "from the left (mm)");
    EXPECT_EQ(draft.placeMm(x), QRectF(26, 0, 10, 10));
    draft.set(x, s("25.9"));
    EXPECT_DOUBLE_EQ(draft.stock()->secondCodeMm.left(), 25.9);
    draft.set(x, s("20"));
    EXPECT_TRUE(draft.stock().error().sentence.contains(s("lies upon")));
}

TEST(StockDraft, PartsComeAndGo)
{
    StockDraft draft = draftOf("a4-70x37");
    const auto before = draft.stock();
    ASSERT_TRUE(before);
    ASSERT_TRUE(draft.remove(rowOf(draft, "Second QR code", "side with quiet zone (mm)")));
    ASSERT_TRUE(draft.stock());
    EXPECT_TRUE(draft.stock()->secondCodeMm.isEmpty());
    draft.addText();
    draft.set(rowOf(draft, "Text 10", "says"), s("date, copy"));
    draft.set(rowOf(draft, "Text 10", "from the left (mm)"), s("52"));
    draft.set(rowOf(draft, "Text 10", "from the top (mm)"), s("19"));
    draft.set(rowOf(draft, "Text 10", "bold"), s("yes"));
    draft.addLine();
    draft.set(rowOf(draft, "Pencil line 2", "from the left (mm)"), s("52"));
    draft.set(rowOf(draft, "Pencil line 2", "from the top (mm)"), s("25"));
    const auto after = draft.stock();
    ASSERT_TRUE(after) << after.error().sentence.toStdString();
    EXPECT_EQ(after->texts.size(), before->texts.size() + 1);
    EXPECT_EQ(after->texts.back().fields, (QStringList{s("date"), s("copy")}));
    EXPECT_TRUE(after->texts.back().bold);
    EXPECT_EQ(after->lines.size(), before->lines.size() + 1);
    EXPECT_FALSE(draft.remove(rowOf(draft, "Page", "width (mm)")));
    draft.set(rowOf(draft, "Text 10", "says"), s("colour"));
    EXPECT_TRUE(draft.stock().error().sentence.contains(s("colour")));
    EXPECT_FALSE(StockDraft::fromJson("[1", s("x")));
}
