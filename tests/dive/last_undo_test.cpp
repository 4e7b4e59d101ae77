// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/last_undo.h"

#include "dive/readers.h"
#include "dive/slot_conditions.h"
#include "support/a_cruise.h"

using namespace holdfast;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class LastUndo : public test::WithCruise
{
protected:
    std::optional<LedgerUndo> last()
    {
        auto found = lastUndo(file());
        EXPECT_TRUE(found) << found.error().sentence.toStdString();
        return found.value_or(std::optional<LedgerUndo>());
    }
    void takeBack(const char *sentence)
    {
        const auto undo = last();
        ASSERT_TRUE(undo);
        EXPECT_TRUE(undo->sentence.contains(s(sentence))) << undo->sentence.toStdString();
        ASSERT_OK(undo->work(file(), act()));
        EXPECT_FALSE(last()) << "taking back is not taken back";
        expectTablesFitTheLedger();
    }
    SampleInfo sampleNow(const QString &id)
    {
        const auto all = readSamples(file().db(), 1);
        for (const SampleInfo &sample : all.value_or(std::vector<SampleInfo>())) {
            if (sample.id == id)
                return sample;
        }
        ADD_FAILURE() << id.toStdString();
        return {};
    }
};

} // namespace

TEST_F(LastUndo, ThereIsNothingOnANewFile)
{
    EXPECT_FALSE(last());
}

TEST_F(LastUndo, AStampIsSetAside)
{
    const auto stamp = takeStamp(file(), act(), 1, m_now);
    ASSERT_OK(stamp);
    takeBack("the stamp of 08:00");
    EXPECT_EQ(readStamp(file().db(), *stamp)->state, s("set aside"));
}

TEST_F(LastUndo, AFailedAttemptWaitsAgain)
{
    const auto stamp = takeStamp(file(), act(), 1, m_now);
    ASSERT_OK(failStamp(file(), act(), *stamp, s("slipped")));
    const auto undo = last();
    ASSERT_TRUE(undo);
    ASSERT_OK(undo->work(file(), act()));
    EXPECT_EQ(readStamp(file().db(), *stamp)->state, s("waiting"));
}

TEST_F(LastUndo, ASampleIsVoidAndItsMomentWaitsAgain)
{
    const auto logged = sample(s("B2"), s("coral"));
    ASSERT_OK(logged);
    takeBack("its moment waits again");
    EXPECT_EQ(sampleNow(logged->id).state, s("void"));
    const auto stamps = readStamps(file().db(), 1);
    ASSERT_OK(stamps);
    EXPECT_EQ(std::count_if(stamps->begin(), stamps->end(),
                            [](const StampInfo &i) { return i.state == s("waiting"); }),
              1);
}

TEST_F(LastUndo, OfASampleIsAllOrNothing)
{
    // Nothing can be stamped any more on a closed dive: then the sample stays, too.
    const auto logged = sample(s("B2"), s("coral"));
    ASSERT_OK(logged);
    ASSERT_OK(file().write([this]() -> Done {
        const auto entry = file().record(act(), s("dive closed"), {{s("dive"), 1}});
        return entry ? Done() : Done(entry.error());
    }));
    const qint64 before = entries();
    EXPECT_FALSE(takeBackSample(file(), act(), logged->id));
    EXPECT_EQ(entries(), before);
    EXPECT_EQ(sampleNow(logged->id).state, s("held"));
    expectTablesFitTheLedger();
}

TEST_F(LastUndo, TheReachOfSlotsGoesBack)
{
    ASSERT_OK(setReaches(file(), act(), 1, {s("B1")}, false));
    takeBack("the reach of B1");
    const auto all = readSlots(file().db(), 1);
    ASSERT_OK(all);
    EXPECT_TRUE(std::all_of(all->begin(), all->end(), [](const SlotState &slot) { return slot.reachable; }));
}

TEST_F(LastUndo, AMoveGoesBack)
{
    const auto logged = sample(s("B2"), s("coral"));
    ASSERT_OK(moveSample(file(), act(), logged->id, s("B3"), {}));
    takeBack("to B3");
    EXPECT_EQ(sampleNow(logged->id).slot, s("B2"));
}

TEST_F(LastUndo, AllLidsOfOneKeyGoBackTogetherAndNoTimeOfLyingOpenIsLeft)
{
    ASSERT_OK(moveLids(file(), act(), 1, {s("B1"), s("B2")}, true, m_now));
    takeBack("opening the lid of B1 B2");
    const auto lids = readLids(file().db(), 1);
    ASSERT_OK(lids);
    EXPECT_EQ(lids->size(), 4U);
    EXPECT_EQ(std::count_if(lids->begin(), lids->end(), [](const LidMove &m) { return m.open; }), 2);
}

TEST_F(LastUndo, WhatIsNoneOfTheseIsLeftAlone)
{
    ASSERT_OK(takeStamp(file(), act(), 1, m_now));
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::Launched, m_now));
    EXPECT_FALSE(last()) << "the stamp is no longer the last thing";
}
