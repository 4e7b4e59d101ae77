// SPDX-License-Identifier: GPL-3.0-or-later
#include "quick_line.h"

#include <gtest/gtest.h>

namespace holdfast
{
namespace
{

class QuickLineTest : public testing::Test
{
protected:
    void SetUp() override
    {
        auto kinds = KindTable::load();
        ASSERT_TRUE(kinds);
        m_words.kinds = *kinds;
        m_words.slotCodes = {QStringLiteral("B1"), QStringLiteral("B2"), QStringLiteral("R1")};
        m_words.used.people = {QStringLiteral("Ana"), QStringLiteral("Bo Lind")};
        m_words.used.kinds = {QStringLiteral("glass sponge")};
        m_words.used.permits = {QStringLiteral("stony coral")};
        m_words.used.descriptions = {QStringLiteral("white fan")};
    }
    SampleDetails read(const char *text) { return readQuickLine(QString::fromUtf8(text), m_words).details; }
    QuickWords m_words;
};

TEST_F(QuickLineTest, TakesWordsInAnyOrder)
{
    for (const char *text : {"b2 coral 3 white fan @ana p:stony_coral t:scoop",
                             "@ANA white 3x t:scoop fan coral p:stony_coral B2",
                             "x3 p:stony_coral coral @ana white b2 fan t:scoop"}) {
        const SampleDetails d = read(text);
        EXPECT_EQ(d.slot, QStringLiteral("B2")) << text;
        EXPECT_EQ(d.kind, QStringLiteral("coral")) << text;
        EXPECT_EQ(d.count, 3) << text;
        EXPECT_EQ(d.askedBy, QStringLiteral("Ana")) << text;
        EXPECT_EQ(d.permit, QStringLiteral("stony coral")) << text;
        EXPECT_EQ(d.tool, QStringLiteral("scoop")) << text;
        EXPECT_EQ(d.description, QStringLiteral("white fan")) << text;
    }
}

TEST_F(QuickLineTest, TakesTheLongestKnownKind)
{
    EXPECT_EQ(read("black coral R1").kind, QStringLiteral("black coral"));
    EXPECT_EQ(read("Glass Sponge").kind, QStringLiteral("glass sponge")); // a word of this cruise only
    EXPECT_EQ(read("black stone coral").kind, QStringLiteral("coral"));
}

TEST_F(QuickLineTest, TheFirstOfEachWinsAndTheRestIsDescription)
{
    const SampleDetails d = read("b1 b2 coral sponge 2 5");
    EXPECT_EQ(d.slot, QStringLiteral("B1"));
    EXPECT_EQ(d.kind, QStringLiteral("coral"));
    EXPECT_EQ(d.count, 2);
    EXPECT_EQ(d.description, QStringLiteral("b2 sponge 5"));
}

TEST_F(QuickLineTest, QuotedWordsStayDescription)
{
    const SampleDetails d = read("rock \"left of B1, 2 m up\" r1");
    EXPECT_EQ(d.slot, QStringLiteral("R1"));
    EXPECT_EQ(d.count, 1);
    EXPECT_EQ(d.description, QStringLiteral("left of B1, 2 m up"));
}

TEST_F(QuickLineTest, AnUnknownKindIsNeverGuessed)
{
    EXPECT_TRUE(read("b1 rhodolith").kind.isEmpty());
    EXPECT_EQ(read("b1 k:rhodolith").kind, QStringLiteral("rhodolith"));
}

TEST_F(QuickLineTest, CountsAreOneToNineThousandNineHundredNinetyNine)
{
    EXPECT_EQ(read("rock 0").count, 1);
    EXPECT_EQ(read("rock 0").description, QStringLiteral("0"));
    EXPECT_EQ(read("rock 12345").description, QStringLiteral("12345"));
    EXPECT_EQ(read("rock 9999").count, 9999);
}

TEST_F(QuickLineTest, UnderscoreStandsForABlankInAName)
{
    EXPECT_EQ(read("rock @bo_lind").askedBy, QStringLiteral("Bo Lind"));
    EXPECT_EQ(read("rock @New_Name").askedBy, QStringLiteral("New Name"));
    EXPECT_TRUE(read("rock @").askedBy.isEmpty());
}

TEST_F(QuickLineTest, EveryPartIsShown)
{
    const QuickEntry entry = readQuickLine(QStringLiteral("white b2 coral"), m_words);
    ASSERT_EQ(entry.parts.size(), 3U);
    EXPECT_EQ(entry.parts[0].means, QuickPart::Means::Slot);
    EXPECT_EQ(entry.parts[1].means, QuickPart::Means::Kind);
    EXPECT_EQ(entry.parts[2].text, QStringLiteral("white"));
}

TEST_F(QuickLineTest, CompletesFromTheCruiseBeforeTheTable)
{
    const QStringList offers = completeQuickLine(QStringLiteral("b1 gl"), m_words, {});
    ASSERT_FALSE(offers.isEmpty());
    EXPECT_EQ(offers.first(), QStringLiteral("b1 glass sponge"));
    EXPECT_TRUE(offers.contains(QStringLiteral("b1 glass")));
    EXPECT_EQ(completeQuickLine(QStringLiteral("rock @b"), m_words, {}),
              QStringList{QStringLiteral("rock @Bo_Lind")});
    EXPECT_TRUE(completeQuickLine(QStringLiteral("rock "), m_words, {}).isEmpty());
    EXPECT_TRUE(completeQuickLine(QStringLiteral("zzz"), m_words, {}).isEmpty());
}

TEST_F(QuickLineTest, OffersFreeSlotsThatSuitTheKindFirst)
{
    SlotState taken;
    taken.code = QStringLiteral("B1");
    taken.accepts = {QStringLiteral("biology")};
    SlotState free = taken;
    free.code = QStringLiteral("B2");
    taken.held = {QStringLiteral("TK26-01-001")};
    const QStringList offers = completeQuickLine(QStringLiteral("coral b"), m_words, {taken, free});
    ASSERT_FALSE(offers.isEmpty());
    EXPECT_EQ(offers.first(), QStringLiteral("coral B2"));
}

} // namespace
} // namespace holdfast
