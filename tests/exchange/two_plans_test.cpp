// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/loadout.h"
#include "dive/loadout_merge.h"
#include "exchange/stations.h"

#include <QJsonDocument>

using namespace holdfast;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

/// Van and deck plan dive 2 without knowing of each other, with loadouts that share no box.
class TwoPlans : public test::Stations
{
protected:
    void SetUp() override
    {
        Stations::SetUp();
        ASSERT_OK(planDive(at("van"), act(), 2, s("Deep vehicle"), plan("demo")));
        ASSERT_OK(planDive(at("deck"), act(), 2, s("Small vehicle"), plan("small")));
    }
    static QJsonObject plan(const char *name)
    {
        const auto json = readTemplate(s("loadouts"), s(name));
        EXPECT_TRUE(json);
        QJsonObject o = json.value_or(QJsonObject());
        if (s(name) == s("small")) { // codes that the demo loadout has not
            o = QJsonDocument::fromJson(QJsonDocument(o).toJson().replace("\"code\": \"", "\"code\": \"Z"))
                    .object();
        }
        return o;
    }
    Result<LoggedSample> take(const std::string &name, const QString &slot, const char *kind)
    {
        SampleDetails d;
        d.slot = slot;
        d.kind = s(kind);
        const Act a = act();
        return stampSample(at(name), a, 2, a.now, d, m_kinds);
    }
    /// A slot of the small plan that takes living things.
    static QString smallSlot(std::size_t nth = 0)
    {
        const auto loadout = parseLoadout(plan("small"), s("small"));
        std::vector<QString> codes;
        for (const BoxSpec &box : loadout->boxes) {
            for (const SlotSpec &slot : box.slotList) {
                if (slot.accepts.contains(s("biology")))
                    codes.push_back(slot.code);
            }
        }
        return codes.at(nth);
    }
    QStringList slotsAt(const std::string &name)
    {
        const auto all = readSlots(at(name).db(), 2);
        QStringList codes;
        for (const SlotState &slot : all.value_or(std::vector<SlotState>()))
            codes << slot.code;
        return codes;
    }
    /// What is drawn must be what the tables have.
    void expectThePlanDrawsEverySlot()
    {
        for (const char *name : {"van", "deck", "lab"}) {
            const auto dive = readDive(at(name).db(), 2);
            ASSERT_OK(dive);
            const auto loadout =
                parseLoadout(QJsonDocument::fromJson(dive->loadoutJson.toUtf8()).object(), s("dive 2"));
            ASSERT_OK(loadout);
            QStringList drawn;
            for (const Loadout::Place &p : loadout->inUnloadOrder())
                drawn << p.slot->code;
            EXPECT_EQ(drawn, slotsAt(name)) << name;
        }
    }
};

} // namespace

TEST_F(TwoPlans, KeepTheSamplesAndTalliesOfBothSides)
{
    const auto deep = take("van", s("B1"), "octocoral");
    ASSERT_OK(deep);
    const auto shallow = take("deck", smallSlot(), "octocoral");
    ASSERT_OK(shallow);
    ASSERT_OK(tallySlot(at("deck"), act(), 2, smallSlot(), TallyAnswer::AsLogged, {}));
    exchangeAll();
    expectAllTheSame();
    for (const char *name : {"van", "deck", "lab"}) {
        for (const QString &id : {deep->id, shallow->id})
            EXPECT_TRUE(readSample(at(name).db(), id));
        const auto tally = readTally(at(name).db(), 2);
        ASSERT_OK(tally);
        const auto line = std::find_if(tally->begin(), tally->end(),
                                       [](const TallyLine &l) { return l.slot.code == smallSlot(); });
        ASSERT_NE(line, tally->end());
        EXPECT_EQ(line->answer, TallyAnswer::AsLogged);
        const auto held = openHeldBack(at(name).db());
        ASSERT_OK(held);
        EXPECT_TRUE(held->isEmpty()) << held->join(QLatin1Char('\n')).toStdString();
        EXPECT_TRUE(abouts(at(name)).contains(s("dive 2: plan")))
            << abouts(at(name)).join(s("; ")).toStdString();
    }
    expectThePlanDrawsEverySlot();
}

TEST_F(TwoPlans, EndWhenAPersonSaysWhichItWas)
{
    const auto shallow = take("deck", smallSlot(), "octocoral");
    ASSERT_OK(shallow);
    exchangeAll();
    const auto open = openConflicts(at("lab").db());
    ASSERT_OK(open);
    ASSERT_EQ(open->size(), 1u);
    EXPECT_FALSE(takePlanOf(at("lab"), act(), open->front().key, s("lab"), s("asked the pilots")));
    EXPECT_FALSE(takePlanOf(at("lab"), act(), open->front().key, s("van"), s(" "))) << "no reason";
    ASSERT_OK(takePlanOf(at("lab"), act(), open->front().key, s("van"), s("asked the pilots")));
    EXPECT_TRUE(abouts(at("lab")).isEmpty());
    // What a station did not know of yet, it writes into a slot of the plan that was not chosen.
    const auto late = take("deck", smallSlot(1), "sponge");
    ASSERT_OK(late);
    exchangeAll();
    exchangeAll();
    expectAllTheSame();
    EXPECT_TRUE(abouts(at("van")).isEmpty()) << conflictsOf(at("van")).join(s("\n")).toStdString();
    const auto dive = readDive(at("van").db(), 2);
    ASSERT_OK(dive);
    EXPECT_EQ(dive->vehicle, s("Deep vehicle"));
    EXPECT_EQ(dive->loadout, s("demo"));
    const QStringList there = slotsAt("van");
    EXPECT_TRUE(there.contains(s("B1")));
    EXPECT_TRUE(there.contains(smallSlot())) << "something lies in it";
    EXPECT_TRUE(there.contains(smallSlot(1))) << "something lies in it";
    EXPECT_EQ(there.size(), slotCodesOf(plan("demo")).size() + 2) << "empty slots of the other plan go";
    for (const QString &id : {shallow->id, late->id})
        EXPECT_TRUE(readSample(at("van").db(), id));
    expectThePlanDrawsEverySlot();
}

TEST_F(TwoPlans, EachSideSaysWhatWillStand)
{
    exchangeAll();
    const auto open = openConflicts(at("lab").db());
    ASSERT_OK(open);
    ASSERT_EQ(open->size(), 1u);
    const Conflict &c = open->front();
    ASSERT_TRUE(isAboutPlan(c));
    ASSERT_EQ(c.sides.size(), 2u);
    for (std::size_t i = 0; i < c.sides.size(); ++i) {
        const Choice choice = choiceOf(c, i);
        EXPECT_TRUE(choice.possible);
        EXPECT_TRUE(
            choice.outcome.contains(s("The plan of dive 2 will be what station ") + c.sides[i].station))
            << choice.outcome.toStdString();
        EXPECT_TRUE(choice.outcome.contains(c.sides[i].says)) << choice.outcome.toStdString();
        EXPECT_FALSE(choice.outcome.contains(c.sides[1 - i].says)) << choice.outcome.toStdString();
    }
    EXPECT_FALSE(choiceOf(c, 2).possible);
    // What was promised is what comes: the side that is not shown now.
    const std::size_t other = c.sides[0].shown ? 1 : 0;
    ASSERT_OK(takePlanOf(at("lab"), act(), c.key, c.sides[other].station, s("asked the pilots")));
    const auto dive = readDive(at("lab").db(), 2);
    ASSERT_OK(dive);
    EXPECT_TRUE(choiceOf(c, other).outcome.contains(dive->vehicle)) << dive->vehicle.toStdString();
}

TEST_F(TwoPlans, OfOneContentAreNoConflict)
{
    ASSERT_OK(planDive(at("van"), act(), 3, s("Deep vehicle"), plan("demo")));
    ASSERT_OK(planDive(at("lab"), act(), 3, s("Deep vehicle"), plan("demo")));
    exchangeAll();
    EXPECT_FALSE(abouts(at("van")).contains(s("dive 3: plan")));
    EXPECT_TRUE(openHeldBack(at("van").db()).value_or(QStringList{s("?")}).isEmpty());
    expectAllTheSame();
}

TEST_F(TwoPlans, APlanIsCorrectedWithAReasonAlsoByOneStation)
{
    const auto deep = take("van", s("B1"), "octocoral");
    ASSERT_OK(deep);
    EXPECT_FALSE(planDiveAgain(at("van"), act(), 2, s("Deep vehicle"), plan("small"), {}));
    EXPECT_FALSE(planDiveAgain(at("van"), act(), 9, s("Deep vehicle"), plan("small"), s("typed wrong")));
    ASSERT_OK(planDiveAgain(at("van"), act(), 2, s("Deep vehicle"), plan("small"), s("typed wrong")));
    EXPECT_EQ(readSample(at("van").db(), deep->id)->slot, s("B1"));
    EXPECT_EQ(slotsAt("van").size(), slotCodesOf(plan("small")).size() + 1);
    ASSERT_OK(take("van", smallSlot(), "octocoral"));
    const auto differ = compareTablesWithLedger(at("van").db(), rules());
    ASSERT_OK(differ);
    EXPECT_TRUE(differ->isEmpty()) << differ->join(QLatin1Char('\n')).toStdString();
}
