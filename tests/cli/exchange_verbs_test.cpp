// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli_support.h"

#include "store/sql.h"

#include <QDir>
#include <QRegularExpression>
#include <array>
#include <unistd.h>

using namespace holdfast;

namespace
{

using test::s;

class TwoStations : public test::CommandLine
{
protected:
    void SetUp() override
    {
        CommandLine::SetUp();
        van = made();
        deck = path(s("deck.hfc"));
        ASSERT_EQ(run({s("station"), van, s("--as"), s("deck"), s("--out"), deck, s("--by"), s("Ana")}), 0)
            << err.toStdString();
    }
    /// The key that a station shows, as somebody reads it out.
    QString keyShown(const QString &file, const QString &station)
    {
        EXPECT_EQ(run({s("station"), file}), 0);
        static const QRegularExpression line(s("^(\\S+).*key ((?:[0-9a-f]{4} ?){4})$"),
                                             QRegularExpression::MultilineOption);
        for (auto all = line.globalMatch(out); all.hasNext();) {
            const auto one = all.next();
            if (one.captured(1) == station)
                return one.captured(2);
        }
        return {};
    }
    /// A descriptor from which `text` can be read.
    static QString descriptorWith(const QByteArray &text)
    {
        std::array<int, 2> ends{};
        if (pipe(ends.data()) != 0 ||
            ::write(ends[1], text.constData(), static_cast<std::size_t>(text.size())) < 0)
            return {};
        ::close(ends[1]);
        return QString::number(ends[0]);
    }
    QString van, deck;
};

} // namespace

TEST_F(TwoStations, ExchangeThroughAFolderAndEndWithTheSameEntries)
{
    ASSERT_EQ(stamp(van, "B1", "octocoral"), 0);
    ASSERT_EQ(stamp(deck, "B2", "octocoral"), 0);
    const QString folder = path(s("stick"));
    ASSERT_TRUE(QDir().mkpath(folder));
    ASSERT_EQ(run({s("exchange"), deck, s("--with"), folder}), 0) << err.toStdString();
    // The van asks before it takes in a station that is new to it.
    const QString key = keyShown(deck, s("deck"));
    ASSERT_FALSE(key.isEmpty());
    EXPECT_EQ(run({s("exchange"), van, s("--with"), folder}), 1);
    EXPECT_TRUE(err.contains(key)) << err.toStdString();
    ASSERT_EQ(run({s("exchange"), van, s("--with"), folder, s("--trust"), keyShown(deck, s("deck"))}), 0)
        << err.toStdString();
    EXPECT_TRUE(out.contains(s("3 new entries of station deck"))) << out.toStdString();
    ASSERT_EQ(run({s("exchange"), deck, s("--with"), folder}), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s("2 new entries of station van"))) << out.toStdString();
    ASSERT_EQ(run({s("exchange"), deck, s("--with"), folder}), 0);
    EXPECT_TRUE(out.contains(s("nothing new"))) << out.toStdString();
    for (const QString &file : {van, deck}) {
        ASSERT_EQ(run({s("audit"), file}), 0) << err.toStdString();
        EXPECT_TRUE(out.contains(s("of 2 stations"))) << out.toStdString();
        EXPECT_TRUE(out.contains(s("Station deck: 3 entries, signed"))) << out.toStdString();
    }
    ASSERT_EQ(run({s("conflicts"), van}), 0);
    EXPECT_TRUE(out.contains(s("No open conflict")));
}

TEST_F(TwoStations, ConflictIsListedAuditedAndSettledWithAReason)
{
    ASSERT_EQ(stamp(van, "B1", "octocoral"), 0);
    ASSERT_EQ(stamp(deck, "B1", "octocoral"), 0);
    const QString x = path(s("x.hfx"));
    ASSERT_EQ(run({s("exchange"), deck, s("--out"), x}), 0);
    ASSERT_EQ(run({s("exchange"), van, s("--in"), x, s("--trust"), keyShown(deck, s("deck"))}), 0)
        << err.toStdString();
    EXPECT_TRUE(out.contains(s("1 open conflict"))) << out.toStdString();
    ASSERT_EQ(run({s("audit"), van}), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s("slot B1: given twice"))) << out.toStdString();
    ASSERT_EQ(run({s("conflicts"), van}), 0);
    const QString key = out.section(QLatin1Char(' '), 0, 0);
    EXPECT_TRUE(key.startsWith(s("C-"))) << out.toStdString();
    expectFails({s("conflicts"), van, s("--settle"), key}, 2, "reason");
    expectFails({s("conflicts"), van, s("--settle"), s("C-1"), s("--reason"), s("so")}, 1,
                "no open conflict");
    ASSERT_EQ(run({s("conflicts"), van, s("--settle"), key, s("--reason"), s("both are in it"), s("--by"),
                   s("Ana")}),
              0)
        << err.toStdString();
    ASSERT_EQ(run({s("conflicts"), van}), 0);
    EXPECT_TRUE(out.contains(s("No open conflict")));
}

TEST_F(TwoStations, SetUpIsRefusedWhereItWouldDoHarm)
{
    expectFails({s("station"), van, s("--as"), s("lab")}, 1, "is station van itself");
    expectFails({s("station"), van, s("--as"), s("Deck!"), s("--out"), path(s("x.hfc"))}, 2, "can't be used");
    expectFails({s("station"), van, s("--as"), s("van"), s("--out"), path(s("x.hfc"))}, 1, "already");
    EXPECT_FALSE(QFile::exists(path(s("x.hfc")))) << "nothing is left of it";
    expectFails({s("station"), van, s("--as"), s("lab"), s("--out"), deck}, 1, "there already");
    expectFails({s("exchange"), van}, 2, "one of");
    expectFails({s("exchange"), van, s("--in"), deck, s("--trust"), s("deck")}, 2, "is no key of a station");
    expectFails({s("exchange"), van, s("--out"), path(s("x.hfx")), s("--trust"), s("deck")}, 2, "goes with");
    expectFails({s("exchange"), van, s("--out"), deck}, 1, "not written over");
    expectFails({s("exchange"), van, s("--in"), van}, 1, "not an exchange file");
    expectFails({s("exchange"), van, s("--out"), path(s("x.hfx")), s("--for"), s("lab")}, 1,
                "No station lab");
}

TEST_F(TwoStations, LogOfAnotherStationIsNotHereButNoDamage)
{
    // The entry alone, as it comes from the other station; its log stays there.
    auto file = cli::openForWriting(deck);
    ASSERT_OK(file);
    ASSERT_OK(file->write([&]() -> Done {
        const auto entry = file->record({s("Ana"), now}, s("log taken in"),
                                        {{s("intake"), s("11111111-1111-4111-8111-111111111111")},
                                         {s("dive"), 1},
                                         {s("profile"), s("ctd-csv")},
                                         {s("kind"), s("ctd")},
                                         {s("fileName"), s("ctd.csv")},
                                         {s("sha256"), QString(64, QLatin1Char('a'))},
                                         {s("digest"), QString(64, QLatin1Char('b'))},
                                         {s("bytes"), 10},
                                         {s("accepted"), 1},
                                         {s("repaired"), 0},
                                         {s("rejected"), 0}});
        return entry ? Done() : Done(entry.error());
    }));
    const QString x = path(s("x.hfx"));
    ASSERT_EQ(run({s("exchange"), deck, s("--out"), x}), 0);
    ASSERT_EQ(run({s("exchange"), van, s("--in"), x, s("--trust"), keyShown(deck, s("deck"))}), 0)
        << err.toStdString();
    ASSERT_EQ(run({s("audit"), van}), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s("ctd.csv (SHA-256 aaaa"))) << out.toStdString();
    EXPECT_TRUE(out.contains(s("is not here; station deck took it in"))) << out.toStdString();
    EXPECT_EQ(run({s("audit"), deck}), 1) << "where it was taken in it must be there";
}

TEST_F(TwoStations, PinComesThroughADescriptorAndIsOnRecordWithoutItsDigits)
{
    ASSERT_EQ(run({s("pin"), van, s("--by"), s("Ana"), s("--pin-fd"), descriptorWith("4711\n")}), 0)
        << err.toStdString();
    expectFails({s("pin"), van, s("--by"), s("Ana"), s("--pin-fd"), descriptorWith("8023\n"),
                 s("--old-pin-fd"), descriptorWith("1111\n")},
                1, "not the PIN of Ana");
    ASSERT_EQ(run({s("pin"), van, s("--by"), s("Ana"), s("--pin-fd"), descriptorWith("8023\n"),
                   s("--old-pin-fd"), descriptorWith("4711\n")}),
              0)
        << err.toStdString();
    expectFails({s("pin"), van, s("--by"), s("Bo"), s("--pin-fd"), descriptorWith("12\n")}, 2,
                "4 to 12 digits");
    ASSERT_EQ(run({s("pin"), van, s("--person"), s("Ana"), s("--by"), s("Mara"), s("--forget")}), 0)
        << err.toStdString();
    auto file = cli::openForReading(van);
    ASSERT_OK(file);
    auto rows =
        query(file->db().connection(), s("SELECT body FROM ledger WHERE verb='pin set' ORDER BY seq"));
    ASSERT_OK(rows);
    QStringList said;
    while (rows->next())
        said << rows->text(0);
    EXPECT_EQ(said.size(), 3);
    const QString all = said.join(QLatin1Char('\n'));
    EXPECT_FALSE(all.contains(s("4711")) || all.contains(s("8023")) || all.contains(s("argon2")))
        << all.toStdString();
    EXPECT_TRUE(said.back().contains(s("forgotten")));
}

TEST_F(TwoStations, HandOverIsConfirmedByPinAndTheEntrySaysSo)
{
    ASSERT_EQ(stamp(van, "B1", "octocoral"), 0);
    ASSERT_EQ(run({s("custodian"), van, s("--dive"), s("1"), s("--person"), s("Ito")}), 0)
        << err.toStdString();
    ASSERT_EQ(run({s("pin"), van, s("--by"), s("Ito"), s("--pin-fd"), descriptorWith("4711\n")}), 0)
        << err.toStdString();
    const QStringList offer{s("offer"), van,       s("TK26-01-001"), s("--from"),
                            s("Ito"),   s("--to"), s("Ana"),         s("--pin-fd")};
    expectFails(offer + QStringList{descriptorWith("4712\n")}, 1, "not the PIN of Ito");
    ASSERT_EQ(run(offer + QStringList{descriptorWith("4711\n")}), 0) << err.toStdString();
    ASSERT_EQ(run({s("history"), van, s("TK26-01-001")}), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s("Ito (pin)"))) << out.toStdString();
    expectFails({s("accept"), van, s("VAN-1"), s("--all"), s("--receiver"), s("Ana"), s("--condition"),
                 s("intact"), s("--pin-fd"), descriptorWith("1234\n")},
                1, "Ana has set no PIN");
}
