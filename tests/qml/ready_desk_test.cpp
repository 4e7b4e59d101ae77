// SPDX-License-Identifier: GPL-3.0-or-later
#include "ready_desk.h"

#include "a_van.h"

#include <QAbstractItemModelTester>
#include <gtest/gtest.h>

namespace holdfast::test
{
namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class ReadyDeskTest : public testing::Test
{
protected:
    void SetUp() override { m_van.open(); }
    ReadyDesk &ready() { return m_van.work.ready; }
    bool answers(const char *words)
    {
        return QTest::qWaitFor([&] { return ready().answer() == s(words); });
    }
    Van m_van;
    QAbstractItemModelTester m_tester{m_van.work.ready.lines(),
                                      QAbstractItemModelTester::FailureReportingMode::Fatal};
};

TEST_F(ReadyDeskTest, EveryPointIsConfirmedByNameAndTakenBack)
{
    ASSERT_TRUE(answers("12 points are left"));
    for (int row = 0; row < 12; ++row)
        ready().confirm(row);
    ASSERT_TRUE(answers("nothing: all is in order"));
    EXPECT_EQ(m_van.verbs().count(s("ready checked")), 12);
    EXPECT_EQ(m_van.verbs().count(s("watch changed")), 1) << "confirming the watch names who logs";
    ASSERT_EQ(ready().watch().size(), 1);
    EXPECT_TRUE(ready().watch()[0].contains(s("Mara")));
    ready().undo();
    ASSERT_TRUE(answers("1 point is left"));
}

TEST_F(ReadyDeskTest, AFaultIsShownWithItsNote)
{
    ready().refuse(2, s("mud left in C3"));
    ASSERT_TRUE(answers("11 points are left, 1 is not in order"));
    const auto words = ready()
                           .lines()
                           ->data(ready().lines()->index(2), static_cast<int>(ReadyModel::Role::Words))
                           .toString();
    EXPECT_TRUE(words.contains(s("mud left in C3"))) << words.toStdString();
}

TEST_F(ReadyDeskTest, PermitsAndPlanAreTypedInAndTakenAway)
{
    EXPECT_FALSE(ready().addPermit(s("stony")));
    EXPECT_TRUE(ready().trouble().contains(s("stony 10"))) << ready().trouble().toStdString();
    EXPECT_TRUE(ready().addPermit(s("stony 2 permit 26/17")));
    EXPECT_TRUE(ready().trouble().isEmpty());
    EXPECT_TRUE(ready().addWanted(s("coral 2-6")));
    ASSERT_TRUE(
        QTest::qWaitFor([&] { return ready().permits().size() == 1 && ready().wanted().size() == 1; }));
    EXPECT_TRUE(ready().permits()[0].contains(s("2 left")));
    EXPECT_TRUE(ready().wanted()[0].contains(s("2 to go")));
    EXPECT_TRUE(ready().addPermit(s("stony off")));
    ASSERT_TRUE(QTest::qWaitFor([&] { return ready().permits().isEmpty(); }));
    ready().undo();
    ASSERT_TRUE(QTest::qWaitFor([&] { return ready().permits().size() == 1; }));
    EXPECT_TRUE(ready().permits()[0].contains(s("permit 26/17")));
}

TEST_F(ReadyDeskTest, AStampOverThePermitWarnsBeforeEnterAndIsNeverRefused)
{
    ASSERT_TRUE(ready().addPermit(s("stony 1")));
    ASSERT_TRUE(QTest::qWaitFor([&] { return ready().permits().size() == 1; }));
    DiveDesk &dive = m_van.work.dive;
    dive.stamp();
    ASSERT_TRUE(QTest::qWaitFor(
        [&] { return dive.stamps()->count() == 1 && !dive.stamps()->rows()[0].uuid.isEmpty(); }));
    dive.open(0);
    dive.setLine(s("coral b1 2 p:stony"));
    EXPECT_TRUE(dive.ready());
    EXPECT_TRUE(dive.advice().contains(s("2 of at most 1 stony"))) << dive.advice().toStdString();
    dive.place();
    ASSERT_TRUE(QTest::qWaitFor([&] { return dive.samples()->count() == 1; }));
    EXPECT_TRUE(dive.samples()->rows()[0].warning.contains(s("2 of at most 1 stony")));
    EXPECT_TRUE(QTest::qWaitFor([&] { return ready().permits()[0].contains(s("1 over")); }));
}

TEST_F(ReadyDeskTest, TheLogIsHandedOverByNameFromAnywhere)
{
    m_van.work.desk.setPerson(s("Ana"));
    ASSERT_TRUE(QTest::qWaitFor([&] { return m_van.verbs().count(s("watch changed")) == 1; }));
    ASSERT_TRUE(QTest::qWaitFor([&] { return m_van.work.desk.personWithTheLog() == s("Ana"); }));
    m_van.work.desk.setPerson(s("Ana"));
    EXPECT_TRUE(ready().addWatch(s("pilot Tomas")));
    ASSERT_TRUE(QTest::qWaitFor([&] { return ready().watch().size() == 2; }));
    EXPECT_TRUE(ready().addWatch(s("log Mara")));
    ASSERT_TRUE(QTest::qWaitFor([&] { return m_van.work.desk.personWithTheLog() == s("Mara"); }));
    EXPECT_EQ(m_van.work.desk.person(), s("Mara"));
    EXPECT_EQ(m_van.verbs().count(s("watch changed")), 3);
}

} // namespace
} // namespace holdfast::test
