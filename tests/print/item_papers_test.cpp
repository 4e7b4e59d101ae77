// SPDX-License-Identifier: GPL-3.0-or-later
// Papers of single things, made from a cruise file: what the record says must stand on them, word for word.
#include "base/ids.h"
#include "custody/blank_labels.h"
#include "custody/history.h"
#include "custody/not_found.h"
#include "custody/preservation.h"
#include "custody/seals.h"
#include "custody/specimens.h"
#include "custody/tally.h"
#include "print/dive_papers.h"
#include "print/hand_over_paper.h"
#include "print/item_sheets.h"
#include "print/label_papers.h"
#include "print/packing_papers.h"
#include "print/print_support.h"
#include "print/stock_shelf.h"
#include "support/a_cruise.h"

#include <QRegularExpression>
#include <gtest/gtest.h>

using namespace holdfast;
using namespace holdfast::testing;
using test::at;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

/// A coral with a DNA tissue in ethanol and a voucher in formalin, a rock at another place.
class ItemPapers : public test::WithCruise
{
protected:
    [[nodiscard]] VerbRules rules() const override { return allVerbRules(); }
    void SetUp() override
    {
        WithCruise::SetUp();
        ASSERT_OK(sample(s("B1"), s("coral")));
        ASSERT_OK(sample(s("R1"), s("basalt")));
        split("tissue", "DNA");
        split("coral", "voucher");
        auto loaded = HoldingRules::load();
        ASSERT_OK(loaded);
        m_rules = *loaded;
        Preservative ethanol;
        ethanol.name = s("ethanol");
        ethanol.percent = s("96");
        ethanol.container = s("cryovial");
        ethanol.containerNumber = 2;
        ethanol.containerCount = 3;
        preserve("TK26-01-001.1", ethanol);
        Preservative formalin;
        formalin.name = formalin.base = s("formalin");
        formalin.percent = s("10");
        formalin.container = s("jar");
        preserve("TK26-01-001.2", formalin);
        store("TK26-01-001.1", "ship/lab 2/freezer A", "-20");
        store("TK26-01-001.2", "ship/hold/drum 4", "");
    }
    void split(const char *material, const char *purpose)
    {
        SpecimenDetails details;
        details.material = s(material);
        details.purpose = s(purpose);
        ASSERT_OK(splitSpecimen(file(), act(), s("TK26-01-001"), details));
    }
    void preserve(const char *id, Preservative what)
    {
        const Act a = act();
        what.at = a.now;
        ASSERT_OK(preserveItems(file(), a, {s(id)}, what, *m_rules));
    }
    void store(const char *id, const char *place, const char *celsius)
    {
        const Act a = act();
        ASSERT_OK(storeItems(file(), a, {s(id)}, s(place), s(celsius), a.now, *m_rules));
    }
    /// The text of a document as poppler reads it from the PDF, all pages.
    QString textOf(const PageDocument &document)
    {
        const QString pdf = path(s("paper.pdf"));
        EXPECT_TRUE(writePdf(document, pdf));
        return pdfText(pdf).join(QLatin1Char(' '));
    }
    [[nodiscard]] PackingPlan twoPackages() const
    {
        PackingPlan plan;
        plan.shipment = s("TK26-S1");
        plan.consignee = s("An invented institute");
        PlannedPackage one;
        one.package.number = s("1");
        one.ids = {s("TK26-01-001.2"), s("TK26-01-002")};
        one.liquidMl.insert(s("TK26-01-001.2"), 500);
        PlannedPackage two;
        two.package.number = s("2");
        two.place = s("ship/lab 2");
        two.package.coolant = s("dry ice 8 kg");
        plan.packages = {one, two};
        return plan;
    }

    std::optional<HoldingRules> m_rules;
};

} // namespace

TEST_F(ItemPapers, ALabelOfASpecimenSaysHowItIsKeptAndWarns)
{
    const auto labels =
        labelContents(file().db(), {.dive = 1, .of = LabelOrder::Of::Both, .contact = s("Deck lab")});
    ASSERT_OK(labels);
    ASSERT_EQ(labels->size(), 4U);
    const LabelContent &tissue = labels->at(1);
    EXPECT_EQ(tissue.id, s("TK26-01-001.1"));
    EXPECT_EQ(tissue.kind, s("tissue"));
    EXPECT_EQ(tissue.preservative, s("ethanol 96 %"));
    EXPECT_EQ(tissue.hazard, s("FLAMMABLE"));
    EXPECT_EQ(tissue.container, s("2 of 3"));
    EXPECT_EQ(tissue.contact, s("Deck lab"));
    EXPECT_EQ(tissue.time, labels->at(0).time);
    // 10 % formalin is 3.7 % formaldehyde (WAM, Preservation and Lodgement of Marine Fauna, 2011: about 3.7-4
    // %).
    EXPECT_EQ(labels->at(2).preservative, s("formalin 10 %"));
    EXPECT_EQ(labels->at(2).hazard, s("TOXIC"));
    EXPECT_EQ(labels->at(0).hazard, QString());
    EXPECT_EQ(labels->at(0).slot, s("B1"));
}

TEST_F(ItemPapers, WhatWasSplitOffAFixedSampleSaysWhatItIsIn)
{
    Preservative formalin;
    formalin.name = formalin.base = s("formalin");
    formalin.percent = s("10");
    formalin.container = s("drum");
    preserve("TK26-01-001", formalin);
    split("tissue", "histology");
    store("TK26-01-001.3", "ship/dry ice box", "");
    const auto labels = labelContents(file().db(), {.ids = {s("TK26-01-001.3")}});
    ASSERT_OK(labels);
    EXPECT_EQ(labels->front().preservative, s("formalin 10 %"));
    EXPECT_EQ(labels->front().hazard, s("TOXIC"));
    EXPECT_EQ(labels->front().container, QString()) << "the drum is its parent's";
    const auto before = labelContents(file().db(), {.ids = {s("TK26-01-001.1")}});
    ASSERT_OK(before);
    EXPECT_EQ(before->front().preservative, s("ethanol 96 %")) << "it has its own";
    const auto papers = packingList(file().db(), {}, s("Ana"), act().now);
    ASSERT_OK(papers);
    ASSERT_EQ(papers->content.packages.size(), 3U);
    const ShippingPackage &box = papers->content.packages[0];
    EXPECT_EQ(box.kind, s("ship/dry ice box"));
    EXPECT_EQ(box.items[0].preservative, s("formalin 10 % (3.7 % formaldehyde), from TK26-01-001"));
    QStringList keys;
    for (const HazardSum &sum : sumHazards(papers->content))
        keys << (sum.substance ? sum.substance->key : sum.name);
    EXPECT_EQ(keys, QStringList({s("ethanol"), s("formaldehyde"), s("dry-ice")}))
        << "what lay in a dry ice box may travel in it";
}

TEST_F(ItemPapers, APackingListWithoutHazardsAndWithCoralsTellsWhatToAsk)
{
    store("TK26-01-002", "ship/rack", "");
    PackingPlan plan;
    PlannedPackage rock;
    rock.package.number = s("1");
    rock.ids = {s("TK26-01-002")};
    plan.packages = {rock};
    const auto rocks = packingListPages(file().db(), plan, s("packing-a4"), s("Ana"), act().now);
    ASSERT_OK(rocks);
    const QString text = textOf(rocks->document).simplified();
    EXPECT_TRUE(text.contains(s("ask whoever packed them"))) << text.toStdString();
    EXPECT_FALSE(text.contains(s("Corals")));
    plan.packages[0].ids = {s("TK26-01-001.1")};
    const auto corals = packingListPages(file().db(), plan, s("packing-a4"), s("Ana"), act().now);
    ASSERT_OK(corals);
    EXPECT_TRUE(textOf(corals->document).simplified().contains(s("permit authorities")))
        << "tissue of a coral is coral";
}

TEST_F(ItemPapers, LabelsCanBeAskedForByIdOrByBlankLabel)
{
    ASSERT_OK(takeBlankLabels(file(), act(), 1, 3));
    ASSERT_OK(bindLabel(file(), act(), s("TK26-01-L002"), s("TK26-01-001.2")));
    const auto labels = labelContents(file().db(), {.ids = {s("tk26-01-l002"), s("TK26-01-002")}});
    ASSERT_OK(labels);
    EXPECT_EQ(labels->at(0).id, s("TK26-01-001.2"));
    EXPECT_EQ(labels->at(1).id, s("TK26-01-002"));
    EXPECT_FALSE(labelContents(file().db(), {.ids = {s("TK26-01-009")}}));
    EXPECT_FALSE(labelContents(file().db(), {.dive = 7}));
    const auto blank = labelContents(file().db(), {.dive = 1, .blank = {1, 3}});
    ASSERT_OK(blank);
    EXPECT_EQ(blank->back().id, s("TK26-01-L003"));
    EXPECT_TRUE(blank->back().kind.isEmpty() && !blank->back().time);
}

TEST_F(ItemPapers, WhatIsLostOrVoidGetsNoLabel)
{
    ASSERT_OK(setSampleState(file(), act(), s("TK26-01-002"), s("lost"), s("fell")));
    const auto labels = labelContents(file().db(), {.dive = 1});
    ASSERT_OK(labels);
    EXPECT_EQ(labels->size(), 1U);
    ASSERT_OK(setSampleState(file(), act(), s("TK26-01-001"), s("void"), s("never was")));
    EXPECT_FALSE(labelContents(file().db(), {.dive = 1}));
}

TEST_F(ItemPapers, AHistoryTellsEverythingFromTheStampOnAndNothingOfItsSisters)
{
    const Act a = act();
    ASSERT_OK(tallySlot(file(), a, 1, s("B1"), TallyAnswer::AsLogged, {}));
    Identification name;
    name.item = s("TK26-01-001.2");
    name.name = s("Inventa exempli");
    ASSERT_OK(identifyItem(file(), act(), name));
    const auto sheet = itemHistory(file().db(), s("TK26-01-001.2"), s("Ana"), act().now);
    ASSERT_OK(sheet);
    QStringList told;
    for (const SheetEvent &e : sheet->history)
        told << e.what;
    EXPECT_EQ(told,
              (QStringList{s("stamp taken"), s("sample logged"), s("specimen split"), s("specimen split"),
                           s("item preserved"), s("item stored"), s("slot tallied"), s("item identified")}));
    // 10 % formalin is 3.7 % formaldehyde (WAM, Preservation and Lodgement of Marine Fauna, 2011: about 3.7-4
    // %).
    EXPECT_EQ(sheet->samples.at(0).preservative, s("formalin 10 % (3.7 % formaldehyde) · jar"));
    const auto pages =
        itemHistorySheet(file().db(), s("TK26-01-001.2"), s("history-a4"), s("Ana"), act().now);
    ASSERT_OK(pages);
    const QString text = textOf(*pages);
    for (const char *word : {"History of TK26-01-001.2*", "Inventa exempli", "ship/hold/drum 4",
                             "formalin 10 % (3.7 % formaldehyde)", "page 1 of"})
        EXPECT_TRUE(text.contains(s(word))) << word << " not in " << text.toStdString();
    EXPECT_FALSE(text.contains(s("ethanol")));
    EXPECT_FALSE(text.contains(s("freezer A")));
    // The sample's own history has the tally, since it lay in that slot.
    const auto whole = itemHistory(file().db(), s("TK26-01-001"), s("Ana"), act().now);
    ASSERT_OK(whole);
    EXPECT_EQ(whole->history.back().what, s("slot tallied"));
    EXPECT_FALSE(itemHistory(file().db(), s("TK26-01-009"), s("Ana"), act().now));
}

TEST_F(ItemPapers, AHandOverSheetLeavesTheReceiverEmpty)
{
    const auto sheet = handOverToSign(file().db(), {s("TK26-01-001.1"), s("TK26-01-002"), s("TK26-01-002")},
                                      s("Ana"), act().now);
    ASSERT_OK(sheet);
    EXPECT_EQ(sheet->samples.size(), 2U);
    EXPECT_TRUE(sheet->handOvers.empty());
    EXPECT_EQ(sheet->blankHandOvers, 1);
    const auto pages =
        handOverSheet(file().db(), {s("TK26-01-001.1")}, s("hand-over-letter"), s("Ana"), act().now);
    ASSERT_OK(pages);
    EXPECT_NEAR(pages->pages.at(0).sizeMm.width(), 279.4, 0.1);
    const QString text = textOf(*pages);
    for (const char *word : {"Hand-over", "TK26-01-001.1*", "ethanol 96 %", "FLAMMABLE", "freezer A"})
        EXPECT_TRUE(text.contains(s(word))) << word;
    EXPECT_FALSE(handOverToSign(file().db(), {}, s("Ana"), act().now));
    ASSERT_OK(setSampleState(file(), act(), s("TK26-01-002"), s("lost"), s("fell")));
    EXPECT_FALSE(handOverToSign(file().db(), {s("TK26-01-002")}, s("Ana"), act().now));
}

TEST_F(ItemPapers, ARecordedHandOverIsPrintedAsFarAsItWent)
{
    Act a = act();
    ASSERT_OK(appointCustodian(file(), a, 1, s("Ana"), a.now));
    a = act();
    ASSERT_OK(applySeal(file(), a, {s("S-17"), {s("TK26-01-001.1")}, {}, {}, a.now}));
    OfferDetails offer;
    offer.ids = {s("TK26-01-001.1"), s("TK26-01-002")};
    offer.from = s("Ana");
    offer.to = s("Teo");
    offer.at = (a = act()).now;
    const auto offered = offerItems(file(), a, offer);
    ASSERT_OK(offered);
    const auto open = recordedHandOver(file().db(), offered->code, s("Ana"), act().now);
    ASSERT_OK(open);
    ASSERT_EQ(open->handOvers.size(), 1U);
    EXPECT_EQ(open->handOvers[0].relinquishedBy, s("Ana"));
    EXPECT_EQ(open->handOvers[0].receivedBy, QString()); // never filled in beforehand
    EXPECT_EQ(open->handOvers[0].relinquishedAt, offer.at);
    EXPECT_FALSE(open->handOvers[0].receivedAt);
    EXPECT_EQ(open->handOvers[0].items, offer.ids);
    EXPECT_EQ(open->handOvers[0].sealsBefore, s("S-17"));
    EXPECT_TRUE(open->samples[0].note.startsWith(s("in transit")));
    m_now += std::chrono::hours(1);
    Receipt receipt;
    receipt.offer = offered->code;
    receipt.by = s("Teo");
    receipt.accepted = {s("TK26-01-001.1")};
    receipt.refused.insert(s("TK26-01-002"), s("not in the box"));
    receipt.sealsIntact = {s("S-17")};
    receipt.condition = s("intact");
    receipt.count = 1;
    receipt.at = (a = act()).now;
    ASSERT_OK(receiveItems(file(), a, receipt));
    const auto pages = handOverSheet(file().db(), {offered->code}, s("hand-over-a4"), s("Ana"), act().now);
    ASSERT_OK(pages);
    const QString text = textOf(*pages);
    for (const char *word : {"Teo", "intact", "accepted", "refused", "TK26-01-002*"})
        EXPECT_TRUE(text.contains(s(word))) << word << " not in " << text.toStdString();
    const auto dive = handOversOfDive(file().db(), 1);
    ASSERT_OK(dive);
    ASSERT_EQ(dive->size(), 1U);
    EXPECT_EQ(dive->front().receivedBy, s("Teo"));
    EXPECT_EQ(dive->front().relinquishedAt, offer.at) << "each side has its own time";
    EXPECT_EQ(dive->front().receivedAt, receipt.at);
    EXPECT_EQ(dive->front().items, offer.ids);
    EXPECT_EQ(dive->front().refused, QStringList{s("TK26-01-002: not in the box")});
    EXPECT_EQ(dive->front().sealsBefore, s("S-17"));
    EXPECT_EQ(dive->front().sealsAfter, s("S-17"));
    EXPECT_TRUE(text.contains(s("Refused: TK26-01-002: not in the box"))) << text.toStdString();
    EXPECT_FALSE(handOverSheet(file().db(), {s("VAN-99")}, s("hand-over-a4"), s("Ana"), act().now));
}

TEST_F(ItemPapers, APackingListSumsItsDangerousGoodsAndDefers)
{
    const auto papers = packingList(file().db(), twoPackages(), s("Ana"), act().now);
    ASSERT_OK(papers);
    const auto sums = sumHazards(papers->content);
    ASSERT_EQ(sums.size(), 3U);
    EXPECT_EQ(sums[0].substance->un, s("UN 1170"));
    EXPECT_EQ(sums[1].liquidMl, 500);
    EXPECT_EQ(sums[2].substance->key, s("dry-ice"));
    ASSERT_EQ(papers->notes.size(), 1);
    EXPECT_TRUE(papers->notes[0].contains(s("TK26-01-001"))) << papers->notes[0].toStdString();
    const auto pages = packingListPages(file().db(), twoPackages(), s("packing-a4"), s("Ana"), act().now);
    ASSERT_OK(pages);
    const QString text = textOf(pages->document);
    for (const char *word : {"UN 1170", "ETHANOL SOLUTION", "UN 2209", "UN 1845", "500 ml", "DRAFT",
                             "TK26-S1", "An invented institute", "licensed"})
        EXPECT_TRUE(text.contains(s(word))) << word;
}

TEST_F(ItemPapers, WithoutAPlanEachPlaceIsAPackage)
{
    const auto papers = packingList(file().db(), {}, s("Ana"), act().now);
    ASSERT_OK(papers);
    ASSERT_EQ(papers->content.packages.size(), 2U);
    EXPECT_EQ(papers->content.packages[0].kind, s("ship/hold/drum 4"));
    EXPECT_EQ(papers->content.packages[1].items[0].id, s("TK26-01-001.1"));
    EXPECT_EQ(papers->content.packages[1].items[0].temperature, s("-20 °C"));
}

TEST_F(ItemPapers, APlanIsReadBackAsWrittenAndItsFaultsAreNamed)
{
    const auto again = readPackingPlan(packingPlanJson(twoPackages()), s("plan.json"));
    ASSERT_OK(again);
    EXPECT_EQ(packingPlanJson(*again), packingPlanJson(twoPackages()));
    const auto fault = [](const char *json) {
        const auto plan = readPackingPlan(json, s("plan.json"));
        return plan ? QString() : plan.error().sentence;
    };
    EXPECT_TRUE(fault(R"({"packages": [{"number": "1", "gros_kg": 3}]})").contains(s("packages[0].gros_kg")));
    EXPECT_TRUE(fault(R"({"permits": [{"number": "P", "valid_until": "soon"}]})").contains(s("valid_until")));
    EXPECT_TRUE(fault("{").contains(s("plan.json")));
    PackingPlan twice = twoPackages();
    twice.packages[0].ids << s("TK26-01-001.1");
    const auto doubled = packingList(file().db(), twice, s("Ana"), act().now);
    ASSERT_FALSE(doubled);
    EXPECT_EQ(doubled.error().kind, ErrorKind::Duplicate);
    PackingPlan nowhere = twoPackages();
    nowhere.packages[1].place = s("ship/attic");
    EXPECT_FALSE(packingList(file().db(), nowhere, s("Ana"), act().now));
}

TEST_F(ItemPapers, OnesOwnStockStandsBesideThoseOfTheProgram)
{
    qputenv("HOLDFAST_OWN_TEMPLATES", path(s("own")).toUtf8());
    QByteArray json = *labelStockJson(s("cryo-10mm"));
    json.replace("36 x 10 mm", "our own tags");
    ASSERT_OK(saveOwnStock(s("our-tags"), json));
    EXPECT_TRUE(isOwnStock(s("our-tags")));
    const auto stocks = labelStocks();
    ASSERT_OK(stocks);
    EXPECT_EQ(stocks->back().name, s("our-tags"));
    ASSERT_OK(labelStock(s("our-tags")));
    ASSERT_OK(labelSheets(file().db(), {.dive = 1, .stock = s("our-tags")}));
    const auto taken = saveOwnStock(s("cryo-10mm"), json);
    ASSERT_FALSE(taken);
    EXPECT_TRUE(taken.error().sentence.contains(s("another name")));
    EXPECT_FALSE(saveOwnStock(s("../x"), json));
    json.replace("\"media\": \"roll\"", "\"media\": \"rolls\"");
    const auto bad = saveOwnStock(s("our-tags"), json);
    ASSERT_FALSE(bad);
    EXPECT_TRUE(bad.error().sentence.contains(s("media"))) << bad.error().sentence.toStdString();
    ASSERT_OK(labelStock(s("our-tags"))); // the good one is still there
    qunsetenv("HOLDFAST_OWN_TEMPLATES");
    EXPECT_FALSE(labelStock(s("our-tags")));
}

// What people type comes back from the PDF as they typed it, whatever the script; what no font has is told by
// its code.
TEST_F(ItemPapers, NamesOfAnyScriptAndLengthComeBackFromThePdf)
{
    const QString longName = s("Inventa").repeated(28) + s("abcd"); // 200 letters
    const QString hebrew = s("\u05D0\u05DC\u05DE\u05D5\u05D2");     // "coral"
    const QString crab = s("\U0001F980");
    const auto named = [&](const QString &who, const QString &what) {
        Identification name;
        name.item = s("TK26-01-001");
        name.name = what;
        Act a = act();
        a.person = who;
        ASSERT_OK(identifyItem(file(), a, name));
    };
    named(longName, hebrew);
    named(hebrew, crab + s(" crab"));
    named(s("Ana"), longName);
    const auto pages = itemHistorySheet(file().db(), s("TK26-01-001"), s("history-a4"), longName, act().now);
    ASSERT_OK(pages);
    for (const Page &page : pages->pages)
        EXPECT_EQ(overlapsOnPage(page), "");
    QString text = textOf(*pages);
    // Blanks are where lines break; the marks of direction are poppler's own.
    text.remove(QRegularExpression(s("[\\s\\x{200E}\\x{200F}\\x{202A}-\\x{202E}]")));
    EXPECT_EQ(text.count(longName), 3) << text.toStdString(); // who twice (named by, written by), and what
    EXPECT_TRUE(text.contains(s("printedbyInventa"))); // the foot has one line: it ends in a visible "…"
    EXPECT_TRUE(text.contains(QChar(0x2026)));
    QString backwards;
    for (const QChar c : hebrew)
        backwards.prepend(c);
    EXPECT_EQ(text.count(hebrew) + text.count(backwards), 3) << text.toStdString();
    EXPECT_TRUE(text.contains(crab) || text.contains(s("[U+1F980]"))) << text.toStdString();
}

TEST_F(ItemPapers, WithoutAPlanWhatIsInTransitIsLeftOutWithAWord)
{
    Act a = act();
    ASSERT_OK(appointCustodian(file(), a, 1, s("Ana"), a.now));
    OfferDetails offer;
    offer.ids = {s("TK26-01-001.2")};
    offer.from = s("Ana");
    offer.to = s("Teo");
    offer.at = (a = act()).now;
    ASSERT_OK(offerItems(file(), a, offer));
    const auto papers = packingList(file().db(), {}, s("Ana"), act().now);
    ASSERT_OK(papers);
    for (const ShippingPackage &package : papers->content.packages) {
        for (const PackingItem &item : package.items)
            EXPECT_NE(item.id, s("TK26-01-001.2"));
    }
    EXPECT_FALSE(papers->content.packages.empty());
    EXPECT_TRUE(papers->notes.join(QLatin1Char(' ')).contains(s("Left out: TK26-01-001.2 is in transit")))
        << papers->notes.join(QLatin1Char(' ')).toStdString();
    PackingPlan plan = twoPackages();
    EXPECT_FALSE(packingList(file().db(), plan, s("Ana"), act().now)) << "a person chose it: that is refused";
}

TEST_F(ItemPapers, WhatTheDeckDidNotFindGetsNoLabel)
{
    ASSERT_OK(tallyEmpty(file(), act(), 1, s("R1"), {}));
    const auto labels = labelContents(file().db(), {.dive = 1, .of = LabelOrder::Of::Samples});
    ASSERT_OK(labels);
    ASSERT_EQ(labels->size(), 1U);
    EXPECT_EQ(labels->front().id, s("TK26-01-001"));
    const auto asked = labelContents(file().db(), {.ids = {s("TK26-01-002")}});
    ASSERT_FALSE(asked);
    EXPECT_TRUE(asked.error().sentence.contains(s("not found in slot R1")))
        << asked.error().sentence.toStdString();
}

TEST_F(ItemPapers, AFindSaysTheSpanInWhichItWasCollected)
{
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::Launched, at("2026-03-12T06:00:00Z")));
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OnDeck, m_now));
    m_now += std::chrono::hours(1);
    SampleDetails d;
    d.kind = s("crinoid");
    const Act ben{s("Ben"), m_now};
    const auto found = logFind(file(), ben, 1, d, {}, m_kinds);
    ASSERT_OK(found);
    EXPECT_TRUE(found->warnings.isEmpty()) << found->warnings.join(s("; ")).toStdString();
    const auto labels = labelContents(file().db(), {.ids = {found->id}});
    ASSERT_OK(labels);
    EXPECT_FALSE(labels->front().time) << "nobody saw the moment";
    EXPECT_EQ(labels->front().found, s("2026-03-12 06:00 to 08:00 UTC, found at recovery"));
    const auto sheet = diveSheet(file().db(), 1, s("Ana"), m_now, {});
    ASSERT_OK(sheet);
    EXPECT_EQ(sheet->samples.back().found, labels->front().found);
    EXPECT_FALSE(sheet->samples.back().time);
    QStringList people;
    for (const SheetPerson &p : sheet->people)
        people << p.name + s(" ") + p.role;
    EXPECT_EQ(people, QStringList({s("Mara data logger"), s("Ben found at recovery")}));
    const auto history = readHistory(file().db(), found->id);
    ASSERT_OK(history);
    QStringList told;
    for (const HistoryLine &line : history->lines)
        told << line.sentence;
    EXPECT_TRUE(
        told.join(s("\n")).contains(s("found at recovery of dive 1; collected between 2026-03-12T06:00:00")))
        << told.join(s("\n")).toStdString();
}
