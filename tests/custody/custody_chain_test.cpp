// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/custody_chain.h"

#include "custody/custody_words.h"

#include <algorithm>
#include <gtest/gtest.h>
#include <random>

using namespace holdfast;
using What = CustodyEvent::What;
using Found = CustodyFinding::What;

// What makes custody whole is from US EPA Region V, Manual of Custody and Non-Custody Sample Handling
// Procedures, 2nd ed. 1978, and US EPA, Chain of Custody Guidebook (EPA 450/2-82-018, 1983): one custodian at
// every instant, each transfer with two names, dated and timed, a broken seal explained.

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

UtcTime minute(int m)
{
    return utcFromMicroseconds(1773302400000000) + std::chrono::minutes(m);
}

/// Writes the events of a story in the order of telling.
struct Story {
    std::vector<CustodyEvent> events;

    CustodyEvent &add(What what, int m)
    {
        CustodyEvent e;
        e.what = what;
        e.at = minute(m);
        e.order = static_cast<int>(events.size());
        e.ref = QStringLiteral("van %1").arg(events.size() + 1);
        events.push_back(e);
        return events.back();
    }
    Story &begun(const char *holder = "Ito", int m = 0)
    {
        CustodyEvent &e = add(What::Begun, m);
        e.holder = s(holder);
        e.basis = basisInVehicle;
        return *this;
    }
    Story &offer(const char *id, const char *from, const char *to, int m)
    {
        CustodyEvent &e = add(What::Offered, m);
        e.offer = s(id);
        e.holder = s(from);
        e.other = s(to);
        return *this;
    }
    Story &accept(const char *id, const char *by, int m)
    {
        CustodyEvent &e = add(What::Accepted, m);
        e.offer = s(id);
        e.holder = s(by);
        e.basis = s("held");
        return *this;
    }
    Story &back(What what, const char *id, int m)
    {
        CustodyEvent &e = add(what, m);
        e.offer = s(id);
        return *this;
    }
    Story &seal(What what, const char *number, int m)
    {
        add(what, m).seal = s(number);
        return *this;
    }
    Story &did(What what, const char *words, int m)
    {
        CustodyEvent &e = add(what, m);
        (what == What::Moved ? e.place : e.reason) = s(words);
        return *this;
    }
    [[nodiscard]] CustodyChain chain() const { return custodyChain(events); }
};

/// Each holder and the minutes of its period, "Ito 0-10 Ana 10-": a gap is "-", the end its word.
std::string told(const CustodyChain &chain)
{
    QStringList words;
    for (const CustodyPeriod &p : chain.periods) {
        const auto m = [](UtcTime t) {
            return std::chrono::duration_cast<std::chrono::minutes>(t - minute(0)).count();
        };
        const QString who = p.state == PeriodState::Nobody      ? s("-")
                            : p.state == PeriodState::Ended     ? p.basis
                            : p.state == PeriodState::InTransit ? p.holder + s("~")
                                                                : p.holder;
        words << QStringLiteral("%1 %2-%3")
                     .arg(who)
                     .arg(m(p.from))
                     .arg(p.to ? QString::number(m(*p.to)) : QString());
    }
    return words.join(s(" ")).toStdString();
}

std::string kinds(const CustodyChain &chain)
{
    QStringList words;
    for (const CustodyFinding &f : chain.findings)
        words << findingWord(f.what) + (f.explained ? s(" (explained)") : QString());
    return words.join(s(", ")).toStdString();
}

} // namespace

TEST(CustodyChain, AnUnbrokenChainFromTheSeafloorToTheFreezer)
{
    const auto chain = Story()
                           .begun()
                           .offer("a", "Ito", "Ana", 10)
                           .accept("a", "Ana", 12)
                           .did(What::Moved, "ship/lab/freezer", 20)
                           .offer("b", "Ana", "Ben", 30)
                           .accept("b", "Ben", 31)
                           .did(What::Ended, "deposited", 60)
                           .chain();
    EXPECT_EQ(told(chain), "Ito 0-10 Ito~ 10-12 Ana 12-20 Ana 20-30 Ana~ 30-31 Ben 31-60 deposited 60-");
    EXPECT_EQ(kinds(chain), "");
    EXPECT_EQ(chain.at(minute(25))->place, s("ship/lab/freezer"));
    EXPECT_EQ(chain.at(minute(-1)), nullptr);
    EXPECT_EQ(chain.at(minute(12))->holder, s("Ana")) << "a period holds its beginning";
}

TEST(CustodyChain, WhatIsRefusedOrWithdrawnStaysWithWhoeverHadIt)
{
    for (const What back : {What::Refused, What::Withdrawn}) {
        const auto chain = Story().begun().offer("a", "Ito", "Ana", 10).back(back, "a", 15).chain();
        EXPECT_EQ(told(chain), "Ito 0-10 Ito~ 10-15 Ito 15-");
        EXPECT_EQ(kinds(chain), "");
    }
}

TEST(CustodyChain, ACarrierAnswersForWhatItCarries)
{
    Story story = Story().begun().offer("a", "Ito", "Ana", 10);
    story.events.back().carrier = s("Northern Freight");
    EXPECT_EQ(told(story.chain()), "Ito 0-10 Northern Freight~ 10-");
}

TEST(CustodyChain, BothPresentLeavesNoTransit)
{
    EXPECT_EQ(told(Story().begun().offer("a", "Ito", "Ana", 10).accept("a", "Ana", 10).chain()),
              "Ito 0-10 Ana 10-");
}

TEST(CustodyChain, NobodyAppointedIsAGapUntilSomebodyIs)
{
    Story story = Story().begun("");
    story.add(What::Appointed, 5).holder = s("Ito");
    EXPECT_EQ(told(story.chain()), "- 0-5 Ito 5-");
    EXPECT_EQ(kinds(story.chain()), "gap");
}

TEST(CustodyChain, ByHand)
{
    const auto held = [] { return Story().begun().offer("a", "Ito", "Ana", 10).accept("a", "Ana", 12); };
    struct Case {
        const char *name;
        Story story;
        const char *findings;
        const char *periods;
    };
    Story claimed = held();
    {
        CustodyEvent &e = claimed.add(What::Claimed, 20);
        e.holder = s("Ben");
        e.reason = s("taken from the bench at the watch change");
    }
    Story foundAgain = held().did(What::Ended, "lost", 20);
    {
        CustodyEvent &e = foundAgain.add(What::Claimed, 30);
        e.holder = s("Ana");
        e.reason = s("was behind the freezer");
    }
    Story heldAgain = held().did(What::Ended, "lost", 20);
    {
        CustodyEvent &e = heldAgain.add(What::Again, 30);
        e.holder = s("Mara"); // who says so has not received it
        e.reason = s("pressed by mistake");
    }
    const Case cases[] = {
        {"given by one who does not have it", held().offer("b", "Ben", "Eva", 20).accept("b", "Eva", 21),
         "holder", "Ito 0-10 Ito~ 10-12 Ana 12-20 Ben~ 20-21 Eva 21-"},
        {"received by another", Story().begun().offer("a", "Ito", "Ana", 10).accept("a", "Ben", 12), "holder",
         "Ito 0-10 Ito~ 10-12 Ben 12-"},
        {"to themselves", Story().begun().offer("a", "Ito", "ito ", 10).accept("a", "Ito", 12), "holder",
         "Ito 0-10 Ito~ 10-12 Ito 12-"},
        {"received from themselves", Story().begun().offer("a", "Ito", "Ana", 10).accept("a", "Ito", 12),
         "holder, holder", "Ito 0-10 Ito~ 10-12 Ito 12-"},
        {"received though nobody offered", Story().begun().accept("x", "Ana", 12), "holder",
         "Ito 0-12 Ana 12-"},
        {"received by two", held().accept("a", "Ben", 14), "overlap",
         "Ito 0-10 Ito~ 10-12 Ana 12-14 Ben 14-"},
        {"offered to two",
         Story().begun().offer("a", "Ito", "Ana", 10).offer("b", "Ito", "Ben", 11).accept("b", "Ben", 12),
         "overlap", "Ito 0-10 Ito~ 10-11 Ito~ 11-12 Ben 12-"},
        {"both of two offers received",
         Story()
             .begun()
             .offer("a", "Ito", "Ana", 10)
             .offer("b", "Ito", "Ben", 11)
             .accept("b", "Ben", 12)
             .accept("a", "Ana", 13),
         "overlap, overlap", "Ito 0-10 Ito~ 10-11 Ito~ 11-12 Ben 12-13 Ana 13-"},
        {"received before it was relinquished",
         Story().begun().accept("a", "Ana", 8).offer("a", "Ito", "Ana", 10), "order of time",
         "Ito 0-8 Ana 8-"},
        {"withdrawn after it was received", held().back(What::Withdrawn, "a", 13), "overlap",
         "Ito 0-10 Ito~ 10-12 Ana 12-"},
        {"received after it was refused",
         Story().begun().offer("a", "Ito", "Ana", 10).back(What::Refused, "a", 11).accept("a", "Ana", 12),
         "overlap", "Ito 0-10 Ito~ 10-11 Ito 11-12 Ana 12-"},
        {"offered after it was consumed",
         held().did(What::Ended, "consumed", 20).offer("b", "Ana", "Ben", 30), "after the end",
         "Ito 0-10 Ito~ 10-12 Ana 12-20 consumed 20-"},
        {"stored before it was received",
         Story().begun().offer("a", "Ito", "Ana", 10).did(What::Moved, "lab", 11), "in transit",
         "Ito 0-10 Ito~ 10-"},
        {"taken without a hand-over", claimed, "holder (explained)", "Ito 0-10 Ito~ 10-12 Ana 12-20 Ben 20-"},
        {"lost and found", foundAgain, "gap (explained)", "Ito 0-10 Ito~ 10-12 Ana 12-20 lost 20-30 Ana 30-"},
        {"lost by mistake", heldAgain, "gap (explained)", "Ito 0-10 Ito~ 10-12 Ana 12-20 lost 20-30 Ana 30-"},
        {"opened under a seal", held().seal(What::SealApplied, "S1", 15).did(What::Handled, "split", 20),
         "seal", "Ito 0-10 Ito~ 10-12 Ana 12-"},
        {"opened after the seal was broken",
         held()
             .seal(What::SealApplied, "S1", 15)
             .seal(What::SealBroken, "S1", 18)
             .did(What::Handled, "split", 20),
         "", "Ito 0-10 Ito~ 10-12 Ana 12-"},
        {"found broken", held().seal(What::SealApplied, "S1", 15).seal(What::SealFound, "S1", 18), "seal",
         "Ito 0-10 Ito~ 10-12 Ana 12-"},
        {"whole again",
         held()
             .seal(What::SealApplied, "S1", 15)
             .seal(What::SealBroken, "S1", 18)
             .seal(What::SealIntact, "S1", 19),
         "seal", "Ito 0-10 Ito~ 10-12 Ana 12-"},
        {"a seal not looked at",
         held().seal(What::SealApplied, "S1", 15).offer("b", "Ana", "Ben", 20).accept("b", "Ben", 21), "seal",
         "Ito 0-10 Ito~ 10-12 Ana 12-20 Ana~ 20-21 Ben 21-"},
        {"a seal used twice",
         held()
             .seal(What::SealApplied, "S1", 15)
             .seal(What::SealBroken, "S1", 16)
             .seal(What::SealApplied, "S1", 17),
         "seal", "Ito 0-10 Ito~ 10-12 Ana 12-"},
    };
    for (const Case &c : cases) {
        EXPECT_EQ(kinds(c.story.chain()), c.findings) << c.name;
        EXPECT_EQ(told(c.story.chain()), c.periods) << c.name;
    }
}

TEST(CustodyChain, ASealLookedAtOnReceiptIsNoFinding)
{
    Story story = Story().begun().seal(What::SealApplied, "S1", 5).offer("a", "Ito", "Ana", 10);
    story.seal(What::SealIntact, "S1", 12).accept("a", "Ana", 12);
    // One entry says both.
    story.events.back().ref = story.events[story.events.size() - 2].ref;
    EXPECT_EQ(kinds(story.chain()), "");
    EXPECT_EQ(story.chain().seals.count(s("S1")), 1u);
}

TEST(CustodyChain, APartFollowsItsParentUntilItIsSplitOff)
{
    const Story parent = Story()
                             .begun()
                             .offer("a", "Ito", "Ana", 10)
                             .accept("a", "Ana", 12)
                             .offer("b", "Ana", "Ben", 30)
                             .accept("b", "Ben", 31);
    Story own;
    own.did(What::Moved, "cryo box 4", 40);
    const auto part = custodyChain(eventsOfPart(parent.events, minute(20), 99, own.events));
    EXPECT_EQ(told(part), "Ito 0-10 Ito~ 10-12 Ana 12-40 Ana 40-") << "not handed on with its parent";
    EXPECT_EQ(kinds(part), "");
}

namespace
{

/// A random but proper history, and beside it, told by other means, who has the specimen from when.
struct Proper {
    Story story;
    std::vector<std::pair<int, QString>> holders; ///< minute from which, holder

    explicit Proper(std::mt19937 &random, int steps)
    {
        const char *people[] = {"Ito", "Ana", "Ben", "Eva", "Kai"};
        std::size_t holder = 0;
        int m = 0;
        int offers = 0;
        bool sealed = false;
        story.begun(people[holder]);
        holders.push_back({0, s(people[holder])});
        for (int i = 0; i < steps; ++i) {
            m += 1 + static_cast<int>(random() % 50);
            switch (random() % 5) {
            case 0:
            case 1: {
                const std::size_t to = (holder + 1 + random() % 4) % 5;
                const QByteArray id = "o" + QByteArray::number(++offers);
                story.offer(id.constData(), people[holder], people[to], m);
                m += static_cast<int>(random() % 3);
                if (random() % 4 == 0) {
                    story.back(random() % 2 == 0 ? What::Refused : What::Withdrawn, id.constData(), m);
                    break;
                }
                if (sealed)
                    story.seal(What::SealIntact, "S1", m);
                story.accept(id.constData(), people[to], m);
                if (sealed)
                    story.events.back().ref = story.events[story.events.size() - 2].ref;
                holder = to;
                holders.push_back({m, s(people[holder])});
                break;
            }
            case 2:
                story.did(What::Moved, "ship/lab 2/shelf", m);
                break;
            case 3:
                if (!sealed)
                    story.did(What::Handled, "preserved in ethanol", m);
                break;
            default:
                if (!sealed && m % 7 == 0) {
                    sealed = true;
                    story.seal(What::SealApplied, "S1", m);
                }
                break;
            }
        }
    }
    [[nodiscard]] QString holderAt(int m) const
    {
        QString who;
        for (const auto &[from, name] : holders) {
            if (from <= m)
                who = name;
        }
        return who;
    }
};

} // namespace

TEST(CustodyChainProperty, AProperHistoryHasNoFindingAndEveryInstantHasItsHolder)
{
    std::mt19937 random(20260312);
    for (int round = 0; round < 400; ++round) {
        const Proper proper(random, 25);
        std::vector<CustodyEvent> events = proper.story.events;
        std::shuffle(events.begin(), events.end(), random);
        const auto chain = custodyChain(events);
        ASSERT_EQ(kinds(chain), "") << round;
        for (std::size_t i = 0; i + 1 < chain.periods.size(); ++i) {
            ASSERT_TRUE(chain.periods[i].to);
            ASSERT_EQ(*chain.periods[i].to, chain.periods[i + 1].from) << "each begins where the former ends";
            ASSERT_LT(chain.periods[i].from, *chain.periods[i].to);
        }
        ASSERT_FALSE(chain.periods.back().to);
        for (int m = 0; m < 1500; m += 7)
            ASSERT_EQ(chain.at(minute(m))->holder, proper.holderAt(m)) << round << " minute " << m;
    }
}

TEST(CustodyChainProperty, EveryDamageToAHandOverIsFound)
{
    std::mt19937 random(8312026);
    int damaged = 0;
    for (int round = 0; round < 600; ++round) {
        Proper proper(random, 20);
        std::vector<CustodyEvent> &events = proper.story.events;
        std::vector<std::size_t> accepts;
        for (std::size_t i = 0; i < events.size(); ++i) {
            if (events[i].what == What::Accepted)
                accepts.push_back(i);
        }
        // A later event must tell of the damage, so the last acceptance is left alone.
        if (accepts.size() < 2)
            continue;
        const std::size_t at = accepts[random() % (accepts.size() - 1)];
        const auto offer = std::find_if(events.begin(), events.end(), [&](const CustodyEvent &e) {
            return e.what == What::Offered && e.offer == events[at].offer;
        });
        switch (round % 5) {
        case 0: // the receiver forgot to record it
            events.erase(events.begin() + static_cast<std::ptrdiff_t>(at));
            break;
        case 1: // the giver forgot
            events.erase(offer);
            break;
        case 2: // another received it
            events[at].holder = s("Zoe");
            break;
        case 3: // another relinquished it
            offer->holder = s("Zoe");
            break;
        default: // two received it
            events.push_back(events[at]);
            events.back().holder = s("Zoe");
            events.back().ref = s("deck 1");
            events.back().order += 1000;
            break;
        }
        ++damaged;
        ASSERT_FALSE(custodyChain(events).findings.empty()) << round;
    }
    EXPECT_GT(damaged, 300);
}

TEST(CustodyWords, AreClosedLists)
{
    EXPECT_EQ(*checkedBasis(s(" Secured-Area")), s("secured area"));
    EXPECT_EQ(*checkedCondition(s("seal broken")), s("seal broken"));
    EXPECT_EQ(*checkedPurpose(s("hand-over")), s("hand-over"));
    const auto bad = checkedEnd(s("eaten"));
    ASSERT_FALSE(bad);
    EXPECT_TRUE(bad.error().sentence.contains(s("consumed, lost, destroyed, deposited")));
    EXPECT_FALSE(checkedBasis(QString()));
    EXPECT_FALSE(checkedCondition(s("fine")));
}
