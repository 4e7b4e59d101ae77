// SPDX-License-Identifier: GPL-3.0-or-later
#include "a_package.h"
#include "custody/hand_over.h"
#include "custody/not_found.h"
#include "custody/preservation.h"
#include "custody/specimens.h"
#include "dive/refix.h"
#include "handoff/completeness.h"

#include <QJsonDocument>

namespace holdfast::test
{

class Completeness : public WithPackage
{
protected:
    CompletenessGrid judge(const DatasetAbout &about = {})
    {
        auto grid = cruiseCompleteness(m_path, about, {});
        EXPECT_TRUE(grid.has_value()) << (grid ? "" : grid.error().sentence.toStdString());
        return grid ? *grid : CompletenessGrid{};
    }
    static CompletenessCell cell(const CompletenessGrid &grid, const char *row, const char *check)
    {
        for (const CompletenessRow &r : grid.rows) {
            for (std::size_t i = 0; r.id == s(row) && i < r.cells.size(); ++i) {
                if (grid.requirements[i].check == s(check))
                    return r.cells[i];
            }
        }
        ADD_FAILURE() << row << " " << check << " is not in the grid";
        return {};
    }
    HoldingRules holding()
    {
        auto rules = HoldingRules::load();
        EXPECT_TRUE(rules.has_value());
        return std::move(*rules);
    }
};

TEST_F(Completeness, AsksOfEachItemWhatItsFamilyNeeds)
{
    const CompletenessGrid grid = judge();
    EXPECT_EQ(cell(grid, "TK26-01-001", "identification").state, CellState::Missing);
    EXPECT_EQ(cell(grid, "TK26-01-002", "identification").state, CellState::NotAsked) << "a rock has no name";
    EXPECT_EQ(cell(grid, "TK26-01-001", "storage").state, CellState::Missing);
    EXPECT_EQ(cell(grid, "TK26-01-001", "permit").state, CellState::Missing);
    EXPECT_EQ(cell(grid, "TK26-01-001", "photograph").state, CellState::Doubtful);
    EXPECT_EQ(cell(grid, "TK26-01-001", "fix").state, CellState::Met);
    EXPECT_EQ(cell(grid, "TK26-01-001", "uncertainty").state, CellState::Met);
    EXPECT_EQ(cell(grid, "dive 1", "closed").state, CellState::Missing);
    EXPECT_EQ(cell(grid, "dive 1", "logs").state, CellState::Met);
    EXPECT_EQ(cell(grid, "TK26", "licence").state, CellState::Missing);
    EXPECT_EQ(cell(grid, "TK26", "fix").state, CellState::NotAsked);
}

TEST_F(Completeness, PointsCloseAsTheyAreMended)
{
    const Act a = act();
    ASSERT_OK(identifyItem(
        file(), act(),
        {s("TK26-01-001"), s("Primnoidae"), s("family"), {}, s("Ana"), s("2026-03-12"), {}, {}, {}}));
    ASSERT_OK(preserveItems(file(), act(), {s("TK26-01-001")},
                            {s("ethanol"), s("96"), {}, s("jar"), 1, 1, a.now}, holding()));
    ASSERT_OK(
        storeItems(file(), act(), {s("TK26-01-001")}, s("ship/lab 2/freezer A"), s("-20"), a.now, holding()));
    ASSERT_OK(
        amendSample(file(), act(), s("TK26-01-001"), {{s("permit"), s("INV-1")}}, s("forgotten"), m_kinds));
    const auto computed = computeValues(file().db(), 1);
    ASSERT_OK(computed);
    ASSERT_OK(acceptValues(file(), act(), *computed, s("looked at")));
    DatasetAbout about;
    about.licence = s("https://creativecommons.org/publicdomain/zero/1.0/");
    about.contact.name = s("Ana Invented");
    const CompletenessGrid grid = judge(about);
    for (const char *check : {"identification", "preservation", "storage", "permit", "accepted"})
        EXPECT_EQ(cell(grid, "TK26-01-001", check).state, CellState::Met) << check;
    EXPECT_EQ(cell(grid, "TK26", "licence").state, CellState::Met);
    EXPECT_EQ(cell(grid, "TK26", "contact").state, CellState::Met);
}

TEST_F(Completeness, CustodyIsOpenUntilSomebodyHasReceivedIt)
{
    EXPECT_EQ(cell(judge(), "TK26-01-001", "custody").state, CellState::Missing) << "nobody is recorded";
    ASSERT_OK(appointCustodian(file(), act(), 1, s("Mara"), at("2026-03-12T08:00:00Z")));
    EXPECT_EQ(cell(judge(), "TK26-01-001", "custody").word, s("open")) << "still the vehicle's";
    OfferDetails offer;
    offer.ids = {s("TK26-01-001")};
    offer.from = s("Mara");
    offer.to = s("Ana");
    Act a = act();
    offer.at = a.now;
    const auto offered = offerItems(file(), a, offer);
    ASSERT_OK(offered);
    EXPECT_EQ(cell(judge(), "TK26-01-001", "custody").word, s("in transit"));
    Receipt receipt;
    receipt.offer = offered->code;
    receipt.by = s("Ana");
    receipt.acceptRest = true;
    receipt.place = s("ship/lab 2/freezer A");
    receipt.condition = s("intact");
    a = act();
    receipt.at = a.now;
    ASSERT_OK(receiveItems(file(), a, receipt));
    EXPECT_EQ(cell(judge(), "TK26-01-001", "custody").state, CellState::Met);
    EXPECT_EQ(cell(judge(), "TK26-01-001", "custody").word, s("Ana"));
    const QString package = made(order());
    const CsvTable history = table(package + s("/data/tables/custody_history.csv"));
    QStringList holders;
    for (const QStringList &row : history.rows) {
        if (row.at(0) == s("TK26-01-001"))
            holders << row.at(history.column(s("state"))) + s(": ") + row.at(history.column(s("holder")));
    }
    EXPECT_EQ(holders.first(), s("in the vehicle: Mara")) << holders.join(s(" | ")).toStdString();
    EXPECT_EQ(holders.last(), s("held: Ana"));
    EXPECT_EQ(table(package + s("/data/tables/hand_overs.csv")).rows.size(), 1U);
    EXPECT_EQ(table(package + s("/data/tables/hand_over_answers.csv")).rows.size(), 1U);
}

TEST_F(Completeness, ADoubtfulNameIsDoubtful)
{
    ASSERT_OK(identifyItem(
        file(), act(),
        {s("TK26-01-001"), s("Primnoidae"), s("family"), s("cf."), s("Ana"), s("2026-03-12"), {}, {}, {}}));
    EXPECT_EQ(cell(judge(), "TK26-01-001", "identification").state, CellState::Doubtful);
}

TEST_F(Completeness, ASplitSampleIsJudgedByItsSpecimens)
{
    SpecimenDetails d;
    d.material = s("tissue");
    ASSERT_OK(splitSpecimen(file(), act(), s("TK26-01-001"), d));
    CompletenessGrid grid = judge();
    EXPECT_EQ(cell(grid, "TK26-01-001", "storage").state, CellState::NotAsked);
    EXPECT_EQ(cell(grid, "TK26-01-001.1", "storage").state, CellState::Missing);
    EXPECT_EQ(cell(grid, "TK26-01-001.1", "identification").state, CellState::Missing);
    ASSERT_OK(identifyItem(
        file(), act(), {s("TK26-01-001"), s("Primnoidae"), {}, {}, s("Ana"), s("2026-03-12"), {}, {}, {}}));
    grid = judge();
    EXPECT_EQ(cell(grid, "TK26-01-001.1", "identification").state, CellState::Met)
        << "a part has its sample's name";
}

TEST_F(Completeness, APartOfAFixedSampleIsPreservedAndAVoidOneIsNotAsked)
{
    const Act a = act();
    ASSERT_OK(preserveItems(file(), a, {s("TK26-01-001")}, {s("ethanol"), s("96"), {}, {}, 1, 1, a.now},
                            holding()));
    SpecimenDetails d;
    d.material = s("tissue");
    ASSERT_OK(splitSpecimens(file(), act(), {s("TK26-01-001"), s("TK26-01-001")}, d));
    ASSERT_OK(voidSpecimen(file(), act(), s("TK26-01-001.2"), s("pressed twice")));
    const CompletenessGrid grid = judge();
    EXPECT_EQ(cell(grid, "TK26-01-001.1", "preservation").state, CellState::Met);
    for (const CompletenessRow &row : grid.rows)
        EXPECT_NE(row.id, s("TK26-01-001.2"));
}

TEST_F(Completeness, WhatTheDeckDidNotFindIsAskedFor)
{
    const auto samples = readSamples(file().db(), 1);
    ASSERT_OK(samples);
    ASSERT_FALSE(samples->front().slot.isEmpty());
    ASSERT_OK(tallyEmpty(file(), act(), 1, samples->front().slot, {}));
    const CompletenessCell open = cell(judge(), "TK26-01-001", "custody");
    EXPECT_EQ(open.word, s("not found"));
    EXPECT_NE(open.state, CellState::Met);
}

TEST_F(Completeness, VoidSamplesAreNotAskedAndLostOnesOnlyWhatCanBeKnown)
{
    ASSERT_OK(setSampleState(file(), act(), s("TK26-01-001"), s("lost"), s("dropped")));
    ASSERT_OK(setSampleState(file(), act(), s("TK26-01-002"), s("void"), s("a shadow")));
    const CompletenessGrid grid = judge();
    EXPECT_EQ(cell(grid, "TK26-01-001", "storage").state, CellState::NotAsked);
    EXPECT_EQ(cell(grid, "TK26-01-001", "fix").state, CellState::Met);
    for (const CompletenessRow &r : grid.rows)
        EXPECT_NE(r.id, s("TK26-01-002"));
}

TEST_F(Completeness, ASampleBeyondTheLogsHasNoFixAndNoWater)
{
    m_now = at("2026-03-12T11:30:00Z");
    ASSERT_OK(sample(s("B2"), s("sponge")));
    const CompletenessGrid grid = judge();
    EXPECT_EQ(cell(grid, "TK26-01-003", "fix").state, CellState::Missing);
    EXPECT_EQ(cell(grid, "TK26-01-003", "water").state, CellState::Missing);
    EXPECT_EQ(cell(grid, "TK26-01-003", "uncertainty").state, CellState::NotAsked);
    const auto points = grid.openPoints();
    EXPECT_TRUE(std::any_of(points.begin(), points.end(), [](const OpenPoint &p) {
        return p.row == s("TK26-01-003") && p.requirement == s("fix") && p.mend == s("dive") &&
               !p.sentence.isEmpty();
    }));
}

TEST_F(Completeness, RulesAreRefusedWithTheirNumber)
{
    const auto wrong = [](const char *json) {
        const auto rules = CompletenessRules::parse(QJsonDocument::fromJson(json).object(), s("rules.json"));
        return rules ? QString() : rules.error().sentence;
    };
    EXPECT_TRUE(wrong(R"({"rules":[{"check":"nonsense","title":"x","mend":"dive"}]})").contains(s("rule 1")));
    EXPECT_TRUE(
        wrong(
            R"({"rules":[{"check":"fix","title":"x","mend":"dive"},{"check":"uncertainty","title":"u","mend":"dive"}]})")
            .contains(s("rule 2")));
    EXPECT_TRUE(wrong(R"({"rules":[{"check":"fix","title":"x","mend":"nowhere"}]})").contains(s("mend")));
    EXPECT_TRUE(wrong(R"({"rules":[{"check":"fix","title":"x","mend":"dive","weight":"heavy"}]})")
                    .contains(s("weight")));
    EXPECT_FALSE(wrong(R"({})").isEmpty());
    ASSERT_OK(CompletenessRules::load());
}

TEST_F(Completeness, AboutIsReadWithItsFaultsNamed)
{
    ASSERT_OK(DatasetAbout::read(qEnvironmentVariable("HOLDFAST_SOURCE_DIR") +
                                 s("/templates/handoff/about-example.json")));
    const auto unknown = DatasetAbout::parse({{s("licens"), s("x")}}, s("about.json"));
    ASSERT_FALSE(unknown);
    EXPECT_TRUE(unknown.error().sentence.contains(s("licens")));
    EXPECT_FALSE(DatasetAbout::parse({{s("title"), 3}}, s("about.json")));
}

} // namespace holdfast::test
