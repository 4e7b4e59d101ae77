// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli_support.h"

using namespace holdfast;
using test::s;

namespace
{

class HandOverVerbs : public test::CommandLine
{
protected:
    QString recovered()
    {
        const QString file = made();
        EXPECT_EQ(run({s("custodian"), file, s("--dive"), s("1"), s("--person"), s("Ito"), s("--at"),
                       s("2026-03-12T06:00:00Z")}),
                  0)
            << err.toStdString();
        EXPECT_EQ(stamp(file, "B2", "coral"), 0);
        EXPECT_EQ(stamp(file, "R1", "basalt"), 0);
        return file;
    }
    const QString coral = s("TK26-01-001");
    const QString rock = s("TK26-01-002");
};

} // namespace

TEST_F(HandOverVerbs, FromTheVehicleToTheMuseum)
{
    const QString file = recovered();
    ASSERT_EQ(run({s("whereis"), file, coral}), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s("Ito answers for it (in the vehicle, vehicle, dive 1, B2)")))
        << out.toStdString();
    ASSERT_EQ(run({s("offer"), file, coral, s("tk26-01-002"), s("--from"), s("Ito"), s("--to"), s("Ana")}), 0)
        << err.toStdString();
    EXPECT_TRUE(out.startsWith(s("VAN-1: TK26-01-001, TK26-01-002 relinquished by Ito to Ana")))
        << out.toStdString();
    ASSERT_EQ(run({s("handovers"), file, s("--open")}), 0);
    EXPECT_TRUE(out.contains(s("2 in transit"))) << out.toStdString();
    ASSERT_EQ(run({s("accept"), file, s("van-1"), coral, s("--receiver"), s("Ana"), s("--condition"),
                   s("intact"), s("--temperature"), s("4.2"), s("--refuse"), s("TK26-01-002: wrong box")}),
              0)
        << err.toStdString();
    EXPECT_TRUE(out.contains(s("Refused, stays with who had it: TK26-01-002"))) << out.toStdString();
    ASSERT_EQ(run({s("seal"), file, s("apply"), s("cs-7"), coral, s("--reason"), s("for the freezer")}), 0)
        << err.toStdString();
    ASSERT_EQ(run({s("seal"), file, s("inspect"), s("CS-7"), s("--found"), s("intact")}), 0)
        << err.toStdString();
    ASSERT_EQ(run({s("seal"), file, s("break"), s("CS-7"), s("--reason"), s("to split")}), 0)
        << err.toStdString();
    ASSERT_EQ(run({s("secure"), file, coral, s("--basis"), s("locked")}), 0) << err.toStdString();
    ASSERT_EQ(run({s("holdings"), file, s("--holder"), s("ana")}), 0);
    EXPECT_TRUE(out.contains(s("Ana: 1"))) << out.toStdString();
    ASSERT_EQ(
        run({s("dispose"), file, coral, s("--how"), s("deposited"), s("--holder"), s("Ana"), s("--place"),
             s("museum/cabinet 4"), s("--reason"), s("accessioned"), s("--by"), s("Ana")}),
        0)
        << err.toStdString();
    ASSERT_EQ(run({s("history"), file, coral}), 0) << err.toStdString();
    for (const char *says :
         {"moment caught on dive 1", "logged as coral, into slot B2", "relinquished by Ito to Ana",
          "not confirmed by Ito", "received by Ana from Ito: intact, 4.2 C", "seal CS-7 broken: to split",
          "deposited (accessioned), by Ana, at museum/cabinet 4, confirmed by Ana (typed)",
          "Custody:", "held by Ana (locked)"})
        EXPECT_TRUE(out.contains(s(says))) << says << "\n" << out.toStdString();
    EXPECT_FALSE(out.contains(s("BREAK"))) << out.toStdString();
    ASSERT_EQ(run({s("audit"), file}), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s("No break in custody"))) << out.toStdString();
}

TEST_F(HandOverVerbs, CorrectionsShowTheStruckValue)
{
    const QString file = recovered();
    ASSERT_EQ(run({s("correct"), file, coral, s("--field"), s("description"), s("--value"), s("white fan"),
                   s("--reason"), s("seen on deck")}),
              0)
        << err.toStdString();
    ASSERT_EQ(run({s("store"), file, coral, s("--place"), s("ship/lab 1")}), 0) << err.toStdString();
    ASSERT_EQ(run({s("history"), file, coral}), 0);
    const qsizetype at = out.indexOf(s("stored at ship/lab 1"));
    const QString name = out.mid(out.indexOf(s("van "), at)).section(QLatin1Char(')'), 0, 0);
    ASSERT_EQ(run({s("correct"), file, name, s("--field"), s("place"), s("--value"), s("ship/lab 2"),
                   s("--reason"), s("misread")}),
              0)
        << name.toStdString() << err.toStdString();
    ASSERT_EQ(run({s("history"), file, coral}), 0);
    EXPECT_TRUE(out.contains(s("struck: place was \"ship/lab 1\", corrected to \"ship/lab 2\"")))
        << out.toStdString();
    EXPECT_TRUE(out.contains(s("struck: description was \"nothing\", corrected to \"white fan\"")))
        << out.toStdString();
    ASSERT_EQ(run({s("history"), file, coral, s("--json")}), 0);
    EXPECT_TRUE(out.contains(s("\"custody\""))) << out.toStdString();
    expectFails(
        {s("correct"), file, name, s("--field"), s("colour"), s("--value"), s("x"), s("--reason"), s("y")}, 2,
        "place, temperature, time");
    ASSERT_EQ(run({s("audit"), file}), 0) << err.toStdString();
}

TEST_F(HandOverVerbs, TheAuditFailsForABreakThatNobodyExplained)
{
    const QString file = recovered();
    ASSERT_EQ(run({s("seal"), file, s("apply"), s("CS-1"), coral}), 0) << err.toStdString();
    ASSERT_EQ(run({s("split"), file, coral, s("--material"), s("tissue")}), 0) << err.toStdString();
    EXPECT_EQ(run({s("audit"), file}), 1);
    EXPECT_TRUE(out.contains(s("under seal CS-1"))) << out.toStdString();
    EXPECT_TRUE(err.contains(s("1 break that nobody explained"))) << err.toStdString();
    EXPECT_EQ(run({s("audit"), file, s("--json")}), 1);
    EXPECT_TRUE(out.contains(s("\"kind\":\"seal\""))) << out.toStdString();
    EXPECT_TRUE(err.isEmpty()) << err.toStdString();
}

TEST_F(HandOverVerbs, RefusalsSayWhatToDo)
{
    const QString file = recovered();
    expectFails({s("offer"), file, coral, s("--from"), s("Ben"), s("--to"), s("Ana")}, 1,
                "Ito answers for it");
    expectFails({s("offer"), file, s("--from"), s("Ito"), s("--to"), s("Ana")}, 2, "At least one id");
    expectFails({s("offer"), file, coral, s("--from"), s("Ito"), s("--to"), s("Ito")}, 1, "themselves");
    expectFails(
        {s("accept"), file, s("VAN-9"), s("--all"), s("--receiver"), s("Ana"), s("--condition"), s("intact")},
        1, "no hand-over VAN-9");
    expectFails({s("accept"), file, s("VAN-9"), s("--receiver"), s("Ana"), s("--condition"), s("intact"),
                 s("--refuse"), s("leaks")},
                2, "--refuse");
    expectFails({s("seal"), file, s("lick"), s("CS-1")}, 2, "apply, inspect, break");
    expectFails({s("seal"), file, s("inspect"), s("CS-1"), s("--found"), s("odd")}, 2,
                "intact, broken or missing");
    expectFails(
        {s("dispose"), file, coral, s("--how"), s("eaten"), s("--holder"), s("Ito"), s("--reason"), s("x")},
        2, "consumed, lost");
    expectFails({s("whereis"), file, s("TK26-01-999")}, 1, "TK26-01-999");
    expectFails({s("claim"), file, coral, s("--holder"), s("Ben")}, 2, "--reason");
    expectFails({s("withdraw"), file, s("VAN-1"), s("--reason"), s("x")}, 1, "VAN-1");
}
