// SPDX-License-Identifier: GPL-3.0-or-later
#include "exchange/stations.h"

#include "custody/preservation.h"

#include <random>

using namespace holdfast;

namespace
{

/// Random work at three stations, cut off from each other and exchanging at random: whatever the order, all
/// must arrive at the same tables, and nothing that was written may be lost.
class Histories : public test::Stations, public ::testing::WithParamInterface<unsigned>
{
protected:
    unsigned pick(unsigned n) { return static_cast<unsigned>(m_random() % n); }
    QString anyOf(const QStringList &list) { return list.at(pick(static_cast<unsigned>(list.size()))); }

    QString anItem(const std::string &name)
    {
        QStringList ids;
        auto rows = query(at(name).db().connection(),
                          QStringLiteral("SELECT id FROM sample UNION SELECT id FROM specimen"));
        while (rows && rows->next())
            ids << rows->text(0);
        return ids.isEmpty() ? QString() : anyOf(ids);
    }

    /// One act of somebody at a station; a refusal is an answer like any other.
    bool act1(const std::string &name)
    {
        static const QStringList slotCodes{QStringLiteral("B1"), QStringLiteral("B2"), QStringLiteral("R1"),
                                           QStringLiteral("R2")};
        CruiseFile &f = at(name);
        const QString item = anItem(name);
        SpecimenDetails tissue;
        tissue.material = anyOf({QStringLiteral("tissue"), QStringLiteral("skeleton")});
        switch (pick(9)) {
        case 0:
        case 1: {
            const bool rock = pick(2) == 0;
            return log(name, rock ? "R1" : "B1", rock ? "rock" : "octocoral").has_value() ||
                   log(name, rock ? "R2" : "B2", rock ? "rock" : "octocoral").has_value();
        }
        case 2:
            return note(name, item, pick(2) == 0 ? "pink" : "red").has_value();
        case 3:
            return moveSample(f, act(), item, anyOf(slotCodes), QStringLiteral("misread")).has_value();
        case 4:
            return setSampleState(f, act(), item,
                                  pick(3) == 0 ? QStringLiteral("lost") : QStringLiteral("held"),
                                  QStringLiteral("looked again"))
                .has_value();
        case 5:
            return splitSpecimen(f, act(), item, tissue).has_value();
        case 6:
            return tallySlot(f, act(), 1, anyOf(slotCodes),
                             pick(2) == 0 ? TallyAnswer::AsLogged : TallyAnswer::Different,
                             QStringLiteral("as seen"))
                .has_value();
        case 7:
            return amendSpecimen(f, act(), item, QStringLiteral("mass"),
                                 anyOf({QStringLiteral("1.5"), QStringLiteral("2.5")}),
                                 QStringLiteral("weighed"))
                .has_value();
        default: {
            const auto open = openConflicts(f.db());
            if (!open || open->empty())
                return false;
            return settleConflict(f, act(), open->front().key, QStringLiteral("looked at it")).has_value();
        }
        }
    }

    std::mt19937 m_random{GetParam()};
};

} // namespace

TEST_P(Histories, EndInTheSameTablesEverywhereWhateverTheOrderOfExchanges)
{
    static const std::vector<std::string> names{"van", "deck", "lab"};
    // In every other history the stations' numbers collide, as when two were set up at once.
    if (GetParam() % 2 == 0) {
        for (const char *name : {"deck", "lab"})
            ASSERT_OK(
                execSql(at(name).db().connection(), QStringLiteral("UPDATE station SET numbers_from=301")));
    }
    std::vector<QByteArray> lying; // exchange files that lie about and may come late, or again
    int acts = 0;
    for (int step = 0; step < 60; ++step) {
        const std::string &name = names[pick(3)];
        acts += act1(name) ? 1 : 0;
        if (pick(5) == 0) {
            const std::string &other = names[pick(3)];
            const auto x = from(name, pick(2) == 0 ? other.c_str() : nullptr);
            ASSERT_OK(x);
            const auto bytes = exchangeBytes(*x);
            ASSERT_OK(bytes);
            lying.push_back(*bytes);
        }
        if (!lying.empty() && pick(4) == 0) {
            const auto read =
                readExchange(lying[pick(static_cast<unsigned>(lying.size()))], QStringLiteral("x"));
            ASSERT_OK(read);
            // One made for another station may leave a gap here: refused, nothing happens.
            const auto taken = takeIn(at(names[pick(3)]), *read, keys);
            const QString said = taken ? QString() : taken.error().sentence;
            ASSERT_TRUE(taken || said.contains(QStringLiteral("ask for a file"))) << said.toStdString();
        }
    }
    EXPECT_GT(acts, 20);
    std::vector<std::pair<std::string, std::string>> ways;
    for (const std::string &giver : names) {
        for (const std::string &taker : names)
            ways.emplace_back(giver, taker);
    }
    for (int round = 0; round < 2; ++round) {
        std::shuffle(ways.begin(), ways.end(), m_random);
        for (const auto &[giver, taker] : ways)
            ASSERT_OK(give(giver, taker));
    }
    expectAllTheSame();
    // All the late files again: nothing changes.
    const QStringList before = dump(at("lab"));
    for (const QByteArray &bytes : lying) {
        const auto read = readExchange(bytes, QStringLiteral("x"));
        ASSERT_OK(read);
        const auto taken = takeIn(at("lab"), *read, {});
        ASSERT_OK(taken);
        EXPECT_TRUE(taken->added.isEmpty());
    }
    EXPECT_EQ(dump(at("lab")), before);
    // And the tables made in one go from the ledger alone are those that grew step by step.
    for (auto &[name, file] : stations)
        ASSERT_OK(rebuildTables(file));
    EXPECT_EQ(dump(at("lab")), before);
}

INSTANTIATE_TEST_SUITE_P(Random, Histories, ::testing::Range(1U, 25U));
