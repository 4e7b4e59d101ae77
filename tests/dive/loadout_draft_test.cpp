// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/loadout_draft.h"

#include "base/template_folder.h"
#include "base/user_templates.h"
#include "support/temp_dir.h"

using namespace holdfast;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

LoadoutDraft demo()
{
    const auto json = readTemplate(s("loadouts"), s("demo"));
    EXPECT_TRUE(json);
    const auto loadout = parseLoadout(*json, s("demo"));
    EXPECT_TRUE(loadout);
    return draftOf(*loadout);
}

class UserTemplates : public test::WithFolder
{
protected:
    void SetUp() override
    {
        WithFolder::SetUp();
        qputenv("HOLDFAST_USER_TEMPLATES", path(s("mine")).toUtf8());
    }
    void TearDown() override { qunsetenv("HOLDFAST_USER_TEMPLATES"); }
};

} // namespace

TEST(LoadoutDraft, EveryTemplateComesBackUnchanged)
{
    const auto names = templateNames(s("loadouts"));
    ASSERT_TRUE(names);
    for (const QString &name : *names) {
        const auto json = readTemplate(s("loadouts"), name);
        ASSERT_TRUE(json);
        const LoadoutDraft draft = draftOf(*parseLoadout(*json, name));
        EXPECT_EQ(jsonOf(draft), *json) << name.toStdString();
        EXPECT_TRUE(faultsOf(draft).isEmpty()) << faultsOf(draft).join(QLatin1Char(' ')).toStdString();
    }
}

TEST(LoadoutDraft, AGridOfSlotsIsReadAndLaidOutInsideItsBox)
{
    const auto grid = parseSlotGrid(s("c 2x4 5"));
    ASSERT_TRUE(grid);
    BoxDraft box;
    box.area = QRect(100, 200, 500, 260);
    layOutSlots(box, *grid);
    ASSERT_EQ(box.slotList.size(), 8u);
    EXPECT_EQ(box.slotList.front().code, s("C5"));
    EXPECT_EQ(box.slotList.back().code, s("C12"));
    for (const SlotSpec &slot : box.slotList)
        EXPECT_TRUE(box.area.contains(slot.area)) << slot.code.toStdString();
    for (const char *bad : {"", "B", "3x1", "B 0x2", "B 3", "B 21x2", "LONG 2x2"})
        EXPECT_FALSE(parseSlotGrid(s(bad))) << bad;
}

TEST(LoadoutDraft, ABoxMovesAndStretchesWithItsSlotsAndStaysInThePlan)
{
    LoadoutDraft draft = demo();
    const QRect before = draft.boxes[0].area;
    const QPoint slot = draft.boxes[0].slotList[0].area.topLeft() - before.topLeft();
    moveBox(draft, 0, {40, 20});
    EXPECT_EQ(draft.boxes[0].area, before.translated(40, 20));
    EXPECT_EQ(draft.boxes[0].slotList[0].area.topLeft() - draft.boxes[0].area.topLeft(), slot);
    moveBox(draft, 0, {-100000, -100000});
    EXPECT_EQ(draft.boxes[0].area.topLeft(), QPoint(0, 0));
    stretchBox(draft, 0, {100000, 100000});
    EXPECT_TRUE(QRect(QPoint(0, 0), draft.size).contains(draft.boxes[0].area));
    for (const SlotSpec &each : draft.boxes[0].slotList)
        EXPECT_TRUE(draft.boxes[0].area.contains(each.area));
    stretchBox(draft, 0, {-100000, -100000});
    EXPECT_EQ(draft.boxes[0].area.size(), QSize(40, 40));
}

TEST(LoadoutDraft, WhatIsWrongIsSaidInSentences)
{
    LoadoutDraft draft = demo();
    moveBox(draft, 0, {300, 0});
    ASSERT_FALSE(faultsOf(draft).isEmpty());
    EXPECT_TRUE(faultsOf(draft).join(QLatin1Char(' ')).contains(s("lie over each other")));
    draft = demo();
    draft.boxes[1].title = draft.boxes[0].title;
    EXPECT_TRUE(faultsOf(draft).join(QLatin1Char(' ')).contains(s("Two boxes are called")));
    draft = demo();
    draft.boxes[1].slotList[0].code = s("B1");
    EXPECT_TRUE(faultsOf(draft).join(QLatin1Char(' ')).contains(s("B1 is given twice")));
    draft = demo();
    draft.boxes[0].accepts = QStringList{s("treasure")};
    EXPECT_TRUE(faultsOf(draft).first().contains(s("accepts")));
    for (const QString &fault : faultsOf(draft))
        EXPECT_TRUE(fault.endsWith(QLatin1Char('.'))) << fault.toStdString();
}

TEST(LoadoutDraft, ANewBoxFindsRoomAndANameOfItsOwn)
{
    LoadoutDraft draft;
    draft.name = s("mine");
    draft.title = s("My vehicle");
    EXPECT_FALSE(faultsOf(draft).isEmpty()) << "no box yet";
    for (int i = 0; i < 6; ++i)
        addBox(draft);
    EXPECT_TRUE(faultsOf(draft).isEmpty()) << faultsOf(draft).join(QLatin1Char(' ')).toStdString();
}

TEST_F(UserTemplates, ALoadoutOfAPersonIsSavedAndFoundAgain)
{
    LoadoutDraft draft = demo();
    draft.name = s("mine-2");
    const auto own = saveUserTemplate(s("loadouts"), s("demo"), jsonOf(draft));
    ASSERT_FALSE(own);
    EXPECT_EQ(own.error().kind, ErrorKind::Duplicate);
    EXPECT_FALSE(saveUserTemplate(s("loadouts"), s("../evil"), jsonOf(draft)));
    ASSERT_OK(saveUserTemplate(s("loadouts"), s("mine-2"), jsonOf(draft)));
    ASSERT_OK(saveUserTemplate(s("loadouts"), s("mine-2"), jsonOf(draft)));
    EXPECT_TRUE(templateNames(s("loadouts"))->contains(s("mine-2")));
    const auto again = readTemplate(s("loadouts"), s("mine-2"));
    ASSERT_OK(again);
    EXPECT_EQ(*again, jsonOf(draft));
}
