// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/find.h"

#include "base/ids.h"
#include "custody/hand_over.h"
#include "custody/specimens.h"
#include "custody/tally.h"
#include "support/a_cruise.h"

using namespace holdfast;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class Finding : public test::WithCruise
{
protected:
    VerbRules rules() const override { return allVerbRules(); }
    void SetUp() override
    {
        WithCruise::SetUp();
        auto loaded = HoldingRules::load();
        ASSERT_OK(loaded);
        m_holding.emplace(std::move(*loaded));
        ASSERT_OK(reachPhase(file(), act(), 1, Phase::Launched, m_now));
        ASSERT_OK(sample(s("R1"), s("basalt")));
        SampleDetails d;
        d.slot = s("B2");
        d.kind = s("coral");
        d.description = s("weißer Fächer");
        const Act a = act();
        ASSERT_OK(stampSample(file(), a, 1, a.now, d, m_kinds));
        SpecimenDetails p;
        p.material = s("tissue");
        p.purpose = s("DNA");
        ASSERT_OK(splitSpecimen(file(), act(), coral, p));
    }
    /// The ids found, blanks between.
    std::string ids(const FindQuery &query)
    {
        const auto found = findItems(file().db(), query, *m_holding, m_now);
        if (!found)
            return found.error().sentence.toStdString();
        QStringList out;
        for (const FoundItem &f : *found)
            out << f.id;
        return out.join(QLatin1Char(' ')).toStdString();
    }
    std::string ids(const char *text)
    {
        FindQuery query;
        query.text = s(text);
        return ids(query);
    }
    /// The index against what the view makes of the tables.
    void expectIndexFits()
    {
        for (const char *sides : {"SELECT id, slot, what, names, words, place, holder, state FROM find_item "
                                  "EXCEPT SELECT id, slot, what, "
                                  "names, words, place, holder, state FROM find_source",
                                  "SELECT id, slot, what, names, words, place, holder, state FROM "
                                  "find_source EXCEPT SELECT id, slot, "
                                  "what, names, words, place, holder, state FROM find_item"}) {
            auto rows = query(file().db().connection(), s(sides));
            ASSERT_OK(rows);
            while (rows->next())
                ADD_FAILURE() << rows->text(0).toStdString() << " " << rows->text(6).toStdString();
        }
    }

    std::optional<HoldingRules> m_holding;
    const QString rock = QStringLiteral("TK26-01-001");
    const QString coral = QStringLiteral("TK26-01-002");
    const QString part = QStringLiteral("TK26-01-002.1");
};

} // namespace

TEST_F(Finding, ByIdWordsSlotPlaceAndHolder)
{
    EXPECT_EQ(ids(""), "TK26-01-001 TK26-01-002 TK26-01-002.1") << "nothing asked for lists everything";
    EXPECT_EQ(ids("tk26-01-002"), "TK26-01-002 TK26-01-002.1") << "with its parts";
    EXPECT_EQ(ids(printedId(rock).toUtf8().constData()), "TK26-01-001") << "as scanned";
    EXPECT_EQ(ids("bas"), "TK26-01-001");
    EXPECT_EQ(ids("FACHER weis"), "") << "sharp s is a letter of its own";
    EXPECT_EQ(ids("facher"), "TK26-01-002") << "with or without accents";
    EXPECT_EQ(ids("b2 cor"), "TK26-01-002");
    EXPECT_EQ(ids("dna tissue"), "TK26-01-002.1");
    EXPECT_EQ(ids("\" OR * ( basalt"), "") << "OR is a word here, not an operator";
    EXPECT_EQ(ids("\"( basalt )\""), "TK26-01-001");
    Identification name;
    name.item = part;
    name.name = s("Paragorgia arborea");
    ASSERT_OK(identifyItem(file(), act(), name));
    EXPECT_EQ(ids("parag tis"), "TK26-01-002.1");
    Act a = act();
    ASSERT_OK(storeItems(file(), a, {part}, s("ship/lab 2/freezer A"), s("-20"), a.now, *m_holding));
    FindQuery query;
    query.place = s("lab 2/freezer");
    EXPECT_EQ(ids(query), "TK26-01-002.1");
    query = {};
    query.slot = s("r1");
    EXPECT_EQ(ids(query), "TK26-01-001");
    query = {};
    query.dive = 2;
    EXPECT_EQ(ids(query), "");
    expectIndexFits();
}

TEST_F(Finding, TheHolderFollowsCustody)
{
    FindQuery ito;
    ito.holder = s("Ito");
    FindQuery ana;
    ana.holder = s("Ana");
    EXPECT_EQ(ids(ito), "");
    ASSERT_OK(appointCustodian(file(), act(), 1, s("Ito"), m_now));
    EXPECT_EQ(ids(ito), "TK26-01-001 TK26-01-002 TK26-01-002.1");
    OfferDetails o;
    o.ids = QStringList{coral};
    o.from = s("Ito");
    o.to = s("Ana");
    Act a = act();
    o.at = a.now;
    const auto offered = offerItems(file(), a, o);
    ASSERT_OK(offered);
    EXPECT_EQ(ids("transit"), "TK26-01-002");
    Receipt r;
    r.offer = offered->code;
    r.by = s("Ana");
    r.acceptRest = true;
    r.condition = s("intact");
    a = act();
    r.at = a.now;
    ASSERT_OK(receiveItems(file(), a, r));
    EXPECT_EQ(ids(ana), "TK26-01-002") << "the part was split off before and stays";
    ASSERT_OK(setSampleState(file(), act(), coral, s("lost"), s("over the side")));
    EXPECT_EQ(ids("lost"), "TK26-01-002 TK26-01-002.1");
    expectIndexFits();
    ASSERT_OK(rebuildTables(file()));
    expectIndexFits();
    EXPECT_EQ(ids(ana), "TK26-01-002");
    expectTablesFitTheLedger();
}

TEST_F(Finding, WhatIsDueComesByTimeLeft)
{
    const UtcTime off = m_now;
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OffBottom, off));
    FindQuery query;
    query.dueBefore = off + std::chrono::hours(1);
    EXPECT_EQ(ids(query), "");
    query.dueBefore = off + std::chrono::hours(3);
    EXPECT_EQ(ids(query), "TK26-01-002.1") << "tissue for DNA: 180 minutes (templates/holding)";
    query.text = s("basalt");
    EXPECT_EQ(ids(query), "");
}

TEST_F(Finding, PagesFollowEachOther)
{
    FindQuery query;
    query.limit = 2;
    const auto first = findItems(file().db(), query, *m_holding, m_now);
    ASSERT_OK(first);
    ASSERT_EQ(first->size(), 2u);
    query.after = first->back().n;
    EXPECT_EQ(ids(query), "TK26-01-002.1");
}
