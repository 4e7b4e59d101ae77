// SPDX-License-Identifier: GPL-3.0-or-later
#include "slot_model.h"

#include "a_van.h"

#include <QAbstractItemModelTester>
#include <gtest/gtest.h>
#include <set>

namespace holdfast::test
{
namespace
{

class SlotModelTest : public testing::Test
{
protected:
    void SetUp() override { m_van.open(); }
    SlotModel &plan() { return *m_van.work.dive.slotPlan(); }
    int row(const char *code) { return plan().rowOf(QString::fromLatin1(code)); }
    std::string step(const char *from, SlotModel::Direction direction)
    {
        const int to = plan().neighbour(row(from), direction);
        return plan().states()[static_cast<std::size_t>(to)].code.toStdString();
    }
    Van m_van;
    QAbstractItemModelTester m_tester{m_van.work.dive.slotPlan(),
                                      QAbstractItemModelTester::FailureReportingMode::Fatal};
};

// Where the slots of the demo loadout lie is read from templates/loadouts/demo.json.
TEST_F(SlotModelTest, ArrowsFollowThePlan)
{
    EXPECT_EQ(step("B1", SlotModel::Direction::Down), "B2");
    EXPECT_EQ(step("C1", SlotModel::Direction::Right), "C2");
    EXPECT_EQ(step("C2", SlotModel::Direction::Left), "C1");
    EXPECT_EQ(step("C4", SlotModel::Direction::Right), "B4");
    EXPECT_EQ(step("R1", SlotModel::Direction::Down), "R2");
    EXPECT_EQ(step("C5", SlotModel::Direction::Up), "C1");
}

TEST_F(SlotModelTest, ArrowsStopAtTheEdge)
{
    EXPECT_EQ(step("B1", SlotModel::Direction::Left), "B1");
    EXPECT_EQ(step("R2", SlotModel::Direction::Down), "R2");
}

TEST_F(SlotModelTest, EverySlotIsReachedByArrows)
{
    std::set<int> reached{0};
    std::vector<int> next{0};
    while (!next.empty()) {
        const int from = next.back();
        next.pop_back();
        for (int d = 0; d < 4; ++d) {
            const int to = plan().neighbour(from, static_cast<SlotModel::Direction>(d));
            if (reached.insert(to).second)
                next.push_back(to);
        }
    }
    EXPECT_EQ(static_cast<int>(reached.size()), plan().rowCount());
}

TEST_F(SlotModelTest, IsDrawnToScaleWithinThePlan)
{
    for (int i = 0; i < plan().rowCount(); ++i) {
        const QRectF place = plan().placeOf(i);
        EXPECT_TRUE(QRectF(0, 0, 1, 1).contains(place)) << i;
    }
    const QRectF box = plan().placeOf(row("B1"));
    const QRectF tube = plan().placeOf(row("C1"));
    EXPECT_NEAR(box.width() / tube.width(), 520.0 / 135.0, 1e-9);
    EXPECT_NEAR(tube.width() * plan().aspect(), tube.height(), 1e-9); // a round tube stays round
}

TEST(SlotWords, TellTheStateWithoutColour)
{
    SlotState slot;
    slot.code = QStringLiteral("R1");
    EXPECT_EQ(SlotModel::stateWord(slot), QStringLiteral("free"));
    slot.reachable = false;
    EXPECT_EQ(SlotModel::stateWord(slot), QStringLiteral("out of reach"));
    EXPECT_EQ(SlotModel::lookOf(slot), SlotModel::Look::Unusable);
    slot.held = {QStringLiteral("a"), QStringLiteral("b")};
    slot.heldKinds = {QStringLiteral("rock"), QStringLiteral("rock")};
    EXPECT_EQ(SlotModel::stateWord(slot), QStringLiteral("2 samples, out of reach"));
    EXPECT_EQ(SlotModel::lookOf(slot), SlotModel::Look::Mixed);
}

} // namespace
} // namespace holdfast::test
