// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/actions.h"
#include "dive/slot_conditions.h"

#include "support/a_cruise.h"

using namespace holdfast;
using test::at;

namespace
{
class Collecting : public test::WithCruise
{
};
QString s(const char *text)
{
    return QString::fromUtf8(text);
}
} // namespace

TEST_F(Collecting, ASampleGetsTheNextIdAndItsSlot)
{
    const auto first = sample(s("B2"), s("coral"));
    ASSERT_OK(first);
    EXPECT_EQ(first->id, s("TK26-01-001"));
    EXPECT_TRUE(first->warnings.isEmpty());
    const auto second = sample(s("r1"), s("Basalt"), 3);
    ASSERT_OK(second);
    EXPECT_EQ(second->id, s("TK26-01-002"));
    const auto all = readSamples(file().db(), 1);
    ASSERT_OK(all);
    ASSERT_EQ(all->size(), 2u);
    EXPECT_EQ(all->at(1).slot, s("R1"));
    EXPECT_EQ(all->at(1).family, s("rock"));
    EXPECT_EQ(all->at(1).count, 3);
    EXPECT_EQ(all->at(1).loggedBy, s("Mara"));
    expectTablesFitTheLedger();
}

TEST_F(Collecting, ATakenSlotIsRefusedAndNothingIsWritten)
{
    ASSERT_OK(sample(s("B2"), s("coral")));
    const qint64 before = entries();
    const auto second = sample(s("B2"), s("sponge"));
    ASSERT_FALSE(second);
    EXPECT_EQ(second.error().kind, ErrorKind::Refused);
    EXPECT_TRUE(second.error().sentence.contains(s("TK26-01-001"))) << second.error().sentence.toStdString();
    EXPECT_TRUE(second.error().sentence.contains(s("B1")));
    EXPECT_EQ(entries(), before);
}

TEST_F(Collecting, RocksMayLieTogetherWithARecordedWarning)
{
    ASSERT_OK(sample(s("R1"), s("rock")));
    const auto second = sample(s("R1"), s("rock"));
    ASSERT_OK(second);
    ASSERT_EQ(second->warnings.size(), 1);
    const auto all = readSamples(file().db(), 1);
    ASSERT_OK(all);
    EXPECT_EQ(all->at(1).warnings, second->warnings);
    expectTablesFitTheLedger();
}

TEST_F(Collecting, TheWrongKindOrAnUnknownSlotIsRefused)
{
    for (const auto &[slot, kind] :
         {std::pair{"B1", "rock"}, {"R1", "coral"}, {"C1", "sponge"}, {"N1", "basalt"}, {"J1", "water"}}) {
        const auto logged = sample(s(slot), s(kind));
        ASSERT_FALSE(logged) << slot;
        EXPECT_EQ(logged.error().kind, ErrorKind::Refused) << slot;
    }
    const auto unknown = sample(s("Z9"), s("rock"));
    ASSERT_FALSE(unknown);
    EXPECT_EQ(unknown.error().kind, ErrorKind::NotFound);
    EXPECT_TRUE(unknown.error().sentence.contains(s("R1")));
    EXPECT_FALSE(sample(s("B1"), s(" ")));
    EXPECT_FALSE(sample(s("B1"), s("coral"), 0));
}

TEST_F(Collecting, AWordThatIsNotInTheListIsKeptWithAWarning)
{
    const auto logged = sample(s("B1"), s("unheard-of thing"));
    ASSERT_OK(logged);
    EXPECT_EQ(logged->warnings.size(), 1);
}

TEST_F(Collecting, NumbersAreNeverGivenAgain)
{
    const auto first = sample(s("B1"), s("coral"));
    ASSERT_OK(first);
    ASSERT_OK(setSampleState(file(), act(), first->id, s("void"), s("the arm had not closed")));
    const auto second = sample(s("B1"), s("coral"));
    ASSERT_OK(second);
    EXPECT_EQ(second->id, s("TK26-01-002"));
    EXPECT_FALSE(setSampleState(file(), act(), first->id, s("held"), s("it was there after all")))
        << "its slot is taken now";
    expectTablesFitTheLedger();
}

TEST_F(Collecting, StampsWaitFailOrAreSetAsideWithAReason)
{
    const auto stamp = takeStamp(file(), act(), 1, at("2026-03-12T10:00:00.123456Z"));
    ASSERT_OK(stamp);
    EXPECT_FALSE(failStamp(file(), act(), *stamp, s("  ")));
    ASSERT_OK(failStamp(file(), act(), *stamp, s("lost at the box")));
    EXPECT_FALSE(setStampAside(file(), act(), *stamp, s("twice")));
    ASSERT_OK(reopenStamp(file(), act(), *stamp));
    ASSERT_OK(setStampAside(file(), act(), *stamp, s("only a photograph")));
    const auto all = readStamps(file().db(), 1);
    ASSERT_OK(all);
    ASSERT_EQ(all->size(), 1u);
    EXPECT_EQ(all->at(0).state, s("set aside"));
    EXPECT_EQ(all->at(0).reason, s("only a photograph"));
    EXPECT_EQ(all->at(0).time, at("2026-03-12T10:00:00.123456Z"));
    SampleDetails d;
    d.kind = s("coral");
    EXPECT_FALSE(logSample(file(), act(), *stamp, d, m_kinds))
        << "a stamp that is set aside must be reopened first";
    expectTablesFitTheLedger();
}

TEST_F(Collecting, MovingFollowsTheSameRulesAndSwappingExchanges)
{
    const auto coral = sample(s("B1"), s("coral"));
    const auto sponge = sample(s("B2"), s("sponge"));
    ASSERT_OK(coral);
    ASSERT_OK(sponge);
    EXPECT_FALSE(moveSample(file(), act(), coral->id, s("B2"), s("")));
    EXPECT_FALSE(moveSample(file(), act(), coral->id, s("R1"), s("")));
    EXPECT_FALSE(moveSample(file(), act(), coral->id, s("B1"), s("")));
    ASSERT_OK(swapSamples(file(), act(), coral->id, sponge->id, s("typed the wrong way round")));
    ASSERT_OK(moveSample(file(), act(), coral->id, s("B6"), s("more room")));
    const auto read = readSample(file().db(), coral->id);
    ASSERT_OK(read);
    EXPECT_EQ(read->slot, s("B6"));
    const auto amendments = readAmendments(file().db(), 1);
    ASSERT_OK(amendments);
    ASSERT_EQ(amendments->size(), 3u);
    EXPECT_EQ(amendments->at(2).oldValue, s("B2"));
    EXPECT_EQ(amendments->at(2).newValue, s("B6"));
    expectTablesFitTheLedger();
}

TEST_F(Collecting, AnAmendmentKeepsWhatWasSaidBefore)
{
    const auto logged = sample(s("B1"), s("coral"));
    ASSERT_OK(logged);
    ASSERT_OK(amendSample(file(), act(), logged->id, {{s("kind"), s("sponge")}, {s("count"), s("2")}},
                          s("seen better on deck"), m_kinds));
    const qint64 before = entries();
    ASSERT_OK(amendSample(file(), act(), logged->id, {{s("kind"), s("sponge")}}, s("again"), m_kinds));
    EXPECT_EQ(entries(), before) << "nothing changed, nothing is written";
    EXPECT_FALSE(amendSample(file(), act(), logged->id, {{s("count"), s("many")}}, s(""), m_kinds));
    EXPECT_FALSE(amendSample(file(), act(), logged->id, {{s("time"), s("now")}}, s(""), m_kinds));
    const auto amendments = readAmendments(file().db(), 1);
    ASSERT_OK(amendments);
    ASSERT_EQ(amendments->size(), 2u);
    EXPECT_EQ(amendments->at(1).field, s("kind"));
    EXPECT_EQ(amendments->at(1).oldValue, s("coral"));
    EXPECT_EQ(amendments->at(1).reason, s("seen better on deck"));
    expectTablesFitTheLedger();
}

TEST_F(Collecting, PhasesComeInOrder)
{
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::Launched, at("2026-03-12T08:10:00Z")));
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OnBottom, at("2026-03-12T09:10:00Z")));
    EXPECT_FALSE(reachPhase(file(), act(), 1, Phase::OffBottom, at("2026-03-12T09:00:00Z")));
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OnBottom, at("2026-03-12T09:11:00Z"))); // a correction
    const auto dive = readDive(file().db(), 1);
    ASSERT_OK(dive);
    EXPECT_EQ(*dive->onBottom, at("2026-03-12T09:11:00Z"));
    SampleDetails d;
    d.kind = s("rock");
    const auto early = stampSample(file(), act(), 1, at("2026-03-12T08:00:00Z"), d, m_kinds);
    ASSERT_OK(early);
    EXPECT_EQ(early->warnings.size(), 1);
    expectTablesFitTheLedger();
}

TEST_F(Collecting, APhaseRecordedByMistakeIsTakenBackTheLastFirst)
{
    EXPECT_FALSE(takeBackPhase(file(), act(), 1, Phase::Launched)) << "it was not recorded";
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::Launched, at("2026-03-12T08:10:00Z")));
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OnBottom, at("2026-03-12T09:10:00Z")));
    const auto first = takeBackPhase(file(), act(), 1, Phase::Launched);
    ASSERT_FALSE(first);
    EXPECT_TRUE(first.error().sentence.contains(s("on bottom"))) << first.error().sentence.toStdString();
    ASSERT_OK(takeBackPhase(file(), act(), 1, Phase::OnBottom));
    const auto dive = readDive(file().db(), 1);
    ASSERT_OK(dive);
    EXPECT_FALSE(dive->onBottom);
    EXPECT_TRUE(dive->launched);
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OnBottom, at("2026-03-12T09:20:00Z")));
    expectTablesFitTheLedger();
}

TEST_F(Collecting, LidsAndReachWarnButDoNotBlock)
{
    ASSERT_OK(moveLids(file(), act(), 1, {s("B1")}, true, at("2026-03-12T09:00:00Z")));
    ASSERT_OK(moveLids(file(), act(), 1, {s("B1")}, false, at("2026-03-12T09:05:00Z")));
    ASSERT_OK(setReaches(file(), act(), 1, {s("B2")}, false));
    const auto shut = sample(s("B1"), s("coral"));
    ASSERT_OK(shut);
    EXPECT_EQ(shut->warnings.size(), 1);
    const auto far = sample(s("B2"), s("coral"));
    ASSERT_OK(far);
    EXPECT_EQ(far->warnings.size(), 1);
    EXPECT_FALSE(moveLids(file(), act(), 1, {s("Q1")}, true, at("2026-03-12T09:05:00Z")));
    expectTablesFitTheLedger();
}

TEST_F(Collecting, DivesAreNumberedOnceAndUnknownOnesNamed)
{
    const auto loadout = readTemplate(s("loadouts"), s("small"));
    ASSERT_OK(loadout);
    EXPECT_EQ(planDive(file(), act(), 1, s("Deep vehicle"), *loadout).error().kind, ErrorKind::Duplicate);
    EXPECT_EQ(planDive(file(), act(), 0, s("Deep vehicle"), *loadout).error().kind, ErrorKind::Usage);
    EXPECT_EQ(planDive(file(), act(), 2, s(" "), *loadout).error().kind, ErrorKind::Usage);
    ASSERT_OK(planDive(file(), act(), 2, s("Deep vehicle"), *loadout));
    EXPECT_EQ(readDive(file().db(), 7).error().kind, ErrorKind::NotFound);
    EXPECT_TRUE(readDive(file().db(), 7).error().sentence.contains(s("1, 2")));
    EXPECT_EQ(takeStamp(file(), act(), 7, at("2026-03-12T09:05:00Z")).error().kind, ErrorKind::NotFound);
    expectTablesFitTheLedger();
}

TEST_F(Collecting, AnActionNeedsAPerson)
{
    EXPECT_EQ(takeStamp(file(), {QString(), m_now}, 1, m_now).error().kind, ErrorKind::Usage);
}

TEST_F(Collecting, TablesAreRebuiltFromTheLedger)
{
    ASSERT_OK(sample(s("B1"), s("coral")));
    ASSERT_OK(sample(s("R1"), s("rock")));
    ASSERT_OK(execSql(file().db().connection(), s("UPDATE sample SET kind='gold', count=9 WHERE number=1")));
    ASSERT_OK(execSql(file().db().connection(), s("DELETE FROM sample WHERE number=2")));
    const auto found = compareTablesWithLedger(file().db(), rules());
    ASSERT_OK(found);
    ASSERT_EQ(found->size(), 1);
    EXPECT_TRUE(found->front().contains(s("TK26-01-001"))) << found->front().toStdString();
    EXPECT_TRUE(found->front().contains(s("TK26-01-002")));
    ASSERT_OK(rebuildTables(file()));
    expectTablesFitTheLedger();
    EXPECT_EQ(readSample(file().db(), s("TK26-01-001"))->kind, s("coral"));
}

TEST_F(Collecting, AFullRockBoxIsToldInAFewWords)
{
    QStringList warnings;
    for (int i = 0; i < 12; ++i) {
        const auto logged = sample(s("R1"), s("basalt"));
        ASSERT_OK(logged);
        warnings = logged->warnings;
    }
    ASSERT_FALSE(warnings.isEmpty());
    EXPECT_TRUE(warnings.front().contains(s("TK26-01-011 and 8 more"))) << warnings.front().toStdString();
}
