// SPDX-License-Identifier: GPL-3.0-or-later
#include "exchange/stations.h"

#include "custody/preservation.h"

#include <random>

using namespace holdfast;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

/// A week at sea: the van plans and logs five dives, the deck tallies, the lab splits, names and stores;
/// files of exchange go about at random.
class WeekAtSea : public test::Stations
{
protected:
    void SetUp() override
    {
        Stations::SetUp();
        auto loaded = HoldingRules::load();
        ASSERT_OK(loaded);
        holding.emplace(std::move(*loaded));
        auto read = readTemplate(s("loadouts"), s("demo"));
        ASSERT_OK(read);
        loadout = *read;
    }
    /// Some exchanges, whoever happens to meet.
    void meetings()
    {
        static const std::vector<std::string> names{"van", "deck", "lab"};
        for (int i = 0; i < 3; ++i)
            ASSERT_OK(give(names[random() % 3], names[random() % 3]));
    }
    QString collect(const std::string &name, int dive, const QString &slot, const char *kind)
    {
        SampleDetails d;
        d.slot = slot;
        d.kind = s(kind);
        const Act a = act();
        const auto logged = stampSample(at(name), a, dive, a.now, d, m_kinds);
        EXPECT_TRUE(logged) << (logged ? "" : logged.error().sentence.toStdString());
        return logged ? logged->id : QString();
    }
    QString split(const std::string &name, const QString &parent)
    {
        SpecimenDetails d;
        d.material = s("tissue");
        const auto id = splitSpecimen(at(name), act(), parent, d);
        EXPECT_TRUE(id) << (id ? "" : id.error().sentence.toStdString());
        return id ? *id : QString();
    }
    void nameIt(const std::string &name, const QString &id, const char *taxon)
    {
        Identification i;
        i.item = id;
        i.name = s(taxon);
        i.identifiedBy = s("Bo");
        i.date = s("2026-03-14");
        ASSERT_OK(identifyItem(at(name), act(), i));
    }
    void store(const std::string &name, const QString &id, const char *place)
    {
        const Act a = act();
        ASSERT_OK(storeItems(at(name), a, {id}, s(place), s("-80"), a.now, *holding));
    }
    void weigh(const std::string &name, const QString &id, const char *grams)
    {
        ASSERT_OK(amendSpecimen(at(name), act(), id, s("mass"), s(grams), s("weighed")));
    }
    void tally(const std::string &name, int dive, const QString &slot, TallyAnswer answer)
    {
        ASSERT_OK(tallySlot(at(name), act(), dive, slot, answer, s("as seen on deck")));
    }

    std::optional<HoldingRules> holding;
    QJsonObject loadout;
    std::mt19937 random{20260312};
};

} // namespace

TEST_F(WeekAtSea, AllPlantedContradictionsAreReportedEverywhereAndNoOthers)
{
    static const QStringList boxes{s("B1"), s("B2"), s("B3"), s("B4")};
    QStringList samples;
    QStringList specimens;
    for (int dive = 2; dive <= 6; ++dive) {
        ASSERT_OK(planDive(at("van"), act(), dive, s("Deep vehicle"), loadout));
        meetings();
        QStringList today;
        for (const QString &box : boxes)
            today << collect("van", dive, box, "octocoral");
        for (int rock = 0; rock < 12; ++rock)
            today << collect("van", dive, rock % 2 ? s("R1") : s("R2"), "rock");
        meetings();
        // On deck everybody's stick has gone round before the boxes are opened.
        exchangeAll();
        for (const QString &box : boxes)
            tally("deck", dive, box, TallyAnswer::AsLogged);
        meetings();
        for (const QString &id : today) {
            for (int part = 0; part < (id == today.back() ? 0 : 3) && specimens.size() < 40 * (dive - 1);
                 ++part) {
                specimens << split("lab", id);
                nameIt("lab", specimens.back(), "Octocorallia");
                store("lab", specimens.back(), "ship/lab 2/freezer A");
            }
            weigh("lab", specimens.back(), "1.5");
        }
        meetings();
        ASSERT_OK(note("van", today.front(), "as on video"));
        samples << today;
    }
    ASSERT_EQ(samples.size(), 80);
    ASSERT_EQ(specimens.size(), 200);
    exchangeAll();
    expectAllTheSame();
    ASSERT_TRUE(abouts(at("van")).isEmpty()) << conflictsOf(at("van")).join(QLatin1Char('\n')).toStdString();

    // Ten mistakes, each made by two who do not know of each other.
    QStringList planted;
    ASSERT_OK(note("deck", samples.at(1), "broken base"));
    ASSERT_OK(note("lab", samples.at(1), "whole"));
    planted << samples.at(1) + s(": description");
    weigh("deck", specimens.at(5), "2.5");
    weigh("lab", specimens.at(5), "3.5");
    planted << specimens.at(5) + s(": mass");
    nameIt("van", specimens.at(9), "Paragorgia");
    nameIt("lab", specimens.at(9), "Primnoa");
    planted << specimens.at(9) + s(": identification");
    store("deck", specimens.at(20), "ship/deck/box 3");
    store("lab", specimens.at(20), "ship/lab 1/freezer B");
    planted << specimens.at(20) + s(": storage place");
    tally("van", 3, s("B2"), TallyAnswer::Different);
    tally("deck", 3, s("B2"), TallyAnswer::Broken);
    planted << s("dive 3, slot B2: tally");
    ASSERT_OK(moveSample(at("van"), act(), samples.at(17), s("B5"), s("misread")));
    ASSERT_OK(moveSample(at("lab"), act(), samples.at(17), s("B6"), s("misread")));
    planted << samples.at(17) + s(": slot");
    ASSERT_OK(setSampleState(at("deck"), act(), samples.at(33), s("lost"), s("slipped")));
    ASSERT_OK(setSampleState(at("lab"), act(), samples.at(33), s("void"), s("a pebble")));
    planted << samples.at(33) + s(": state");
    ASSERT_FALSE(collect("van", 6, s("B5"), "octocoral").isEmpty());
    ASSERT_FALSE(collect("deck", 6, s("B5"), "octocoral").isEmpty());
    planted << s("dive 6 slot B5: given twice");
    ASSERT_OK(planDive(at("van"), act(), 7, s("Deep vehicle"), loadout));
    ASSERT_OK(planDive(at("lab"), act(), 7, s("Other vehicle"), loadout));
    planted << s("number 7: plan");
    ASSERT_OK(reachPhase(at("van"), act(), 6, Phase::OnDeck, m_now));
    ASSERT_OK(reachPhase(at("deck"), act(), 6, Phase::OnDeck, m_now + std::chrono::minutes(5)));
    planted << s("dive 6: on deck");

    for (int i = 0; i < 6; ++i)
        meetings();
    exchangeAll();
    expectAllTheSame();
    planted.sort();
    for (const char *name : {"van", "deck", "lab"}) {
        QStringList found = abouts(at(name));
        found.sort();
        EXPECT_EQ(found.join(QLatin1Char('\n')).toStdString(), planted.join(QLatin1Char('\n')).toStdString())
            << name;
    }
    // All are settled at one station, and so everywhere.
    const auto open = openConflicts(at("lab").db());
    ASSERT_OK(open);
    for (const Conflict &c : *open)
        ASSERT_OK(settleConflict(at("lab"), act(), c.key, s("talked it over")));
    exchangeAll();
    expectAllTheSame();
    EXPECT_TRUE(abouts(at("van")).isEmpty()) << conflictsOf(at("van")).join(QLatin1Char('\n')).toStdString();
}
