// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/specimens.h"

#include "base/ids.h"
#include "custody/custody_book.h"
#include "custody/find.h"
#include "custody/tally.h"
#include "support/a_cruise.h"

using namespace holdfast;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class Specimens : public test::WithCruise
{
protected:
    VerbRules rules() const override { return allVerbRules(); }
    void SetUp() override
    {
        WithCruise::SetUp();
        ASSERT_OK(reachPhase(file(), act(), 1, Phase::Launched, m_now));
        ASSERT_OK(sample(s("R1"), s("basalt")));
    }
    Result<QString> split(const QString &parent, const char *material)
    {
        SpecimenDetails d;
        d.material = s(material);
        return splitSpecimen(file(), act(), parent, d);
    }
    SpecimenDetails rider()
    {
        SpecimenDetails d;
        d.material = s("crinoid");
        d.foundOn = rock;
        return d;
    }
    const QString rock = QStringLiteral("TK26-01-001");
};

} // namespace

TEST_F(Specimens, AreNumberedBelowTheirParentAndNumbersAreNeverReused)
{
    EXPECT_EQ(*split(rock, "rock slice"), s("TK26-01-001.1"));
    EXPECT_EQ(*split(rock, "rock slice"), s("TK26-01-001.2"));
    EXPECT_EQ(*split(s("TK26-01-001.2"), "powder"), s("TK26-01-001.2.1"));
    EXPECT_EQ(*split(printedId(s("TK26-01-001.2")), "powder"), s("TK26-01-001.2.2"))
        << "scanned with its check";
    EXPECT_EQ(*split(rock, "rock slice"), s("TK26-01-001.3"));
    EXPECT_FALSE(split(s("TK26-01-001.2.1"), "grain")) << "subsamples are the last level";
    const auto all = readSpecimens(file().db(), rock);
    ASSERT_OK(all);
    EXPECT_EQ(all->size(), 5u);
    expectTablesFitTheLedger();
}

TEST_F(Specimens, BadSplitsAreRefusedWithASentence)
{
    const qint64 before = entries();
    for (const char *id : {"TK26-01-099", "TK26-01-001*?", "", "TK26_01"})
        EXPECT_FALSE(split(s(id), "tissue")) << id;
    EXPECT_FALSE(split(rock, " "));
    SpecimenDetails d;
    d.material = s("tissue");
    for (const char *mass : {"heavy", "-1", "0", "nan", "inf", "1,5"}) {
        d.massG = s(mass);
        const auto made = splitSpecimen(file(), act(), rock, d);
        ASSERT_FALSE(made) << mass;
        EXPECT_TRUE(made.error().sentence.contains(s("grams"))) << made.error().sentence.toStdString();
    }
    d.massG.clear();
    d.count = 0;
    EXPECT_FALSE(splitSpecimen(file(), act(), rock, d));
    d.count = 2;
    d.span = TimeSpan{m_now, m_now};
    EXPECT_FALSE(splitSpecimen(file(), act(), rock, d)) << "a span without a host";
    d.span.reset();
    d.at = m_now + std::chrono::hours(1);
    EXPECT_FALSE(splitSpecimen(file(), act(), rock, d)) << "in the future";
    d.at = readSample(file().db(), rock)->time - std::chrono::seconds(1);
    const auto early = splitSpecimen(file(), act(), rock, d);
    ASSERT_FALSE(early);
    EXPECT_TRUE(early.error().sentence.contains(s("TK26-01-001 was taken at")))
        << early.error().sentence.toStdString();
    EXPECT_EQ(entries(), before) << "a refusal writes nothing";
    ASSERT_OK(setSampleState(file(), act(), rock, s("lost"), s("over the side")));
    const auto gone = split(rock, "tissue");
    ASSERT_FALSE(gone);
    EXPECT_TRUE(gone.error().sentence.contains(s("lost")));
}

TEST_F(Specimens, ARiderKnowsItsHostAndAnHonestSpan)
{
    ASSERT_FALSE(splitSpecimen(file(), act(), rock, rider())) << "the vehicle is not on deck: no span yet";
    const auto host = readSample(file().db(), rock);
    ASSERT_OK(host);
    m_now += std::chrono::hours(3);
    const UtcTime deck = m_now;
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OnDeck, deck));
    const auto id = splitSpecimen(file(), act(), rock, rider());
    ASSERT_OK(id);
    const auto info = readSpecimen(file().db(), *id);
    ASSERT_OK(info);
    EXPECT_EQ(info->details.foundOn, rock);
    EXPECT_EQ(info->details.relation, s("found on"));
    ASSERT_TRUE(info->details.span);
    EXPECT_EQ(info->details.span->from, host->time);
    EXPECT_EQ(info->details.span->to, deck);
    SpecimenDetails backwards = rider();
    backwards.span = TimeSpan{deck, host->time};
    EXPECT_FALSE(splitSpecimen(file(), act(), rock, backwards));
    expectTablesFitTheLedger();
}

TEST_F(Specimens, AnUnloggedFindBecomesASampleWithASpan)
{
    SampleDetails d;
    d.kind = s("sponge");
    d.slot = s("B4");
    EXPECT_FALSE(logFind(file(), act(), 1, d, {}, m_kinds)) << "not on deck yet: say the span";
    m_now += std::chrono::hours(3);
    ASSERT_OK(reachPhase(file(), act(), 1, Phase::OnDeck, m_now));
    const auto found = logFind(file(), act(), 1, d, {}, m_kinds);
    ASSERT_OK(found);
    EXPECT_EQ(found->id, s("TK26-01-002"));
    const auto stamps = readStamps(file().db(), 1);
    ASSERT_OK(stamps);
    EXPECT_FALSE(findSpan(stamps->front()));
    const auto span = findSpan(stamps->back());
    ASSERT_TRUE(span);
    const auto dive = readDive(file().db(), 1);
    ASSERT_OK(dive);
    EXPECT_EQ(span->from, *dive->launched);
    EXPECT_EQ(span->to, *dive->onDeck);
    expectTablesFitTheLedger();
}

// The rank words are those of Darwin Core's taxonRank; cf. and aff. are open nomenclature (common practice).
TEST_F(Specimens, NamesPileUpAndTheLastCounts)
{
    Identification i;
    i.item = rock;
    i.name = s("Porifera");
    i.rank = s("Phylum");
    ASSERT_OK(identifyItem(file(), act(), i));
    i.name = s("Euplectella");
    i.rank = s("genus");
    i.qualifier = s("cf.");
    i.identifiedBy = s("Dr. Ito");
    i.date = s("2026-03-11");
    ASSERT_OK(identifyItem(file(), act(), i));
    const auto names = readIdentifications(file().db(), rock);
    ASSERT_OK(names);
    ASSERT_EQ(names->size(), 2u);
    EXPECT_EQ(names->front().rank, s("phylum"));
    EXPECT_EQ(names->front().identifiedBy, s("Mara"));
    EXPECT_EQ(names->front().date, s("2026-03-12"));
    EXPECT_EQ(names->back().name, s("Euplectella"));
    EXPECT_EQ(names->back().qualifier, s("cf."));
    i.rank = s("sort");
    EXPECT_FALSE(identifyItem(file(), act(), i));
    i.rank.clear();
    i.date = s("2026-02-30");
    EXPECT_FALSE(identifyItem(file(), act(), i));
    i.date = s("2026-03-14");
    EXPECT_FALSE(identifyItem(file(), act(), i)) << "two days ahead: nowhere is it that day yet";
    i.date = s("2026-03-13");
    EXPECT_TRUE(identifyItem(file(), act(), i)) << "east of Greenwich it may be";
    i.date.clear();
    i.name = s(" ");
    EXPECT_FALSE(identifyItem(file(), act(), i));
    expectTablesFitTheLedger();
}

// FIPS 180-4, "abc": the example published with the standard.
TEST_F(Specimens, PhotographsAreKnownByTheirBytes)
{
    const QString image = path(s("deck.jpg"));
    write(image, "abc");
    const auto linked = linkPhotograph(file(), act(), rock, image, s("on deck, with scale"));
    ASSERT_OK(linked);
    EXPECT_EQ(linked->sha256, s("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"));
    EXPECT_EQ(linked->bytes, 3);
    const auto seen = readPhotograph(image);
    ASSERT_OK(seen);
    const auto again = linkPhotographs(file(), act(), {rock}, *seen, {});
    ASSERT_FALSE(again);
    EXPECT_EQ(again.error().kind, ErrorKind::Duplicate);
    EXPECT_FALSE(linkPhotograph(file(), act(), rock, path(s("none.jpg")), {}));
    EXPECT_FALSE(linkPhotograph(file(), act(), rock, path(QString()), {})) << "a folder";
    const QString broken = path(s("two\nlines.jpg"));
    write(broken, "picture");
    const auto unnamed = linkPhotograph(file(), act(), rock, broken, {});
    ASSERT_FALSE(unnamed);
    EXPECT_TRUE(unnamed.error().sentence.contains(s("must be one line")))
        << unnamed.error().sentence.toStdString();
    write(path(s("empty.jpg")), "");
    EXPECT_FALSE(linkPhotograph(file(), act(), rock, path(s("empty.jpg")), {}));
    EXPECT_EQ(readPhotographs(file().db(), rock)->size(), 1u);
    expectTablesFitTheLedger();
}

TEST_F(Specimens, CorrectionsKeepTheEarlierValue)
{
    const QString id = *split(rock, "tisue");
    ASSERT_OK(amendSpecimen(file(), act(), id, s("material"), s("tissue"), s("typing error")));
    ASSERT_OK(amendSpecimen(file(), act(), id, s("count"), s("3"), s("counted again")));
    ASSERT_OK(amendSpecimen(file(), act(), id, s("count"), s(""), s("not counted after all")));
    const auto info = readSpecimen(file().db(), id);
    ASSERT_OK(info);
    EXPECT_EQ(info->details.material, s("tissue"));
    EXPECT_FALSE(info->details.count);
    const auto changes = readSpecimenAmendments(file().db(), id);
    ASSERT_OK(changes);
    ASSERT_EQ(changes->size(), 3u);
    EXPECT_EQ(changes->front().oldValue, s("tisue"));
    EXPECT_FALSE(amendSpecimen(file(), act(), id, s("material"), s("x"), s(" ")));
    EXPECT_FALSE(amendSpecimen(file(), act(), id, s("colour"), s("red"), s("why")));
    EXPECT_FALSE(amendSpecimen(file(), act(), id, s("count"), s("many"), s("why")));
    EXPECT_FALSE(amendSpecimen(file(), act(), id, s("mass"), s("-2"), s("why")));
    expectTablesFitTheLedger();
}

TEST_F(Specimens, AMisSplitOneIsVoidAndKeepsItsNumber)
{
    const auto rules = HoldingRules::load();
    ASSERT_OK(rules);
    ASSERT_OK(split(rock, "rock slice"));
    const auto wrong = split(rock, "rock slice");
    ASSERT_OK(wrong);
    const auto below = split(*wrong, "powder");
    ASSERT_OK(below);
    EXPECT_FALSE(voidSpecimen(file(), act(), *wrong, s(" "))) << "a reason stays with the record";
    EXPECT_FALSE(voidSpecimen(file(), act(), rock, s("why"))) << "a sample is no split";
    EXPECT_FALSE(voidSpecimen(file(), act(), *wrong, s("why"))) << "its powder would hang in the air";
    const qint64 before = entries();
    EXPECT_FALSE(voidSpecimens(file(), act(), {*below, s("TK26-01-001.9")}, s("why"))) << "all or none";
    EXPECT_EQ(entries(), before);
    ASSERT_OK(voidSpecimens(file(), act(), {*below, *wrong}, s("the key was pressed twice")));
    EXPECT_EQ(readSpecimen(file().db(), *wrong)->state, s("void"));
    EXPECT_EQ(readItem(file().db(), *wrong)->state, s("void"));
    EXPECT_FALSE(split(*wrong, "powder")) << "nothing can be done with it";
    EXPECT_FALSE(voidSpecimen(file(), act(), *wrong, s("again")));
    EXPECT_EQ(*split(rock, "rock slice"), s("TK26-01-001.3")) << "its number is not given again";
    EXPECT_EQ(custodyNow(file().db(), *wrong)->basis, s("void"));
    const auto found = findItems(file().db(), FindQuery{*wrong, {}, {}, {}, 0, {}}, *rules, m_now);
    ASSERT_OK(found);
    ASSERT_FALSE(found->empty());
    EXPECT_EQ(found->front().state, s("void"));
    expectTablesFitTheLedger();
    ASSERT_OK(rebuildTables(file()));
    expectTablesFitTheLedger();
}

TEST_F(Specimens, AnActOnSeveralIsAllOrNone)
{
    SpecimenDetails d;
    d.material = s("rock slice");
    const qint64 before = entries();
    EXPECT_FALSE(splitSpecimens(file(), act(), {rock, s("TK26-01-099")}, d));
    EXPECT_FALSE(identifyItems(file(), act(), {rock, s("TK26-01-099")},
                               {{}, s("Basalt"), {}, {}, {}, {}, {}, {}, {}}));
    EXPECT_FALSE(
        amendItems(file(), act(), {rock, s("TK26-01-099")}, s("description"), s("dark"), s("why"), m_kinds));
    EXPECT_EQ(entries(), before);
    const auto made = splitSpecimens(file(), act(), {rock, rock}, d);
    ASSERT_OK(made);
    EXPECT_EQ(*made, QStringList({s("TK26-01-001.1"), s("TK26-01-001.2")}));
    ASSERT_OK(
        amendItems(file(), act(), {rock, made->front()}, s("description"), s("dark"), s("why"), m_kinds));
    EXPECT_EQ(readSample(file().db(), rock)->description, s("dark"));
    EXPECT_EQ(readSpecimen(file().db(), made->front())->details.description, s("dark"));
    expectTablesFitTheLedger();
}
