// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli_support.h"

using namespace holdfast;
using test::s;

namespace
{

class Corrections : public test::CommandLine
{
protected:
    int does(const QString &verb, const QString &file, const QStringList &rest)
    {
        return run(QStringList{verb, file} + rest + QStringList{s("--by"), s(" Mara ")});
    }
};

} // namespace

TEST_F(Corrections, TimesAreMendedAndTheStruckOnesStayLegible)
{
    const QString file = made();
    ASSERT_EQ(
        does(s("phase"), file, {s("launched"), s("--dive"), s("1"), s("--at"), s("2026-03-12T12:00:00Z")}), 0)
        << err.toStdString();
    ASSERT_EQ(stamp(file, "B2", "coral"), 0) << err.toStdString();
    ASSERT_EQ(
        does(s("phase"), file, {s("on-deck"), s("--dive"), s("1"), s("--at"), s("2026-03-12T14:50:00Z")}), 0)
        << err.toStdString();
    EXPECT_EQ(
        does(s("phase"), file, {s("on-deck"), s("--dive"), s("1"), s("--at"), s("2055-03-12T14:50:00Z")}), 1);
    EXPECT_TRUE(err.contains(s("days from now"))) << err.toStdString();
    ASSERT_EQ(does(s("correct"), file,
                   {s("TK26-01-001"), s("--field"), s("time"), s("--value"), s("2026-03-12T13:22:07Z"),
                    s("--reason"), s("typed 14 for 13")}),
              0)
        << err.toStdString();
    EXPECT_TRUE(out.contains(s("holdfast refix"))) << out.toStdString();
    EXPECT_EQ(
        does(s("correct"), file,
             {s("TK26-01-001"), s("--field"), s("slot"), s("--value"), s("B3"), s("--reason"), s("a slip")}),
        2);
    EXPECT_TRUE(err.contains(s(" and time"))) << err.toStdString();
    EXPECT_EQ(does(s("correct"), file,
                   {s("TK26-01-001"), s("--field"), s("time"), s("--value"), s("2050-01-01T00:00:00Z"),
                    s("--reason"), s("a slip")}),
              1);
    ASSERT_EQ(does(s("phase"), file,
                   {s("on-deck"), s("--dive"), s("1"), s("--at"), s("2026-03-12T14:40:00Z"), s("--reason"),
                    s("the deck's log")}),
              0)
        << err.toStdString();
    ASSERT_EQ(run({s("history"), file, s("TK26-01-001")}), 0);
    for (const char *says :
         {"struck: time was \"2026-03-12T14:22:07.300Z\", corrected to \"2026-03-12T13:22:07.000Z\"",
          "struck: time was \"2026-03-12T14:50:00.000Z\", corrected to \"2026-03-12T14:40:00.000Z\"",
          "(Mara: typed 14 for 13)"})
        EXPECT_TRUE(out.contains(s(says))) << says << "\n" << out.toStdString();
    ASSERT_EQ(run({s("audit"), file}), 0) << err.toStdString();
}

TEST_F(Corrections, OfThePlanAndTheNamesOfACruise)
{
    const QString file = made();
    expectFails(
        {s("dive"), file, s("--number"), s("1"), s("--vehicle"), s("Small"), s("--loadout"), s("small")}, 1,
        "in the file already");
    ASSERT_EQ(does(s("dive"), file,
                   {s("--number"), s("1"), s("--vehicle"), s("Small"), s("--loadout"), s("small"),
                    s("--reason"), s("wrong template")}),
              0)
        << err.toStdString();
    ASSERT_EQ(
        does(s("describe"), file,
             {s("--title"), s("An invented cruise"), s("--dive"), s("1"), s("--site"), s("north flank")}),
        0)
        << err.toStdString();
    expectFails({s("describe"), file, s("--site"), s("nowhere")}, 2, "--dive");
    ASSERT_EQ(run({s("audit"), file}), 0) << err.toStdString();
}

TEST_F(Corrections, ALogIsTakenOutOfUseAndPutBack)
{
    const QString file = made();
    const QString log = path(s("p.csv"));
    write(log, "time_utc,latitude_deg,longitude_deg,depth_m,heading_deg\n"
               "2026-03-12T09:00:00.000Z,-19.43,179.9990000,1000.0,12.0\n");
    ASSERT_EQ(does(s("intake"), file, {log, s("--dive"), s("1"), s("--profile"), s("position-csv")}), 0)
        << err.toStdString();
    ASSERT_EQ(does(s("logs"), file,
                   {s("--dive"), s("1"), s("--take-out"), s("p.csv"), s("--reason"), s("of dive 2")}),
              0)
        << err.toStdString();
    ASSERT_EQ(run({s("logs"), file, s("--dive"), s("1")}), 0);
    EXPECT_TRUE(out.contains(s("out of use  p.csv"))) << out.toStdString();
    ASSERT_EQ(run({s("audit"), file}), 0) << err.toStdString();
    ASSERT_EQ(does(s("logs"), file,
                   {s("--dive"), s("1"), s("--put-back"), s("p.csv"), s("--reason"), s("was right")}),
              0)
        << err.toStdString();
    ASSERT_EQ(run({s("audit"), file}), 0) << err.toStdString();
}

TEST_F(Corrections, OneRefusedPartLeavesNothingHalfDone)
{
    const QString file = made();
    EXPECT_NE(
        run({s("ready"), file, s("--dive"), s("1"), s("--permit"), s("stony 10"), s("--want"), s("bad")}), 0);
    ASSERT_EQ(run({s("ready"), file, s("--dive"), s("1")}), 0);
    EXPECT_FALSE(out.contains(s("stony"))) << out.toStdString();
    ASSERT_EQ(
        run({s("stamp"), file, s("--dive"), s("1"), s("--at"), s("2026-03-12T14:22:07.300Z"), s("--slot"),
             s("B2"), s("--kind"), s("coral"), s("--by"), s("Mara"), s("--note"), s("--help")}),
        0);
    EXPECT_TRUE(out.contains(s("TK26-01-001 saved")))
        << "a flag's value asks for no help: " << out.toStdString();
}
