// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_audit.h"
#include "custody/custody_verbs.h"
#include "custody/entry_amendment.h"
#include "custody/entry_body.h"
#include "custody/hand_over.h"
#include "custody/seals.h"
#include "custody/specimens.h"
#include "custody/tally.h"
#include "support/a_cruise.h"

#include <algorithm>
#include <random>

using namespace holdfast;

// A week at sea, invented: 5 dives, 50 samples, 200 specimens, 60 hand-overs. Ten mistakes are planted at its
// end; the audit must tell these and no others. Those that the actions refuse are written as entries from
// another station would come.

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class WeekAtSea : public test::WithCruise, public ::testing::WithParamInterface<unsigned>
{
protected:
    VerbRules rules() const override { return allVerbRules(); }

    void SetUp() override
    {
        WithCruise::SetUp();
        auto loaded = HoldingRules::load();
        ASSERT_OK(loaded);
        m_holding.emplace(std::move(*loaded));
        m_random.seed(GetParam());
        for (int dive = 1; dive <= 5; ++dive)
            ASSERT_NO_FATAL_FAILURE(playDive(dive));
    }

    /// One dive and its bench work, all in time and properly handed over.
    void playDive(int dive)
    {
        if (dive > 1) {
            m_now += std::chrono::hours(14);
            const auto loadout = readTemplate(s("loadouts"), s("demo"));
            ASSERT_OK(loadout);
            ASSERT_OK(planDive(file(), act(), dive, s("Deep vehicle"), *loadout));
        }
        ASSERT_OK(appointCustodian(file(), act(), dive, s("Ito"), m_now));
        ASSERT_OK(reachPhase(file(), act(), dive, Phase::Launched, m_now));
        QStringList samples;
        for (int i = 0; i < 10; ++i) {
            m_now += std::chrono::minutes(20);
            SampleDetails d;
            d.kind = s("coral");
            const Act a = act();
            const auto made = stampSample(file(), a, dive, a.now, d, m_kinds);
            ASSERT_OK(made);
            samples << made->id;
        }
        ASSERT_OK(reachPhase(file(), act(), dive, Phase::OffBottom, m_now));
        m_now += std::chrono::minutes(50);
        ASSERT_OK(reachPhase(file(), act(), dive, Phase::OnDeck, m_now));
        handOver(samples, "Ito", "Ana");
        QStringList parts;
        for (const QString &sample : samples) {
            for (int i = 0; i < 4; ++i) {
                SpecimenDetails d;
                d.material = s("tissue");
                d.purpose = s("DNA");
                const auto made = splitSpecimen(file(), act(), sample, d);
                ASSERT_OK(made);
                parts << *made;
                m_holder.insert(*made, s("Ana"));
            }
        }
        // One is forgotten on the last dive: a planted mistake.
        if (dive == 5)
            m_forgotten = parts.takeLast();
        Preservative p;
        p.name = s("ethanol");
        p.percent = s("96");
        Act a = act();
        p.at = a.now;
        ASSERT_OK(preserveItems(file(), a, parts, p, *m_holding));
        a = act();
        ASSERT_OK(storeItems(file(), a, parts, QStringLiteral("ship/lab/freezer/box %1").arg(dive), s("-20"),
                             a.now, *m_holding));
        m_parts << parts;
        for (int i = 0; i < 10; ++i)
            handSomeOver();
    }

    void handOver(const QStringList &ids, const char *from, const char *to)
    {
        m_now += std::chrono::minutes(3);
        OfferDetails o;
        o.ids = ids;
        o.from = s(from);
        o.to = s(to);
        Act a = act();
        o.at = a.now;
        const auto offered = offerItems(file(), a, o);
        ASSERT_OK(offered);
        m_lastOffer = offered->offer;
        a = act();
        Receipt r;
        r.offer = offered->code;
        r.by = o.to;
        r.acceptRest = true;
        r.condition = s("intact");
        r.at = a.now;
        ASSERT_OK(receiveItems(file(), a, r));
    }

    /// Some of what one person has, to another; now and then one is refused.
    void handSomeOver()
    {
        const char *people[] = {"Ana", "Ben", "Eva", "Kai"};
        QStringList have;
        std::size_t from = 0;
        do {
            from = m_random() % 4;
            have.clear();
            for (const QString &id : m_parts) {
                if (m_holder.value(id) == s(people[from]))
                    have << id;
            }
        } while (have.isEmpty());
        const std::size_t to = (from + 1 + m_random() % 3) % 4;
        std::shuffle(have.begin(), have.end(), m_random);
        have = have.mid(0, 1 + static_cast<qsizetype>(m_random() % 6));
        ASSERT_NO_FATAL_FAILURE(handOver(have, people[from], people[to]));
        for (const QString &id : have)
            m_holder.insert(id, s(people[to]));
    }

    /// A specimen that nothing was planted on yet.
    QString fresh() { return m_parts.at(m_planted++ * 7); }
    void raw(const QString &verb, const QJsonObject &body)
    {
        ASSERT_OK(file().write([&]() -> Done { return recordEntry(file(), act(), verb, body); }));
    }
    qint64 nowUs() { return static_cast<qint64>(microsecondsOf(m_now)); }
    std::string holder(const QString &id) { return m_holder.value(id).toStdString(); }

    std::mt19937 m_random;
    std::optional<HoldingRules> m_holding;
    QStringList m_parts;
    QHash<QString, QString> m_holder;
    QString m_forgotten, m_lastOffer;
    int m_planted = 0;
};

} // namespace

TEST_P(WeekAtSea, EveryPlantedMistakeIsReportedAndNoOther)
{
    handSomeOver();
    QStringList planted{s("holding ") + m_forgotten};
    const auto give = [&](const QString &id) {
        m_holder.value(id) == s("Ana") ? handOver({id}, "Ana", "Ben")
                                       : handOver({id}, holder(id).c_str(), "Ana");
    };

    const QString two = fresh();
    give(two);
    raw(verb::handOverAnswered, {{s("offer"), m_lastOffer},
                                 {s("by"), s("Zoe")},
                                 {s("from"), s("Ito")},
                                 {s("condition"), s("intact")},
                                 {s("accepted"), QJsonArray{two}},
                                 {s("basis"), s("held")},
                                 {s("timeUs"), nowUs()}});
    planted << s("overlap ") + two;

    const QString notTheirs = fresh();
    raw(verb::handOverOffered, {{s("offer"), s("00000000-aaaa")},
                                {s("code"), s("DECK-1")},
                                {s("items"), QJsonArray{notTheirs}},
                                {s("from"), s("Zoe")},
                                {s("to"), s("Ana")},
                                {s("purpose"), s("hand-over")},
                                {s("basis"), s("held")},
                                {s("timeUs"), nowUs()}});
    raw(verb::handOverAnswered, {{s("offer"), s("00000000-aaaa")},
                                 {s("by"), s("Ana")},
                                 {s("from"), s("Zoe")},
                                 {s("condition"), s("intact")},
                                 {s("accepted"), QJsonArray{notTheirs}},
                                 {s("basis"), s("held")},
                                 {s("timeUs"), nowUs() + 1}});
    planted << s("holder ") + notTheirs;

    const QString foundOpen = fresh();
    Act a = act();
    ASSERT_OK(applySeal(file(), a, {s("CS-1"), {foundOpen}, {}, {}, a.now}));
    a = act();
    ASSERT_OK(inspectSeal(file(), a, s("CS-1"), SealSight::Broken, {}, a.now));
    planted << s("seal ") + foundOpen;

    const QString opened = fresh();
    a = act();
    ASSERT_OK(applySeal(file(), a, {s("CS-2"), {opened}, {}, {}, a.now}));
    Preservative again;
    again.name = s("ethanol");
    again.at = a.now;
    a = act();
    again.at = a.now;
    // Topped up within the limits of a specimen that is preserved already, but under its seal.
    raw(verb::itemPreserved, {{s("id"), opened},
                              {s("preservative"), s("ethanol")},
                              {s("containerNumber"), 1},
                              {s("containerCount"), 1},
                              {s("timeUs"), nowUs()}});
    planted << s("seal ") + opened;

    const QString early = fresh();
    raw(verb::handOverOffered, {{s("offer"), s("00000000-bbbb")},
                                {s("code"), s("DECK-2")},
                                {s("items"), QJsonArray{early}},
                                {s("from"), m_holder.value(early)},
                                {s("to"), s("Zoe")},
                                {s("purpose"), s("hand-over")},
                                {s("basis"), s("held")},
                                {s("timeUs"), nowUs()}});
    raw(verb::itemStored, {{s("id"), early}, {s("place"), s("shore/lab")}, {s("timeUs"), nowUs() + 1}});
    raw(verb::handOverAnswered, {{s("offer"), s("00000000-bbbb")},
                                 {s("by"), s("Zoe")},
                                 {s("from"), m_holder.value(early)},
                                 {s("condition"), s("intact")},
                                 {s("accepted"), QJsonArray{early}},
                                 {s("basis"), s("held")},
                                 {s("timeUs"), nowUs() + 2}});
    planted << s("in transit ") + early;

    const QString gone = fresh();
    a = act();
    ASSERT_OK(
        endCustody(file(), a, {{gone}, s("consumed"), m_holder.value(gone), {}, s("extracted"), a.now, {}}));
    raw(verb::itemStored, {{s("id"), gone}, {s("place"), s("ship/lab")}, {s("timeUs"), nowUs() + 1}});
    planted << s("after the end ") + gone;

    const QString backwards = fresh();
    give(backwards);
    auto row = query(file().db().connection(), s("SELECT entry, time_us FROM hand_over_answer WHERE offer=?"),
                     {m_lastOffer});
    ASSERT_OK(row);
    ASSERT_TRUE(row->next());
    ASSERT_OK(amendEntry(file(), act(), row->text(0), s("time"),
                         toIsoMicro(utcFromMicroseconds(row->integer(1)) - std::chrono::minutes(1)),
                         s("watch read wrongly")));
    planted << s("order of time ") + backwards;

    raw(verb::sealApplied,
        {{s("seal"), s("CS-1")}, {s("items"), QJsonArray{fresh()}}, {s("timeUs"), nowUs()}});
    planted << s("seal ");

    raw(verb::itemStored,
        {{s("id"), s("TK26-07-001.1")}, {s("place"), s("ship/lab")}, {s("timeUs"), nowUs()}});
    planted << s("id TK26-07-001.1");
    ASSERT_EQ(planted.size(), 10);

    m_now += std::chrono::hours(5);
    const auto audit = auditCustody(file().db(), *m_holding, m_now);
    ASSERT_OK(audit);
    EXPECT_EQ(audit->items, 250);
    EXPECT_EQ(audit->handOvers, 60);
    QStringList told;
    for (const auto *notes : {&audit->findings, &audit->remarks}) {
        for (const CustodyNote &n : *notes) {
            // One person enters the whole week for everybody, which is told of each hand-over.
            if (n.kind != s("not confirmed"))
                told << n.kind + QLatin1Char(' ') + n.ids.join(s(", "));
        }
    }
    told.removeDuplicates(); // one forgotten specimen misses two limits
    std::sort(told.begin(), told.end());
    std::sort(planted.begin(), planted.end());
    EXPECT_EQ(told.join(QLatin1Char('\n')).toStdString(), planted.join(QLatin1Char('\n')).toStdString())
        << audit->text().toStdString();
    EXPECT_FALSE(audit->holds());
    expectTablesFitTheLedger();
}

INSTANTIATE_TEST_SUITE_P(Seeds, WeekAtSea, ::testing::Values(1u, 20u, 300u));
