// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive_desk.h"

#include "a_van.h"

#include <QAbstractItemModelTester>
#include <QProcess>
#include <QSignalSpy>
#include <gtest/gtest.h>

namespace holdfast::test
{
namespace
{

class DiveDeskTest : public testing::Test
{
protected:
    void SetUp() override { m_van.open(); }
    DiveDesk &dive() { return m_van.work.dive; }
    bool waits(int n)
    {
        return QTest::qWaitFor([&] {
            if (dive().stamps()->count() != n)
                return false;
            for (const auto &row : dive().stamps()->rows()) {
                if (row.uuid.isEmpty())
                    return false;
            }
            return true;
        });
    }
    bool taken(int n)
    {
        return QTest::qWaitFor([&] { return dive().samples()->count() == n && dive().openRow() < 0; });
    }
    /// Stamps, opens the stamp and places it by a line.
    void log(const char *line, int already)
    {
        dive().stamp();
        ASSERT_TRUE(waits(1));
        dive().open(0);
        dive().setLine(QString::fromUtf8(line));
        ASSERT_TRUE(dive().ready()) << dive().advice().toStdString();
        dive().place();
        ASSERT_TRUE(taken(already + 1));
    }
    Van m_van;
    QAbstractItemModelTester m_samples{m_van.work.dive.samples(),
                                       QAbstractItemModelTester::FailureReportingMode::Fatal};
    QAbstractItemModelTester m_stamps{m_van.work.dive.stamps(),
                                      QAbstractItemModelTester::FailureReportingMode::Fatal};
    QAbstractItemModelTester m_parts{m_van.work.dive.parts(),
                                     QAbstractItemModelTester::FailureReportingMode::Fatal};
};

TEST_F(DiveDeskTest, AStampIsCaughtAtOnceAndSavedAfterTheCommit)
{
    QSignalSpy saved(&dive(), &DiveDesk::stampSaved);
    dive().stamp();
    ASSERT_EQ(dive().stamps()->count(), 1);
    EXPECT_TRUE(dive().stamps()->rows()[0].uuid.isEmpty()) << "the window must not wait for the disk";
    ASSERT_TRUE(waits(1));
    EXPECT_EQ(saved.count(), 1);
    EXPECT_EQ(m_van.verbs().count(QStringLiteral("stamp taken")), 1);
}

TEST_F(DiveDeskTest, ThreeStampsInARowKeepTheirOwnTimes)
{
    for (int i = 0; i < 3; ++i)
        dive().stamp();
    ASSERT_TRUE(waits(3));
    const auto &rows = dive().stamps()->rows();
    EXPECT_LT(rows[0].timeUs, rows[1].timeUs);
    EXPECT_LT(rows[1].timeUs, rows[2].timeUs);
}

TEST_F(DiveDeskTest, AQuickLinePlacesASample)
{
    log("white coral b2 2", 0);
    EXPECT_EQ(m_van.samples(), QStringList{QStringLiteral("TK26-01-001 B2 coral 2 held")});
}

TEST_F(DiveDeskTest, ATakenSlotIsRefusedBeforeEnter)
{
    log("coral b2", 0);
    dive().stamp();
    ASSERT_TRUE(waits(1));
    dive().open(0);
    dive().setLine(QStringLiteral("sponge b2"));
    EXPECT_FALSE(dive().ready());
    EXPECT_TRUE(dive().advice().contains(QStringLiteral("B2"))) << dive().advice().toStdString();
    dive().place();
    dive().setLine(QStringLiteral("sponge b3"));
    EXPECT_TRUE(dive().ready());
}

TEST_F(DiveDeskTest, MixingInARockBoxIsWarnedOfAndKept)
{
    log("basalt r1", 0);
    dive().stamp();
    ASSERT_TRUE(waits(1));
    dive().open(0);
    dive().setLine(QStringLiteral("basalt r1"));
    EXPECT_TRUE(dive().ready());
    EXPECT_TRUE(dive().advice().contains(QStringLiteral("kept")));
    dive().place();
    ASSERT_TRUE(taken(2));
    EXPECT_FALSE(dive().samples()->rows()[0].warning.isEmpty());
}

TEST_F(DiveDeskTest, ArrowsChooseTheSlotWhereTheLineNamesNone)
{
    dive().stamp();
    ASSERT_TRUE(waits(1));
    dive().open(0);
    dive().setLine(QStringLiteral("coral"));
    EXPECT_FALSE(dive().ready());
    dive().chooseSlot(dive().slotPlan()->rowOf(QStringLiteral("B1")));
    dive().moveChoice(SlotModel::Direction::Down);
    EXPECT_TRUE(dive().ready());
    dive().place();
    ASSERT_TRUE(taken(1));
    EXPECT_EQ(m_van.samples(), QStringList{QStringLiteral("TK26-01-001 B2 coral 1 held")});
}

TEST_F(DiveDeskTest, UndoOfPlacingKeepsTheNumberAndTheMomentWaitsAgain)
{
    log("coral b2", 0);
    const qint64 moment = dive().samples()->rows()[0].timeUs;
    dive().undo();
    ASSERT_TRUE(waits(1));
    EXPECT_EQ(dive().stamps()->rows()[0].timeUs, moment);
    EXPECT_EQ(m_van.samples(), QStringList{QStringLiteral("TK26-01-001 B2 coral 1 void")});
    dive().open(0);
    dive().setLine(QStringLiteral("sponge b2"));
    ASSERT_TRUE(dive().ready()) << dive().advice().toStdString();
    dive().place();
    ASSERT_TRUE(taken(2));
    EXPECT_EQ(m_van.samples().last(), QStringLiteral("TK26-01-002 B2 sponge 1 held"));
}

TEST_F(DiveDeskTest, EnterBeforeTheStampIsSavedPlacesItOnceItIs)
{
    dive().stamp();
    dive().open(0);
    dive().setLine(QStringLiteral("coral b2"));
    ASSERT_TRUE(dive().stamps()->rows()[0].uuid.isEmpty()) << "it must still be on its way to the disk";
    ASSERT_TRUE(dive().ready()) << dive().advice().toStdString();
    dive().place();
    EXPECT_FALSE(dive().ready());
    EXPECT_TRUE(dive().advice().contains(QStringLiteral("on its way"))) << dive().advice().toStdString();
    dive().place(); // an impatient second Enter
    dive().setLine(QStringLiteral("coral b3"));
    dive().place();
    ASSERT_TRUE(taken(1));
    EXPECT_EQ(m_van.verbs().count(QStringLiteral("sample logged")), 1);
    EXPECT_EQ(dive().samples()->rows()[0].slot, QStringLiteral("B2"));
}

TEST_F(DiveDeskTest, AFailedAttemptBeforeTheStampIsSavedIsRecordedOnceItIs)
{
    dive().stamp();
    dive().open(0);
    dive().fail(QStringLiteral("slipped off"));
    dive().fail(QStringLiteral("slipped off"));
    ASSERT_TRUE(QTest::qWaitFor([&] { return dive().stamps()->count() == 0; }));
    EXPECT_EQ(m_van.verbs().count(QStringLiteral("stamp failed")), 1);
}

TEST_F(DiveDeskTest, ACommitThatComesLateTakesNoKeysFromWhatIsTypedNext)
{
    QSignalSpy placed(&dive(), &DiveDesk::placed);
    dive().stamp();
    QTest::qSleep(2);
    dive().stamp();
    dive().open(0);
    dive().setLine(QStringLiteral("coral b2"));
    dive().place();
    dive().open(1);
    dive().setLine(QStringLiteral("sponge b3"));
    ASSERT_TRUE(QTest::qWaitFor([&] { return dive().samples()->count() == 1; }));
    EXPECT_EQ(placed.count(), 0);
    EXPECT_EQ(dive().line(), QStringLiteral("sponge b3"));
    ASSERT_TRUE(QTest::qWaitFor([&] { return !dive().stamps()->rows().front().uuid.isEmpty(); }));
    dive().place();
    ASSERT_TRUE(QTest::qWaitFor([&] { return dive().samples()->count() == 2; }));
    EXPECT_EQ(placed.count(), 1);
}

TEST_F(DiveDeskTest, UndoGoesBackThroughPlacingToTheStampItself)
{
    log("coral b2", 0);
    dive().undo();
    ASSERT_TRUE(waits(1));
    dive().undo();
    ASSERT_TRUE(waits(0));
    EXPECT_TRUE(dive().undoText().isEmpty());
    EXPECT_EQ(m_van.verbs().last(), QStringLiteral("stamp set aside"));
}

TEST_F(DiveDeskTest, AFailedAttemptIsKeptAndCanBeReopened)
{
    dive().stamp();
    ASSERT_TRUE(waits(1));
    dive().open(0);
    dive().fail(QStringLiteral("lost at the box"));
    ASSERT_TRUE(taken(1));
    EXPECT_EQ(dive().samples()->rows()[0].state, QStringLiteral("failed"));
    EXPECT_EQ(dive().reasons(), QStringList{QStringLiteral("lost at the box")});
    dive().undo();
    ASSERT_TRUE(waits(1));
    EXPECT_EQ(dive().samples()->count(), 0);
}

TEST_F(DiveDeskTest, WhatWasTypedForAStampIsKeptWhenAnotherIsOpened)
{
    dive().stamp();
    dive().stamp();
    ASSERT_TRUE(waits(2));
    dive().open(0);
    dive().setLine(QStringLiteral("coral"));
    dive().open(1);
    EXPECT_TRUE(dive().line().isEmpty());
    dive().open(0);
    EXPECT_EQ(dive().line(), QStringLiteral("coral"));
}

TEST_F(DiveDeskTest, PhasesAreReachedInOrder)
{
    EXPECT_EQ(dive().nextPhase(), QStringLiteral("launched"));
    dive().reachNextPhase();
    ASSERT_TRUE(QTest::qWaitFor([&] { return dive().nextPhase() == QLatin1String("on bottom"); }));
    EXPECT_TRUE(dive().phaseText().startsWith(QLatin1String("launched"))) << dive().phaseText().toStdString();
}

TEST_F(DiveDeskTest, UndoTakesAPhaseBackBeforeWhatWasDoneEarlier)
{
    log("coral b2", 0);
    dive().reachNextPhase();
    ASSERT_TRUE(QTest::qWaitFor([&] { return dive().nextPhase() == QLatin1String("on bottom"); }));
    EXPECT_TRUE(dive().undoText().contains(QStringLiteral("launched"))) << dive().undoText().toStdString();
    dive().undo();
    ASSERT_TRUE(QTest::qWaitFor([&] { return dive().nextPhase() == QLatin1String("launched"); }));
    EXPECT_EQ(m_van.verbs().last(), QStringLiteral("phase taken back"));
    EXPECT_EQ(m_van.samples(), QStringList{QStringLiteral("TK26-01-001 B2 coral 1 held")});
    EXPECT_EQ(m_van.tablesFit(), QString());
}

TEST_F(DiveDeskTest, AStampGoesIntoTheDiveInTheWaterWhicheverIsShown)
{
    m_van.planOneMore(2);
    m_van.reach(1, Phase::Launched);
    m_van.work.desk.showDive(2);
    ASSERT_TRUE(QTest::qWaitFor([&] { return m_van.work.desk.dive() == 2; }));
    dive().stamp();
    ASSERT_TRUE(
        QTest::qWaitFor([&] { return m_van.work.desk.dive() == 1 && dive().stamps()->count() == 1; }));
    const QStringList bodies = m_van.bodies(QStringLiteral("stamp taken"));
    ASSERT_EQ(bodies.size(), 1);
    EXPECT_TRUE(bodies.front().contains(QStringLiteral("\"dive\":1"))) << bodies.front().toStdString();
}

TEST_F(DiveDeskTest, WhatCouldBeTakenBackStaysWithItsCruise)
{
    log("coral b2", 0);
    EXPECT_NE(dive().undoText(), QString());
    Van other;
    m_van.work.desk.openFile(other.path());
    ASSERT_TRUE(QTest::qWaitFor([&] { return m_van.work.desk.path() == other.path(); }));
    EXPECT_EQ(dive().undoText(), QString());
    const QStringList before = other.verbs();
    dive().undo();
    QTest::qWait(100);
    EXPECT_EQ(other.verbs(), before);
}

TEST_F(DiveDeskTest, WhatIsPressedWhileAnotherCruiseOpensBelongsToTheOneThatIsShown)
{
    Van other; // it has a dive 1, too
    const auto useKeysOf = [](const Van &van) {
        qputenv("HOLDFAST_KEYS", QDir(van.folder()).filePath(QStringLiteral("keys")).toUtf8());
    };
    useKeysOf(m_van);
    const QStringList before = other.verbs();
    m_van.work.desk.openFile(other.path());
    dive().stamp();
    ASSERT_TRUE(QTest::qWaitFor([&] { return m_van.work.desk.path() == other.path(); }));
    EXPECT_EQ(m_van.verbs().count(QStringLiteral("stamp taken")), 1);
    EXPECT_EQ(other.verbs(), before);
    useKeysOf(other);
    dive().stamp();
    ASSERT_TRUE(QTest::qWaitFor([&] { return other.verbs().contains(QStringLiteral("stamp taken")); }));
    EXPECT_EQ(m_van.verbs().count(QStringLiteral("stamp taken")), 1);
}

TEST_F(DiveDeskTest, AFileThatCantBeOpenedLeavesTheCruiseAsItWas)
{
    const QString broken = QDir(m_van.folder()).filePath(QStringLiteral("broken.hfc"));
    QFile file(broken);
    ASSERT_TRUE(file.open(QIODevice::WriteOnly) && file.write("no cruise file at all") > 0);
    file.close();
    log("coral b2", 0);
    const QString undo = dive().undoText();
    ASSERT_NE(undo, QString());
    m_van.work.desk.openFile(broken);
    ASSERT_TRUE(QTest::qWaitFor([&] { return m_van.work.notices.rowCount() > 0; })) << "it must be told";
    EXPECT_EQ(m_van.work.desk.path(), m_van.path());
    EXPECT_EQ(dive().undoText(), undo);
    const auto taken = m_van.verbs().count(QStringLiteral("stamp taken"));
    dive().stamp();
    ASSERT_TRUE(
        QTest::qWaitFor([&] { return m_van.verbs().count(QStringLiteral("stamp taken")) == taken + 1; }));
}

TEST_F(DiveDeskTest, ACaughtMomentKeepsItsFileAndItsWindow)
{
    Van other;
    qputenv("HOLDFAST_KEYS", QDir(m_van.folder()).filePath(QStringLiteral("keys")).toUtf8());
    QProcess holder;
    holder.start(qEnvironmentVariable("HOLDFAST_BINARY_DIR") + QStringLiteral("/tests/qml/lock_holder"),
                 {m_van.path(), QStringLiteral("7000")});
    ASSERT_TRUE(holder.waitForStarted());
    ASSERT_TRUE(holder.waitForReadyRead(5000)) << holder.readAllStandardError().toStdString();
    EXPECT_TRUE(m_van.work.desk.mayClose());
    dive().stamp();
    m_van.work.desk.openFile(other.path()); // asked for while the stamp is tried for the first time
    ASSERT_TRUE(QTest::qWaitFor([&] { return m_van.work.desk.unsaved() > 0; }, 8000));
    QTest::qWait(50);
    EXPECT_EQ(m_van.work.desk.path(), m_van.path()) << "the other file waits";
    EXPECT_FALSE(m_van.work.desk.mayClose());
    EXPECT_TRUE(m_van.work.desk.mayClose()) << "said twice";
    holder.waitForFinished(8000);
    ASSERT_TRUE(QTest::qWaitFor([&] { return m_van.work.desk.unsaved() == 0; }, 15000));
    EXPECT_EQ(m_van.verbs().count(QStringLiteral("stamp taken")), 1);
    EXPECT_FALSE(other.verbs().contains(QStringLiteral("stamp taken")));
    EXPECT_TRUE(QTest::qWaitFor([&] { return m_van.work.desk.path() == other.path(); })) << "then it opens";
}

TEST_F(DiveDeskTest, LidAndReachAreSeenOnThePlan)
{
    const int row = dive().slotPlan()->rowOf(QStringLiteral("B1"));
    dive().chooseSlot(row);
    dive().toggleLid();
    ASSERT_TRUE(
        QTest::qWaitFor([&] { return dive().slotPlan()->states()[static_cast<std::size_t>(row)].lidOpen; }));
    dive().toggleReach();
    ASSERT_TRUE(QTest::qWaitFor(
        [&] { return !dive().slotPlan()->states()[static_cast<std::size_t>(row)].reachable; }));
    EXPECT_TRUE(dive().slotPlan()->counts().contains(QStringLiteral("out of reach 1")));
}

TEST(DiveDeskWithoutADive, SaysWhatIsMissingInsteadOfStamping)
{
    Van van;
    van.work.dive.stamp();
    EXPECT_EQ(van.work.dive.stamps()->count(), 0);
    EXPECT_EQ(van.work.notices.total(), 1);
}

} // namespace
} // namespace holdfast::test
