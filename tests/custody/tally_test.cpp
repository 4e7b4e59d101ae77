// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_audit.h"
#include "custody/not_found.h"
#include "custody/recovery_finds.h"
#include "custody/tally.h"

#include "custody/specimens.h"

#include "support/a_cruise.h"

using namespace holdfast;

namespace
{
class Tally : public test::WithCruise
{
    VerbRules rules() const override { return allVerbRules(); }

protected:
    Done say(const char *slot, TallyAnswer answer)
    {
        return tallySlot(file(), act(), 1, QString::fromUtf8(slot), answer, QStringLiteral("seen"));
    }
    TallyLine line(const char *slot)
    {
        const auto lines = readTally(file().db(), 1);
        EXPECT_TRUE(lines) << (lines ? "" : lines.error().sentence.toStdString());
        for (const TallyLine &l : lines ? *lines : std::vector<TallyLine>()) {
            if (l.slot.code == QString::fromUtf8(slot))
                return l;
        }
        ADD_FAILURE() << "no slot " << slot;
        return {};
    }
    std::string changed(const char *slot)
    {
        const TallyLine l = line(slot);
        EXPECT_EQ(l.answer.has_value(), l.changed.isEmpty());
        EXPECT_EQ(l.by.isEmpty(), !l.answer);
        return l.changed.toStdString();
    }
    /// Logs what is found on deck.
    Result<LoggedSample> find(const char *slot, const char *kind)
    {
        SampleDetails d;
        d.slot = QString::fromUtf8(slot);
        d.kind = QString::fromUtf8(kind);
        return logFind(file(), act(), 1, d, TimeSpan{m_now - std::chrono::hours(1), m_now}, m_kinds);
    }
};
QString s(const char *text)
{
    return QString::fromUtf8(text);
}
} // namespace

TEST_F(Tally, BeginsWithLifeAndEndsWithRocks)
{
    const auto lines = readTally(file().db(), 1);
    ASSERT_OK(lines);
    ASSERT_EQ(lines->size(), 28u);
    EXPECT_EQ(lines->front().slot.code, s("B1"));
    EXPECT_EQ(lines->back().slot.code, s("R4"));
    EXPECT_FALSE(lines->front().answer);
}

TEST_F(Tally, AnswersAreKeptAndCorrected)
{
    ASSERT_OK(sample(s("B1"), s("coral")));
    ASSERT_OK(tallySlot(file(), act(), 1, s("b1"), TallyAnswer::AsLogged, s("")));
    ASSERT_OK(tallySlot(file(), act(), 1, s("B1"), TallyAnswer::Broken, s("two branches off")));
    const auto lines = readTally(file().db(), 1);
    ASSERT_OK(lines);
    EXPECT_EQ(lines->front().answer, TallyAnswer::Broken);
    EXPECT_EQ(lines->front().note, s("two branches off"));
    EXPECT_EQ(lines->front().by, s("Mara"));
    expectTablesFitTheLedger();
}

TEST_F(Tally, AnswersThatMakeNoSenseAreRefused)
{
    ASSERT_OK(sample(s("B1"), s("coral")));
    EXPECT_FALSE(tallySlot(file(), act(), 1, s("B1"), TallyAnswer::Different, s(" ")));
    EXPECT_FALSE(tallySlot(file(), act(), 1, s("B2"), TallyAnswer::Empty, s("")));
    EXPECT_FALSE(tallySlot(file(), act(), 1, s("B2"), TallyAnswer::Broken, s("shards")));
    EXPECT_FALSE(tallySlot(file(), act(), 1, s("Q9"), TallyAnswer::AsLogged, s("")));
    EXPECT_FALSE(tallySlot(file(), act(), 9, s("B1"), TallyAnswer::AsLogged, s("")));
    EXPECT_FALSE(tallyAnswerFrom(s("maybe")));
    EXPECT_EQ(*tallyAnswerFrom(s(" As Logged ")), TallyAnswer::AsLogged);
}

TEST_F(Tally, ADiveClosesOnlyWhenEverySlotAndStampIsAnswered)
{
    ASSERT_OK(sample(s("B1"), s("coral")));
    auto closed = closeDive(file(), act(), 1);
    ASSERT_FALSE(closed);
    EXPECT_TRUE(closed.error().sentence.contains(s("B1, B2")));
    const auto lines = readTally(file().db(), 1);
    ASSERT_OK(lines);
    for (const TallyLine &line : *lines)
        ASSERT_OK(tallySlot(file(), act(), 1, line.slot.code, TallyAnswer::AsLogged, s("")));
    const auto stamp = takeStamp(file(), act(), 1, m_now);
    ASSERT_OK(stamp);
    EXPECT_FALSE(closeDive(file(), act(), 1));
    ASSERT_OK(failStamp(file(), act(), *stamp, s("lost")));
    ASSERT_OK(closeDive(file(), act(), 1));
    EXPECT_FALSE(closeDive(file(), act(), 1));
    EXPECT_FALSE(takeStamp(file(), act(), 1, m_now)) << "a closed dive takes no stamps";
    EXPECT_FALSE(tallySlot(file(), act(), 1, s("B1"), TallyAnswer::Empty, s("")));
    expectTablesFitTheLedger();
}

TEST_F(Tally, AnAnswerEndsWithWhatIsLoggedMovedOrLostAfterIt)
{
    ASSERT_OK(sample(s("B1"), s("coral")));
    for (const char *slot : {"B1", "B2", "B3", "B4"})
        ASSERT_OK(say(slot, TallyAnswer::AsLogged));
    EXPECT_EQ(changed("B2"), "");
    ASSERT_OK(sample(s("B2"), s("coral")));
    EXPECT_EQ(changed("B2"), "TK26-01-002 was logged there");
    ASSERT_OK(moveSample(file(), act(), s("TK26-01-001"), s("B3"), s("misread")));
    EXPECT_EQ(changed("B1"), "TK26-01-001 was moved out of it");
    EXPECT_EQ(changed("B3"), "TK26-01-001 was moved into it");
    EXPECT_EQ(line("B4").answer, TallyAnswer::AsLogged) << "nothing happened there";

    ASSERT_OK(say("B2", TallyAnswer::AsLogged));
    EXPECT_EQ(changed("B2"), "") << "somebody looked again";
    ASSERT_OK(setSampleState(file(), act(), s("TK26-01-002"), s("lost"), s("not there")));
    EXPECT_EQ(changed("B2"), "TK26-01-002 was recorded as lost");
    ASSERT_OK(say("B2", TallyAnswer::AsLogged));
    ASSERT_OK(setSampleState(file(), act(), s("TK26-01-002"), s("void"), s("never taken")));
    EXPECT_EQ(changed("B2"), "") << "lost or void, it is in no slot";
    ASSERT_OK(setSampleState(file(), act(), s("TK26-01-002"), s("held"), s("it is")));
    EXPECT_EQ(changed("B2"), "TK26-01-002 was recorded as held");
    expectTablesFitTheLedger();
}

TEST_F(Tally, WhatTheAnswerSaidDoesNotEndIt)
{
    ASSERT_OK(sample(s("B1"), s("coral")));
    ASSERT_OK(sample(s("B2"), s("coral")));
    ASSERT_OK(say("B1", TallyAnswer::Empty));
    ASSERT_OK(say("B2", TallyAnswer::Different));
    ASSERT_OK(say("B3", TallyAnswer::Extra));
    ASSERT_OK(say("B4", TallyAnswer::AsLogged));
    ASSERT_OK(setSampleState(file(), act(), s("TK26-01-001"), s("lost"), s("not there")));
    ASSERT_OK(setSampleState(file(), act(), s("TK26-01-002"), s("void"), s("a rock is there")));
    ASSERT_OK(find("B2", "coral"));
    ASSERT_OK(find("B3", "coral"));
    for (const char *slot : {"B1", "B2", "B3"})
        EXPECT_EQ(changed(slot), "") << slot;
    ASSERT_OK(find("B4", "coral"));
    EXPECT_EQ(changed("B4"), "TK26-01-005 was logged there") << "the answer had been that it is empty";
    ASSERT_OK(setSampleState(file(), act(), s("TK26-01-001"), s("held"), s("behind the lid")));
    EXPECT_EQ(changed("B1"), "TK26-01-001 was recorded as held");
    ASSERT_OK(setSampleState(file(), act(), s("TK26-01-004"), s("lost"), s("fell off")));
    EXPECT_EQ(changed("B3"), "TK26-01-004 was recorded as lost") << "extra is not gone";
    expectTablesFitTheLedger();
}

TEST_F(Tally, AClosedDivesTallyStands)
{
    ASSERT_OK(sample(s("B1"), s("coral")));
    const auto lines = readTally(file().db(), 1);
    ASSERT_OK(lines);
    for (const TallyLine &l : *lines)
        ASSERT_OK(tallySlot(file(), act(), 1, l.slot.code, TallyAnswer::AsLogged, s("")));
    ASSERT_OK(moveSample(file(), act(), s("TK26-01-001"), s("B2"), s("misread")));
    const auto closed = closeDive(file(), act(), 1);
    ASSERT_FALSE(closed);
    EXPECT_EQ(closed.error().sentence.toStdString(),
              "Dive 1 can't be closed: still untallied are B1, B2. To be looked at again: B1 was tallied, "
              "but then TK26-01-001 was moved out of it; B2 was tallied, but then TK26-01-001 was moved into "
              "it.");
    ASSERT_OK(say("B1", TallyAnswer::AsLogged));
    ASSERT_OK(say("B2", TallyAnswer::AsLogged));
    ASSERT_OK(closeDive(file(), act(), 1));
    ASSERT_OK(moveSample(file(), act(), s("TK26-01-001"), s("B1"), s("a slip of the pen")));
    EXPECT_EQ(line("B1").answer, TallyAnswer::AsLogged);
    EXPECT_EQ(line("B2").answer, TallyAnswer::AsLogged);
}

TEST_F(Tally, WhatIsNotInItsSlotIsAskedForUntilSomebodySaysWhereItIs)
{
    const auto rules = HoldingRules::load();
    ASSERT_OK(rules);
    for (const char *slot : {"B1", "B2", "B3"})
        ASSERT_OK(sample(s(slot), s("coral")));
    const auto missing = [&] {
        QStringList ids;
        const auto all = readNotFound(file().db());
        EXPECT_TRUE(all);
        for (const NotFound &one : *all)
            ids << one.sample + s(" ") + one.slot;
        return ids.join(s(", "));
    };
    ASSERT_OK(tallyEmpty(file(), act(), 1, s("B1"), {}));
    EXPECT_EQ(missing(), s("TK26-01-001 B1"));
    const auto audit = auditCustody(file().db(), *rules, m_now);
    ASSERT_OK(audit);
    EXPECT_FALSE(audit->holds());
    EXPECT_TRUE(audit->text().contains(s("TK26-01-001: was not found in slot B1")))
        << audit->text().toStdString();
    EXPECT_FALSE(tallyEmpty(file(), act(), 1, s("B2"), s("somewhere")));
    ASSERT_OK(tallyEmpty(file(), act(), 1, s("b2"), s("B4"))); // it had slipped
    EXPECT_EQ(readSample(file().db(), s("TK26-01-002"))->slot, s("B4"));
    ASSERT_OK(tallyEmpty(file(), act(), 1, s("B3"), s("Lost"), s("the lid was open")));
    const auto tally = readTally(file().db(), 1);
    ASSERT_OK(tally);
    const auto line =
        std::find_if(tally->begin(), tally->end(), [](const TallyLine &l) { return l.slot.code == s("B3"); });
    ASSERT_NE(line, tally->end());
    EXPECT_EQ(line->note, s("the lid was open"));
    EXPECT_EQ(readSample(file().db(), s("TK26-01-003"))->state, s("lost"));
    EXPECT_EQ(missing(), s("TK26-01-001 B1"));
    EXPECT_EQ(changed("B3"), "");
    // It turns up in the lab.
    const Act later = act();
    ASSERT_OK(storeItems(file(), later, {s("TK26-01-001")}, s("ship/fridge"), s("4"), later.now, *rules));
    EXPECT_EQ(missing(), QString());
    expectTablesFitTheLedger();
}

TEST_F(Tally, AnAnswerAndWhatItBringsAlongAreOneAct)
{
    ASSERT_OK(sample(s("R1"), s("net")));
    ASSERT_OK(sample(s("R1"), s("rope")));
    const qint64 before = entries();
    // Not on deck yet: a find has no span, so the answer is not kept either.
    const auto loose = tallyLooseFind(file(), act(), 1, s("R1"), s("shrimp"), m_kinds);
    ASSERT_FALSE(loose);
    EXPECT_EQ(loose.error().kind, ErrorKind::Refused);
    // B1 takes one thing: the second of the two can't be there, and the first does not go alone.
    EXPECT_FALSE(tallyEmpty(file(), act(), 1, s("R1"), s("B1")));
    EXPECT_EQ(entries(), before);
    EXPECT_FALSE(line("R1").answer);
    EXPECT_EQ(line("R1").slot.held.size(), 2);
    expectTablesFitTheLedger();
}

TEST_F(Tally, WhatLiesLooseBecomesASampleAfterTheAnswer)
{
    ASSERT_OK(sample(s("B2"), s("coral")));
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::Launched, m_now));
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OnDeck, m_now));
    const auto loose = tallyLooseFind(file(), act(), 1, s("b2"), s("shrimp"), m_kinds);
    ASSERT_OK(loose);
    EXPECT_EQ(line("B2").answer, TallyAnswer::Extra);
    const auto found = readSample(file().db(), loose->id);
    ASSERT_OK(found);
    EXPECT_FALSE(found->momentKnown);
    EXPECT_EQ(found->description, s("found loose in B2 at recovery"));
    expectTablesFitTheLedger();
}

TEST_F(Tally, WhatCanNotBeToldApartSaysSoOfTheOthers)
{
    const auto first = sample(s("R1"), s("basalt"));
    const auto second = sample(s("R1"), s("basalt"));
    ASSERT_OK(first);
    ASSERT_OK(second);
    EXPECT_FALSE(tallyAlike(file(), act(), 1, s("B3"), s("both black"), m_kinds)) << "nothing is in it";
    ASSERT_OK(tallyAlike(file(), act(), 1, s("R1"), s("both black"), m_kinds));
    EXPECT_EQ(line("R1").answer, TallyAnswer::Different);
    EXPECT_TRUE(readSample(file().db(), first->id)->description.contains(second->id));
    EXPECT_TRUE(readSample(file().db(), second->id)->description.contains(first->id));
    expectTablesFitTheLedger();
}
