// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_audit.h"
#include "custody/custody_verbs.h"
#include "custody/due.h"
#include "custody/entry_amendment.h"
#include "custody/find.h"
#include "custody/hand_over.h"
#include "custody/held_acts.h"
#include "custody/item_cautions.h"
#include "custody/specimens.h"
#include "custody/tally.h"
#include "support/a_cruise.h"

#include <QJsonArray>

using namespace holdfast;
using test::at;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

HoldingLimit limitOf(int cold, int preserve, const QStringList &preservatives)
{
    HoldingLimit l;
    l.coldMinutes = cold;
    l.preserveMinutes = preserve;
    l.warnMinutes = 30;
    l.preservatives = preservatives;
    return l;
}

class Holding : public test::WithCruise
{
protected:
    VerbRules rules() const override { return allVerbRules(); }
    void SetUp() override
    {
        WithCruise::SetUp();
        ASSERT_OK(sample(s("B1"), s("coral")));
        auto loaded = HoldingRules::load();
        ASSERT_OK(loaded);
        m_rules.emplace(std::move(*loaded));
    }
    QString split(const char *material, const char *purpose)
    {
        SpecimenDetails d;
        d.material = s(material);
        d.purpose = s(purpose);
        const auto id = splitSpecimen(file(), act(), s("TK26-01-001"), d);
        EXPECT_TRUE(id);
        return id.value_or(QString());
    }
    Preservative in(const char *name, const char *percent = "", const char *base = "")
    {
        Preservative p;
        p.name = s(name);
        p.percent = s(percent);
        p.base = s(base);
        p.at = m_now;
        return p;
    }
    std::optional<HoldingRules> m_rules;
};

} // namespace

TEST(ColdClock, WarnsBeforeTheLimitAndNotAfter)
{
    const UtcTime bottom = at("2026-03-12T12:00:00Z");
    const HoldingLimit limit = limitOf(60, 180, {s("ethanol")});
    const auto stateAt = [&](const char *now, std::size_t which) {
        return coldClock(limit, {bottom, {}, {}}, at(now)).at(which).state;
    };
    EXPECT_EQ(stateAt("2026-03-12T12:29:59Z", 0), ClockState::Running);
    EXPECT_EQ(stateAt("2026-03-12T12:30:00Z", 0), ClockState::Warning);
    EXPECT_EQ(stateAt("2026-03-12T13:00:00Z", 0), ClockState::Warning) << "the last moment is in time";
    EXPECT_EQ(stateAt("2026-03-12T13:00:01Z", 0), ClockState::Over);
    EXPECT_EQ(stateAt("2026-03-12T13:00:01Z", 1), ClockState::Running);
    const auto readings = coldClock(limit, {bottom, {}, {}}, at("2026-03-12T12:20:00Z"));
    EXPECT_EQ(readings.at(0).what, s("into the cold"));
    EXPECT_DOUBLE_EQ(readings.at(0).leftMinutes, 40.0);
    EXPECT_EQ(readings.at(1).due, at("2026-03-12T15:00:00Z"));
}

TEST(ColdClock, StoringCoolsButDoesNotPreserve)
{
    const UtcTime bottom = at("2026-03-12T12:00:00Z");
    const UtcTime stored = at("2026-03-12T12:50:00Z");
    const UtcTime later = at("2026-03-12T16:00:00Z");
    const auto needs = coldClock(limitOf(60, 180, {s("ethanol")}), {bottom, {}, stored}, later);
    EXPECT_EQ(needs.at(0).state, ClockState::Met);
    EXPECT_EQ(needs.at(1).state, ClockState::Over);
    const auto none = coldClock(limitOf(60, 180, {}), {bottom, {}, stored}, later);
    EXPECT_EQ(none.at(1).state, ClockState::Met);
    const auto late = coldClock(limitOf(60, 180, {s("ethanol")}), {bottom, later, {}}, later);
    EXPECT_EQ(late.at(0).state, ClockState::MetLate);
    EXPECT_EQ(late.at(1).state, ClockState::MetLate);
    EXPECT_DOUBLE_EQ(late.at(1).leftMinutes, -60.0);
    EXPECT_TRUE(coldClock(HoldingLimit{}, {bottom, {}, {}}, later).empty()) << "no limit, no reading";
}

TEST_F(Holding, TheTemplateAnswersByMaterialFamilyAndPurpose)
{
    const HoldingTable &t = m_rules->limits;
    ASSERT_TRUE(t.find(s("coral"), s("biology"), s("dna")));
    EXPECT_EQ(t.find(s("coral"), s("biology"), s("dna"))->preservatives.front(), s("ethanol"));
    // Glover et al. 2016, J. Mar. Sci. Eng. 4(1):2: chilled, filtered sea water near 2 to 7 C.
    EXPECT_EQ(t.find(s("coral"), s("biology"), s("art"))->lowestC, 2);
    EXPECT_EQ(t.find(s("coral"), s("biology"), s(""))->highestC, 7);
    EXPECT_FALSE(t.find(s("plastic"), s(""), s("DNA")));
    EXPECT_EQ(t.cautionsFor(s("Formalin, buffered")).size(), 1);
    EXPECT_TRUE(t.cautionsForKind(s("basalt")).isEmpty());
    EXPECT_EQ(t.cautionsFor(s("dry ice box")).size(), 1);
    EXPECT_EQ(t.cautionsFor(s("LN2")).size(), 1);
    EXPECT_TRUE(t.cautionsFor(s("sea water")).isEmpty());
    for (const HoldingLimit &l : t.limits())
        EXPECT_FALSE(l.source.isEmpty());
    for (const char *substance : {"formalin", "ethanol", "dry ice", "liquid nitrogen"})
        EXPECT_TRUE(t.cautionsFor(s(substance)).join(s(" ")).contains(s("local rules"), Qt::CaseInsensitive));
}

TEST_F(Holding, ABadTemplateIsRefusedWithTheField)
{
    const QJsonObject good{{s("materials"), QJsonArray{s("rock")}},
                           {s("purpose"), s("")},
                           {s("preservatives"), QJsonArray{}},
                           {s("temperature_c"), QJsonArray{1, 8}},
                           {s("source"), s("common practice")}};
    const auto parsed = [](const QJsonObject &limit) {
        return HoldingTable::parse({{s("limits"), QJsonArray{limit}}}, s("t.json"));
    };
    ASSERT_OK(parsed(good));
    const QList<std::pair<QString, QJsonValue>> bad{{s("materials"), QJsonArray{}},
                                                    {s("materials"), s("rock")},
                                                    {s("purpose"), 3},
                                                    {s("preservatives"), s("none")},
                                                    {s("temperature_c"), QJsonArray{8, 1}},
                                                    {s("temperature_c"), s("cold")},
                                                    {s("source"), s(" ")},
                                                    {s("cold_minutes"), 0},
                                                    {s("preserve_minutes"), 1.5},
                                                    {s("warn_minutes"), s("soon")}};
    for (const auto &[key, value] : bad) {
        QJsonObject o = good;
        o.insert(key, value);
        const auto result = parsed(o);
        ASSERT_FALSE(result) << key.toStdString();
        EXPECT_TRUE(result.error().sentence.contains(s("t.json, limit 1: \"") + key))
            << result.error().sentence.toStdString();
    }
    EXPECT_FALSE(HoldingTable::parse({}, s("t.json")));
    EXPECT_FALSE(HoldingTable::parse({{s("limits"), QJsonArray{good, good}}}, s("t.json")));
}

// WAM, Preservation and Lodgement of Marine Fauna (2011): formalin 10 % is about 3.7 to 4 % formaldehyde.
TEST_F(Holding, FormalinKeepsBothNumbersAndItsBase)
{
    const QString id = split("coral", "morphology");
    const auto noBase = preserveItems(file(), act(), {id}, in("formalin", "10"), *m_rules);
    ASSERT_FALSE(noBase);
    EXPECT_TRUE(noBase.error().sentence.contains(s("base")));
    const auto notice =
        preserveItems(file(), act(), {id}, in("buffered formalin", "10", "formalin"), *m_rules);
    ASSERT_OK(notice);
    EXPECT_EQ(notice->cautions.size(), 1);
    EXPECT_TRUE(notice->warnings.isEmpty());
    ASSERT_OK(preserveItems(file(), act(), {id}, in("formalin", "4", "formaldehyde"), *m_rules));
    const auto all = readPreservations(file().db(), id);
    ASSERT_OK(all);
    EXPECT_GE(all->front().formaldehydePercent.toDouble(), 3.7);
    EXPECT_LE(all->front().formaldehydePercent.toDouble(), 4.0);
    EXPECT_EQ(all->front().formalinPercent, s("10"));
    EXPECT_EQ(all->back().formaldehydePercent, s("4"));
    EXPECT_NEAR(all->back().formalinPercent.toDouble(), 10.8, 0.05);
    expectTablesFitTheLedger();
}

TEST_F(Holding, UnusualAndLateArePreservedWithAWarning)
{
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OffBottom, m_now));
    const QString id = split("tissue", "DNA");
    const auto formalin = preserveItems(file(), act(), {id}, in("formalin"), *m_rules);
    ASSERT_OK(formalin);
    EXPECT_EQ(formalin->warnings.size(), 1) << "never formalin first when DNA is wanted";
    m_now += std::chrono::hours(4);
    const QString other = split("tissue", "DNA"); // in nothing so far
    const auto late = preserveItems(file(), act(), {other}, in("ethanol", "96"), *m_rules);
    ASSERT_OK(late);
    EXPECT_TRUE(late->warnings.join(s(" ")).contains(s("after the limit")));
    const auto warm =
        storeItems(file(), act(), {s("TK26-01-001")}, s("ship/lab 2"), s("19.5"), m_now, *m_rules);
    ASSERT_OK(warm);
    EXPECT_TRUE(warm->warnings.join(s(" ")).contains(s("2 to 7")));
    expectTablesFitTheLedger();
}

TEST_F(Holding, BadPreservationAndPlacesAreRefusedWhole)
{
    const QString id = split("tissue", "DNA");
    const qint64 before = entries();
    const auto refused = [&](const QStringList &ids, const Preservative &p) {
        return !preserveItems(file(), act(), ids, p, *m_rules);
    };
    EXPECT_TRUE(refused({id, s("TK26-01-077")}, in("ethanol"))) << "all or none";
    EXPECT_TRUE(refused({id, id}, in("ethanol")));
    EXPECT_TRUE(refused({}, in("ethanol")));
    EXPECT_TRUE(refused({id}, in(" ")));
    EXPECT_TRUE(refused({id}, in("ethanol", "101")));
    EXPECT_TRUE(refused({id}, in("ethanol", "strong")));
    EXPECT_TRUE(refused({id}, in("ethanol", "80", "formalin")));
    Preservative p = in("ethanol");
    p.containerNumber = 3;
    p.containerCount = 2;
    EXPECT_TRUE(refused({id}, p));
    p = in("ethanol");
    p.at = m_now + std::chrono::hours(1);
    EXPECT_TRUE(refused({id}, p));
    p.at = at("2026-03-11T00:00:00Z");
    EXPECT_TRUE(refused({id}, p));
    for (const char *place : {"", "ship//lab", "/", "a/b/c/d/e/f/g/h/i/j/k"})
        EXPECT_FALSE(storeItems(file(), act(), {id}, s(place), {}, m_now, *m_rules)) << place;
    for (const char *warm : {"cold", "-300", "nan"})
        EXPECT_FALSE(storeItems(file(), act(), {id}, s("ship"), s(warm), m_now, *m_rules)) << warm;
    EXPECT_EQ(entries(), before);
}

TEST_F(Holding, APlaceHoldsWhatLiesInItAndBelow)
{
    const QString a = split("tissue", "DNA");
    const QString b = split("tissue", "DNA");
    ASSERT_OK(
        storeItems(file(), act(), {a, b}, s("ship/lab 2 / freezer A/shelf 3"), s("-80"), m_now, *m_rules));
    ASSERT_OK(storeItems(file(), act(), {b}, s("ship/lab 20"), {}, m_now, *m_rules));
    EXPECT_EQ(readPlace(file().db(), s("ship/lab 2"))->size(), 1u);
    EXPECT_EQ(readPlace(file().db(), s("ship/lab 2/freezer A/shelf 3"))->size(), 1u);
    EXPECT_EQ(readPlace(file().db(), s("ship"))->size(), 2u);
    EXPECT_EQ(readPlace(file().db(), {})->size(), 2u);
    EXPECT_EQ(readStorage(file().db(), b)->size(), 2u);
    expectTablesFitTheLedger();
}

TEST_F(Holding, NothingIsDueOfWhatWasUsedUp)
{
    ASSERT_OK(appointCustodian(file(), act(), 1, s("Ito"), m_now));
    ASSERT_OK(sample(s("R1"), s("plastic")));
    const QString rna = split("tissue", "RNA");
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OffBottom, m_now));
    m_now += std::chrono::minutes(10);
    auto list = readDue(file().db(), *m_rules, m_now);
    ASSERT_OK(list);
    EXPECT_FALSE(list->due.empty());
    EXPECT_EQ(list->withoutLimit, QStringList({s("TK26-01-002")}));
    const Act a = act();
    ASSERT_OK(endCustody(
        file(), a,
        {{rna, s("TK26-01-002")}, s("consumed"), s("Ito"), {}, s("dissolved for assay"), a.now, {}}));
    list = readDue(file().db(), *m_rules, m_now);
    ASSERT_OK(list);
    EXPECT_TRUE(list->due.empty());
    EXPECT_TRUE(list->withoutLimit.isEmpty());
}

TEST_F(Holding, DueIsSortedByTimeLeftAndEndsWhenDone)
{
    ASSERT_OK(sample(s("R1"), s("plastic")));
    const QString dna = split("tissue", "DNA");
    const QString rna = split("tissue", "RNA");
    auto list = readDue(file().db(), *m_rules, m_now);
    ASSERT_OK(list);
    EXPECT_TRUE(list->due.empty());
    EXPECT_EQ(list->notLeftBottom, QStringList({dna, rna}));
    EXPECT_EQ(list->withoutLimit, QStringList({s("TK26-01-002")}));
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OffBottom, m_now));
    m_now += std::chrono::minutes(10);
    list = readDue(file().db(), *m_rules, m_now);
    ASSERT_OK(list);
    ASSERT_EQ(list->due.size(), 3u)
        << "RNA: preservative; DNA: cold and preservative; the sample itself is split";
    EXPECT_EQ(list->due.front().item.id, rna);
    EXPECT_EQ(list->due.front().clock.state, ClockState::Warning);
    ASSERT_OK(preserveItems(file(), act(), {rna, dna}, in("liquid nitrogen"), *m_rules));
    EXPECT_TRUE(readDue(file().db(), *m_rules, m_now)->due.empty());
    expectTablesFitTheLedger();
}

// Common practice, each in its own words: what a substance does stands in its safety data sheet.
TEST_F(Holding, EachSubstanceHasItsOwnCaution)
{
    const HoldingTable &t = m_rules->limits;
    const QList<std::pair<const char *, const char *>> known{
        {"2.5 % glutaraldehyde in buffer", "Glutaraldehyde"},
        {"4 % PFA", "Paraformaldehyde"},
        {"Paraformaldehyde", "Paraformaldehyde"},
        {"mercuric chloride", "Mercuric chloride"},
        {"HgCl2", "Mercuric chloride"},
        {"HgCl\u2082", "Mercuric chloride"},
        {"Lugol's iodine", "Iodine"},
        {"isopropanol 70", "Propanol"},
        {"2-propanol", "Propanol"},
        {"sodium azide", "Azides"},
        {"OsO4", "Osmium"},
        {"osmium tetroxide", "Osmium"},
        {"EtOH", "Ethanol"},
        {"95% alcohol", "Alcohol"},
        {"methanol", "Methanol"},
        {"lab/liquid N2", "Liquid nitrogen"},
        {"LN2 dewar 3", "Liquid nitrogen"}};
    for (const auto &[name, begins] : known) {
        const QStringList cautions = t.cautionsFor(s(name));
        ASSERT_EQ(cautions.size(), 1) << name;
        EXPECT_TRUE(cautions.front().startsWith(s(begins))) << name << ": " << cautions.front().toStdString();
        EXPECT_TRUE(cautions.front().contains(s("local rules"), Qt::CaseInsensitive)) << name;
        EXPECT_TRUE(cautions.front().contains(s("safety data sheet"))) << name;
    }
    EXPECT_TRUE(t.cautionsFor(s("ethanolamine")).isEmpty()) << "a word within a word is another word";
}

TEST_F(Holding, WhatMayBeProtectedIsToldWithItsPartsAndNames)
{
    const QString tissue = split("tissue", "DNA");
    ASSERT_OK(sample(s("R1"), s("basalt")));
    auto cautions = cautionsOfItems(file().db(), {tissue}, m_rules->limits);
    ASSERT_OK(cautions);
    ASSERT_EQ(cautions->kinds.size(), 1) << "tissue of a coral is coral";
    EXPECT_TRUE(cautions->kinds.front().contains(s("permit")));
    EXPECT_TRUE(cautionsOfItems(file().db(), {s("TK26-01-002")}, m_rules->limits)->all().isEmpty());
}

TEST_F(Holding, APartIsInWhatItsParentWasInUntilItHasItsOwn)
{
    const QString whole = s("TK26-01-001");
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OffBottom, m_now));
    ASSERT_OK(preserveItems(file(), act(), {whole}, in("formalin", "10", "formalin"), *m_rules));
    m_now += std::chrono::minutes(5);
    const QString part = split("tissue", "morphology");
    const auto sub = splitSpecimen(file(), act(), part, [] {
        SpecimenDetails d;
        d.material = s("tissue");
        d.purpose = s("morphology");
        return d;
    }());
    ASSERT_OK(sub);
    for (const QString &id : {part, *sub}) {
        const auto now = readPreservedNow(file().db(), id);
        ASSERT_OK(now);
        ASSERT_TRUE(*now);
        EXPECT_EQ((*now)->preservative, s("formalin"));
        EXPECT_EQ((*now)->item, whole);
    }
    EXPECT_EQ(cautionsOfItems(file().db(), {*sub}, m_rules->limits)->substances.size(), 1);
    m_now += std::chrono::hours(10);
    EXPECT_TRUE(readDue(file().db(), *m_rules, m_now)->due.empty()) << "it went into formalin in time";
    // What happens to the parent after the split is not done to the part.
    ASSERT_OK(preserveItems(file(), act(), {whole}, in("ethanol", "70"), *m_rules));
    EXPECT_EQ((*readPreservedNow(file().db(), part))->preservative, s("formalin"));
    ASSERT_OK(preserveItems(file(), act(), {part}, in("ethanol", "96"), *m_rules));
    EXPECT_EQ((*readPreservedNow(file().db(), part))->item, part);
    EXPECT_EQ((*readPreservedNow(file().db(), *sub))->preservative, s("formalin"));
    const auto found = findItems(file().db(), FindQuery{s("formalin"), {}, {}, {}, 0, {}}, *m_rules, m_now);
    ASSERT_OK(found);
    ASSERT_EQ(found->size(), 1u);
    EXPECT_EQ(found->front().id, *sub);
    expectTablesFitTheLedger();
}

TEST_F(Holding, WhatItIsInAndWhereGoesByTheTimeItWasDone)
{
    const QString id = split("coral", "morphology");
    const UtcTime nine = m_now;
    m_now += std::chrono::hours(3);
    Preservative ethanol = in("ethanol", "96");
    ASSERT_OK(preserveItems(file(), act(), {id}, ethanol, *m_rules));
    ASSERT_OK(storeItems(file(), act(), {id}, s("lab/B"), s("4"), m_now, *m_rules));
    Preservative formalin = in("formalin", "10", "formalin");
    formalin.at = nine;
    ASSERT_OK(preserveItems(file(), act(), {id}, formalin, *m_rules)); // written down late
    ASSERT_OK(storeItems(file(), act(), {id}, s("lab/A"), s("4"), nine, *m_rules));
    EXPECT_EQ(readPreservations(file().db(), id)->back().preservative, s("ethanol"));
    EXPECT_EQ(readStorage(file().db(), id)->back().place, s("lab/B"));
    EXPECT_TRUE(readPlace(file().db(), s("lab/A"))->empty());
    EXPECT_EQ(readPlace(file().db(), s("lab/B"))->size(), 1u);
    const auto found = findItems(file().db(), FindQuery{id, {}, {}, {}, 0, {}}, *m_rules, m_now);
    ASSERT_OK(found);
    EXPECT_EQ(found->front().place, s("lab/B"));
    EXPECT_TRUE(found->front().words.contains(s("ethanol"))) << found->front().words.toStdString();
    expectTablesFitTheLedger();
}

TEST_F(Holding, ALimitOnceMetIsNotLateWhenTheJarIsChanged)
{
    const QString id = split("coral", "morphology");
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OffBottom, m_now));
    ASSERT_OK(preserveItems(file(), act(), {id}, in("formalin", "10", "formalin"), *m_rules));
    m_now += std::chrono::hours(72);
    const auto moved = preserveItems(file(), act(), {id}, in("ethanol", "70"), *m_rules);
    ASSERT_OK(moved);
    EXPECT_TRUE(moved->warnings.isEmpty()) << moved->warnings.join(s("; ")).toStdString();
    const auto audit = auditCustody(file().db(), *m_rules, m_now);
    ASSERT_OK(audit);
    EXPECT_FALSE(audit->text().contains(s("after the limit"))) << audit->text().toStdString();
}

TEST_F(Holding, OnlyAPlaceThatIsColdEnoughStopsTheClock)
{
    const QString a = split("coral", "art"); // biology without a purpose of its own: 2 to 7 C
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OffBottom, m_now));
    const auto states = [&] {
        QStringList words;
        const auto list = readDue(file().db(), *m_rules, m_now);
        for (const DueItem &d : list->due)
            words << d.clock.what + s(" ") + clockWord(d.clock.state) + s(" ") + d.question;
        return words.join(s("; "));
    };
    ASSERT_OK(storeItems(file(), act(), {a}, s("ship/bench in the sun"), s("30"), m_now, *m_rules));
    EXPECT_TRUE(states().startsWith(s("into the cold"))) << states().toStdString();
    const auto asked = storeItems(file(), act(), {a}, s("ship/box"), {}, m_now, *m_rules);
    ASSERT_OK(asked);
    EXPECT_TRUE(asked->warnings.join(s(" ")).contains(s("how cold")))
        << asked->warnings.join(s(" ")).toStdString();
    EXPECT_TRUE(states().contains(s("how cold is ship/box"))) << states().toStdString();
    m_now += std::chrono::hours(5);
    const auto late = storeItems(file(), act(), {a}, s("ship/fridge"), s("4"), m_now, *m_rules);
    ASSERT_OK(late);
    EXPECT_TRUE(late->warnings.join(s(" ")).contains(s("after the limit")));
    EXPECT_TRUE(states().isEmpty());
    const auto audit = auditCustody(file().db(), *m_rules, m_now);
    ASSERT_OK(audit);
    EXPECT_EQ(audit->text().count(s("after the limit")), 1) << audit->text().toStdString();
    expectTablesFitTheLedger();
}

TEST_F(Holding, WithoutOffBottomTheClockBeginsOnDeck)
{
    const QString a = split("coral", "art");
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::Launched, m_now));
    m_now += std::chrono::minutes(1);
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OnDeck, m_now));
    const UtcTime onDeck = m_now;
    const auto list = readDue(file().db(), *m_rules, m_now);
    ASSERT_OK(list);
    ASSERT_EQ(list->due.size(), 1u);
    EXPECT_EQ(list->due.front().item.id, a);
    EXPECT_NEAR(secondsBetween(onDeck, list->due.front().clock.due), 240 * 60, 5);
}

TEST_F(Holding, CorrectingThePreservativeClearsWhatCountedTheOther)
{
    const QString id = split("coral", "morphology");
    const auto last = [&] {
        auto row = query(file().db().connection(),
                         s("SELECT uuid FROM ledger WHERE verb=? ORDER BY seq DESC"), {verb::itemPreserved});
        return row && row->next() ? row->text(0) : QString();
    };
    ASSERT_OK(preserveItems(file(), act(), {id}, in("formalin", "10", "formalin"), *m_rules));
    const auto cleared = amendEntry(file(), act(), last(), s("preservative"), s("ethanol"), s("misread"));
    ASSERT_OK(cleared);
    EXPECT_EQ(*cleared, QStringList({s("percent"), s("base")}));
    PreservationInfo now = readPreservations(file().db(), id)->back();
    EXPECT_EQ(now.preservative + now.percent + now.base + now.formalinPercent + now.formaldehydePercent,
              s("ethanol"));
    ASSERT_OK(amendEntry(file(), act(), last(), s("percent"), s("96"), s("misread")));
    EXPECT_FALSE(amendEntry(file(), act(), last(), s("base"), s("formalin"), s("why")));
    ASSERT_OK(amendEntry(file(), act(), last(), s("preservative"), s("formalin"), s("it was right")));
    EXPECT_EQ(readPreservations(file().db(), id)->back().percent, s(""));
    EXPECT_FALSE(amendEntry(file(), act(), last(), s("percent"), s("4"), s("why"))) << "4 % of what?";
    ASSERT_OK(amendEntry(file(), act(), last(), s("base"), s("formaldehyde"), s("label")));
    ASSERT_OK(amendEntry(file(), act(), last(), s("percent"), s("4"), s("label")));
    now = readPreservations(file().db(), id)->back();
    EXPECT_EQ(now.formaldehydePercent, s("4"));
    EXPECT_NEAR(now.formalinPercent.toDouble(), 10.8, 0.05);
    expectTablesFitTheLedger();
}
