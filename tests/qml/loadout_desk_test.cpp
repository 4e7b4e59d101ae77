// SPDX-License-Identifier: GPL-3.0-or-later
#include "loadout_desk.h"

#include "a_van.h"
#include "base/user_templates.h"

#include <gtest/gtest.h>

namespace holdfast::test
{
namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class LoadoutDeskTest : public testing::Test
{
protected:
    LoadoutDeskTest() { qputenv("HOLDFAST_USER_TEMPLATES", (m_van.folder() + s("/mine")).toUtf8()); }
    ~LoadoutDeskTest() override { qunsetenv("HOLDFAST_USER_TEMPLATES"); }
    Van m_van;
    LoadoutDesk &loadout() { return m_van.work.loadout; }
};

TEST_F(LoadoutDeskTest, ALoadoutIsMadeSavedAndUsedForADive)
{
    loadout().begin(s("small"));
    EXPECT_TRUE(loadout().faults().isEmpty());
    EXPECT_FALSE(loadout().save()) << "the program's own is not written over";
    EXPECT_TRUE(loadout().said().contains(s("another name"))) << loadout().said().toStdString();
    loadout().setName(s("small-2"));
    loadout().setField(s("slots"), s("B 1x4"));
    loadout().setField(s("unload"), s("3"));
    EXPECT_EQ(loadout().fields().value(s("slots")).toString(), s("B1 B2 B3 B4"));
    ASSERT_TRUE(loadout().save()) << loadout().said().toStdString();
    m_van.open();
    m_van.work.cruise.planDive(s("Other vehicle"), s("small-2"));
    ASSERT_TRUE(QTest::qWaitFor([&] { return m_van.work.desk.dive() == 2; }));
    EXPECT_GE(m_van.work.dive.slotPlan()->rowOf(s("B4")), 0);
}

TEST_F(LoadoutDeskTest, ABadOneIsNotSavedAndSaysWhy)
{
    loadout().begin(s("small"));
    loadout().setName(s("bad"));
    loadout().step(1);
    loadout().setField(s("slots"), s("B 1x1"));
    ASSERT_FALSE(loadout().faults().isEmpty());
    EXPECT_FALSE(loadout().save());
    EXPECT_TRUE(loadout().said().contains(s("B1 is given twice"))) << loadout().said().toStdString();
    loadout().undo();
    EXPECT_TRUE(loadout().faults().isEmpty());
    loadout().setField(s("unload"), s("first"));
    EXPECT_TRUE(loadout().said().contains(s("whole number")));
    loadout().setField(s("slots"), s("many"));
    EXPECT_TRUE(loadout().said().contains(s("B 3x1")));
    loadout().setField(s("marks"), s("lid gold"));
    EXPECT_TRUE(loadout().said().contains(s("gold")));
}

TEST_F(LoadoutDeskTest, BoxesAreAddedMovedAndRemoved)
{
    loadout().begin({});
    EXPECT_EQ(loadout().boxes().size(), 1);
    const double x = loadout().boxes()[0].toMap().value(s("x")).toDouble();
    loadout().move(20, 0);
    EXPECT_GT(loadout().boxes()[0].toMap().value(s("x")).toDouble(), x);
    loadout().addBox();
    EXPECT_EQ(loadout().current(), 1);
    loadout().removeBox();
    EXPECT_EQ(loadout().boxes().size(), 1);
    loadout().removeBox();
    EXPECT_EQ(loadout().current(), -1);
    loadout().move(20, 0);
    loadout().undo();
    EXPECT_EQ(loadout().boxes().size(), 1);
}

} // namespace
} // namespace holdfast::test
