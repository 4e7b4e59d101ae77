// SPDX-License-Identifier: GPL-3.0-or-later
// What a person gives by hand: the key of a new station, the side of a contradiction that holds.
#include "exchange/stations.h"

#include "ledger/station_key.h"

using namespace holdfast;

namespace
{

class Choices : public test::Stations
{
};

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

} // namespace

TEST_F(Choices, TakesNothingForAKeyThatIsNone)
{
    const auto both = trustedKeys(keyMark(keys.front()) + s(", ") + keys.back().toUpper());
    ASSERT_OK(both);
    EXPECT_EQ(both->size(), 2);
    ASSERT_OK(log("deck", "B2", "octocoral"));
    const auto x = from("deck");
    ASSERT_OK(x);
    ASSERT_OK(takeIn(at("van"), *x, *both));
    EXPECT_TRUE(trustedKeys(s("  "))->isEmpty());
    for (const char *typed : {"deck", "3f9a 12bc 77d0", "3f9a 12bc 77d0 e41g", "3f9a 12bc 77d0 e410,", ",",
                              "3f9a 12bc 77d0 e410 11"}) {
        const auto refused = trustedKeys(s(typed));
        ASSERT_FALSE(refused) << typed;
        EXPECT_EQ(refused.error().kind, ErrorKind::Usage);
        EXPECT_TRUE(refused.error().sentence.contains(s("four groups of four")))
            << refused.error().sentence.toStdString();
    }
}

TEST_F(Choices, SaysOfEachSideWhatSettlingItComesTo)
{
    const auto sample = log("van", "B1", "octocoral");
    ASSERT_OK(sample);
    exchangeAll();
    ASSERT_OK(note("van", sample->id, "white fan"));
    ASSERT_OK(note("deck", sample->id, "red fan"));
    exchangeAll();
    const auto open = openConflicts(at("van").db());
    ASSERT_OK(open);
    ASSERT_EQ(open->size(), 1u);
    const Conflict &c = open->front();
    EXPECT_FALSE(isAboutPlan(c));
    for (std::size_t i = 0; i < c.sides.size(); ++i) {
        const Choice choice = choiceOf(c, i);
        EXPECT_EQ(choice.possible, c.sides[i].shown);
        EXPECT_TRUE(!c.sides[i].shown ||
                    choice.outcome.startsWith(s("The description of TK26-01-001 stays as it is shown now: ") +
                                              c.sides[i].says))
            << choice.outcome.toStdString();
    }
}
