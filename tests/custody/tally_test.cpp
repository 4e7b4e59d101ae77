// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/tally.h"

#include "support/a_cruise.h"

using namespace holdfast;

namespace
{
class Tally : public test::WithCruise
{
    VerbRules rules() const override { return allVerbRules(); }
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
