// SPDX-License-Identifier: GPL-3.0-or-later
#include "sample_desk.h"

#include "a_van.h"

#include <gtest/gtest.h>

namespace holdfast::test
{
namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class SampleDeskTest : public testing::Test
{
protected:
    void SetUp() override
    {
        m_van.open();
        log("coral b1 \"white fan\" 2 @Ana p:stony t:scoop");
        log("sponge b2");
        log("basalt r1");
    }
    DiveDesk &dive() { return m_van.work.dive; }
    SampleDesk &hand() { return *dive().hand(); }
    void log(const char *line)
    {
        const int before = dive().samples()->count();
        dive().stamp();
        ASSERT_TRUE(QTest::qWaitFor(
            [&] { return dive().stamps()->count() == 1 && !dive().stamps()->rows()[0].uuid.isEmpty(); }));
        dive().open(0);
        dive().setLine(s(line));
        ASSERT_TRUE(dive().ready()) << dive().advice().toStdString();
        dive().place();
        ASSERT_TRUE(QTest::qWaitFor([&] { return dive().samples()->count() == before + 1; }));
    }
    void go(const char *slot) { dive().chooseSlot(dive().slotPlan()->rowOf(s(slot))); }
    bool becomes(int index, const char *row)
    {
        return QTest::qWaitFor([&] { return m_van.samples().value(index) == s(row); });
    }
    bool undoIs(const char *words)
    {
        return QTest::qWaitFor([&] { return dive().undoText().contains(s(words)); });
    }
    Van m_van;
};

TEST_F(SampleDeskTest, TheCursorChoosesWhatLiesInTheSlot)
{
    go("B1");
    EXPECT_EQ(hand().number(), s("001"));
    EXPECT_TRUE(hand().words().contains(s("white fan"))) << hand().words().toStdString();
    go("B3");
    EXPECT_TRUE(hand().words().isEmpty());
    hand().step(1);
    EXPECT_EQ(hand().number(), s("003")) << "the newest first";
    EXPECT_EQ(dive().chosenSlot(), dive().slotPlan()->rowOf(s("R1")));
}

TEST_F(SampleDeskTest, ASampleIsMovedAndTheMoveTakenBack)
{
    go("B1");
    hand().pickUp();
    go("B3");
    ASSERT_TRUE(hand().ready()) << hand().advice().toStdString();
    hand().putDown();
    ASSERT_TRUE(becomes(0, "TK26-01-001 B3 coral 2 held"));
    ASSERT_TRUE(undoIs("the move of 001 from B1 to B3"));
    dive().undo();
    ASSERT_TRUE(becomes(0, "TK26-01-001 B1 coral 2 held"));
    EXPECT_EQ(m_van.verbs().count(s("sample moved")), 2) << "the record keeps both";
}

TEST_F(SampleDeskTest, ATakenSlotOffersAnExchangeAndARockIsRefusedInABiobox)
{
    go("B1");
    hand().pickUp();
    go("B2");
    EXPECT_FALSE(hand().ready());
    ASSERT_TRUE(hand().exchanges());
    hand().exchange();
    ASSERT_TRUE(becomes(0, "TK26-01-001 B2 coral 2 held"));
    EXPECT_TRUE(becomes(1, "TK26-01-002 B1 sponge 1 held"));
    ASSERT_TRUE(undoIs("the exchange"));
    dive().undo();
    ASSERT_TRUE(becomes(0, "TK26-01-001 B1 coral 2 held"));
    ASSERT_TRUE(becomes(1, "TK26-01-002 B2 sponge 1 held"));
    ASSERT_TRUE(QTest::qWaitFor([&] { return dive().slotPlan()->states()[0].held.size() == 1; }));
    go("R1");
    hand().pickUp();
    go("B1");
    EXPECT_FALSE(hand().ready());
    EXPECT_FALSE(hand().exchanges()) << "a rock would crush what lives in a biobox";
    hand().letGo();
    EXPECT_FALSE(hand().carrying());
}

TEST_F(SampleDeskTest, RocksMovedTogetherAreWarnedOf)
{
    log("basalt r2");
    go("R2");
    hand().pickUp();
    go("R1");
    ASSERT_TRUE(hand().ready());
    EXPECT_TRUE(hand().advice().contains(s("mixed"))) << hand().advice().toStdString();
}

TEST_F(SampleDeskTest, AmendingRecordsOnlyWhatTheLineChanges)
{
    go("B1");
    hand().beginAmend();
    EXPECT_EQ(hand().line(), s("coral 2 \"white fan\" @Ana p:stony t:scoop"));
    EXPECT_FALSE(hand().ready());
    hand().setLine(s("coral 3 \"white fan\" @Ana p:stony t:scoop"));
    ASSERT_TRUE(hand().ready()) << hand().advice().toStdString();
    hand().amend(s("counted again"));
    ASSERT_TRUE(becomes(0, "TK26-01-001 B1 coral 3 held"));
    const auto db = Database::open(m_van.path(), Database::Access::ReadOnly);
    ASSERT_TRUE(db);
    const auto amendments = readAmendments(*db, 1);
    ASSERT_TRUE(amendments);
    ASSERT_EQ(amendments->size(), 1u);
    EXPECT_EQ(amendments->at(0).field, s("count"));
    EXPECT_EQ(amendments->at(0).oldValue, s("2"));
    EXPECT_EQ(amendments->at(0).reason, s("counted again"));
    ASSERT_TRUE(undoIs("the amendment of 001"));
    dive().undo();
    ASSERT_TRUE(becomes(0, "TK26-01-001 B1 coral 2 held"));
}

TEST_F(SampleDeskTest, ALostSampleFreesItsSlotAndCanBeHeldAgain)
{
    go("B1");
    hand().setState(s("lost"), s("spilled on the way up"));
    ASSERT_TRUE(becomes(0, "TK26-01-001 B1 coral 2 lost"));
    ASSERT_TRUE(QTest::qWaitFor([&] { return dive().slotPlan()->states()[0].held.isEmpty(); }));
    EXPECT_FALSE(hand().held());
    hand().pickUp();
    EXPECT_FALSE(hand().carrying());
    EXPECT_EQ(m_van.work.notices.total(), 1);
    ASSERT_TRUE(undoIs("001 is lost"));
    dive().undo();
    ASSERT_TRUE(becomes(0, "TK26-01-001 B1 coral 2 held"));
}

TEST_F(SampleDeskTest, TheLidOfABoxMovesForAllItsSlotsAndItsTimeIsShown)
{
    go("B1");
    dive().toggleLid();
    ASSERT_TRUE(QTest::qWaitFor([&] { return dive().slotPlan()->states()[2].lidOpen; }));
    EXPECT_TRUE(dive().slotText().contains(s("lid open"))) << dive().slotText().toStdString();
    log("coral b3");
    go("B1");
    EXPECT_TRUE(dive().slotText().contains(s("004 went in beside it"))) << dive().slotText().toStdString();
    EXPECT_EQ(m_van.verbs().count(s("lid moved")), 3);
    dive().undo(); // 004
    ASSERT_TRUE(QTest::qWaitFor([&] { return dive().stamps()->count() == 1; }));
}

} // namespace
} // namespace holdfast::test
