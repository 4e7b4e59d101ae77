// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/run_cli.h"
#include "cli_support.h"

using namespace holdfast;
using test::s;

namespace
{

class PaperVerbs : public test::CommandLine
{
protected:
    /// A cruise with a coral and a basalt; one tissue of the coral is in ethanol and stored.
    QString filled()
    {
        const QString file = made();
        EXPECT_EQ(stamp(file, "B2", "coral"), 0) << err.toStdString();
        EXPECT_EQ(stamp(file, "R1", "basalt"), 0) << err.toStdString();
        EXPECT_EQ(
            run({s("split"), file, s("TK26-01-001"), s("--material"), s("tissue"), s("--by"), s("Ana")}), 0);
        EXPECT_EQ(
            run({s("preserve"), file, s("TK26-01-001.1"), s("--in"), s("ethanol"), s("--percent"), s("96")}),
            0)
            << err.toStdString();
        EXPECT_EQ(run({s("store"), file, s("TK26-01-001.1"), s("--place"), s("ship/freezer A")}), 0)
            << err.toStdString();
        return file;
    }
    [[nodiscard]] bool isPdf(const QString &name) const { return bytesOf(path(name)).startsWith("%PDF-"); }
};

} // namespace

TEST_F(PaperVerbs, LabelsOfADiveOfItsSpecimensOrById)
{
    const QString file = filled();
    const QString pdf = path(s("labels.pdf"));
    ASSERT_EQ(run({s("labels"), file, s("--dive"), s("1"), s("--stock"), s("a4-70x37"), s("--out"), pdf}), 0)
        << err.toStdString();
    EXPECT_TRUE(out.contains(s("2 labels on 1 page\n"))) << out.toStdString();
    ASSERT_EQ(run({s("labels"), file, s("--dive"), s("1"), s("--of"), s("specimens"), s("--stock"),
                   s("cryo-10mm"), s("--out"), pdf}),
              0)
        << err.toStdString();
    EXPECT_TRUE(out.contains(s("1 label on 1 page\n"))) << out.toStdString();
    ASSERT_EQ(run({s("labels"), file, s("--items"), s("TK26-01-001, tk26-01-001.1"), s("--stock"),
                   s("field-105x74"), s("--out"), pdf}),
              0)
        << err.toStdString();
    EXPECT_TRUE(out.contains(s("6 labels on 1 page\n"))) << out.toStdString(); // jar, inside, field sheet
    ASSERT_EQ(run({s("labels"), file, s("--items"), s("TK26-01-001"), s("--stock"), s("a4-70x37"),
                   s("--copies"), s("3"), s("--start"), s("23"), s("--out"), pdf}),
              0)
        << err.toStdString();
    EXPECT_TRUE(out.contains(s("3 labels on 2 pages\n"))) << out.toStdString();
    EXPECT_TRUE(isPdf(s("labels.pdf")));
}

TEST_F(PaperVerbs, AFineCodeIsRefusedUnlessAPersonAcceptsIt)
{
    const QString file = filled();
    const QStringList fine{s("labels"),    file,       s("--dive"), s("1"),     s("--stock"),
                           s("cryo-10mm"), s("--dpi"), s("203"),    s("--out"), path(s("x.pdf"))};
    expectFails(fine, 1, "nearest stock that works");
    EXPECT_FALSE(isPdf(s("x.pdf")));
    ASSERT_EQ(run(fine + QStringList{s("--fine")}), 0) << err.toStdString();
    EXPECT_TRUE(err.contains(s("finer than it should be")));
    EXPECT_TRUE(isPdf(s("x.pdf")));
}

TEST_F(PaperVerbs, BlankLabelsAreNumberedOnceBoundByScanningAndFoundAgain)
{
    const QString file = filled();
    const QString pdf = path(s("blank.pdf"));
    ASSERT_EQ(run({s("blanks"), file, s("--dive"), s("1"), s("--count"), s("30"), s("--stock"),
                   s("slip-50x18"), s("--out"), pdf}),
              0)
        << err.toStdString();
    EXPECT_TRUE(out.contains(s("30 labels on 1 page: TK26-01-L001*"))) << out.toStdString();
    ASSERT_EQ(run({s("blanks"), file, s("--dive"), s("1"), s("--count"), s("5"), s("--stock"),
                   s("slip-50x18"), s("--out"), pdf}),
              0);
    EXPECT_TRUE(out.contains(s("TK26-01-L031*"))) << out.toStdString();
    // Printed again, the numbers stay the same; what was never printed can't be printed again.
    ASSERT_EQ(run({s("blanks"), file, s("--dive"), s("1"), s("--count"), s("2"), s("--again"), s("31"),
                   s("--stock"), s("slip-50x18"), s("--out"), pdf}),
              0);
    EXPECT_TRUE(out.contains(s("TK26-01-L031*"))) << out.toStdString();
    expectFails({s("blanks"), file, s("--dive"), s("1"), s("--count"), s("2"), s("--again"), s("35"),
                 s("--stock"), s("slip-50x18"), s("--out"), pdf},
                1, "up to number 35");
    // A stock that can't carry them costs no number.
    expectFails({s("blanks"), file, s("--dive"), s("1"), s("--count"), s("2"), s("--stock"), s("cryo-10mm"),
                 s("--dpi"), s("203"), s("--out"), pdf},
                1, "does not fit");
    ASSERT_EQ(run({s("bind"), file, s("TK26-01-L004"), s("TK26-01-001.1"), s("--by"), s("Ana")}), 0)
        << err.toStdString();
    expectFails({s("bind"), file, s("TK26-01-L004"), s("TK26-01-002")}, 1, "give the reason");
    expectFails({s("bind"), file, s("TK26-01-L036"), s("TK26-01-002")}, 1, "no blank label");
    ASSERT_EQ(run({s("sheet"), file, s("--of"), s("TK26-01-L004"), s("--out"), path(s("history.pdf"))}), 0)
        << err.toStdString();
    EXPECT_TRUE(isPdf(s("history.pdf")));
    ASSERT_EQ(run({s("audit"), file}), 0) << err.toStdString();
}

TEST_F(PaperVerbs, ASheetIsAboutOneThing)
{
    const QString file = filled();
    const QString pdf = path(s("sheet.pdf"));
    ASSERT_EQ(run({s("sheet"), file, s("--hand-over"), s("TK26-01-001,TK26-01-002"), s("--out"), pdf}), 0)
        << err.toStdString();
    EXPECT_TRUE(out.contains(s("Hand-over TK26 dive 1 on 1 page"))) << out.toStdString();
    ASSERT_EQ(run({s("sheet"), file, s("--of"), s("TK26-01-001.1"), s("--layout"), s("history-letter"),
                   s("--out"), pdf}),
              0)
        << err.toStdString();
    expectFails({s("sheet"), file, s("--out"), pdf}, 2, "--hand-over");
    expectFails({s("sheet"), file, s("--dive"), s("1"), s("--of"), s("TK26-01-001"), s("--out"), pdf}, 2,
                "one thing");
    expectFails({s("sheet"), file, s("--of"), s("TK26-01-009"), s("--out"), pdf}, 1, "TK26-01-009");
    expectFails(
        {s("sheet"), file, s("--of"), s("TK26-01-001"), s("--layout"), s("packing-a4"), s("--out"), pdf}, 2,
        "another sheet");
}

TEST_F(PaperVerbs, APackingListByPlaceOrByPlan)
{
    const QString file = filled();
    const QString pdf = path(s("packing.pdf"));
    ASSERT_EQ(run({s("packing"), file, s("--out"), pdf, s("--shipment"), s("TK26-S1")}), 0)
        << err.toStdString();
    EXPECT_TRUE(err.contains(s("2 held samples are not on this list"))) << err.toStdString();
    write(path(s("plan.json")), R"({"consignee": "An invented institute",
        "packages": [{"number": "1", "kind": "drum", "items": ["TK26-01-001", "TK26-01-001.1", "TK26-01-002"],
                      "liquids": [{"item": "TK26-01-001.1", "ml": 2}]}]})");
    ASSERT_EQ(run({s("packing"), file, s("--out"), pdf, s("--plan"), path(s("plan.json"))}), 0)
        << err.toStdString();
    EXPECT_TRUE(err.isEmpty()) << err.toStdString();
    write(path(s("bad.json")), R"({"packages": [{"number": "1", "item": ["TK26-01-001"]}]})");
    expectFails({s("packing"), file, s("--out"), pdf, s("--plan"), path(s("bad.json"))}, 1,
                "packages[0].item");
    expectFails({s("packing"), file, s("--out"), pdf, s("--plan"), path(s("none.json"))}, 1, "none.json");
    EXPECT_TRUE(isPdf(s("packing.pdf")));
}

TEST_F(PaperVerbs, EveryVerbThatWritesAPdfHasSomethingToPaintWith)
{
    int writing = 0;
    for (const cli::Verb &verb : cli::verbs()) {
        for (const cli::Flag &flag : verb.flags) {
            if (flag.name != u"out" || !flag.help.contains(s("PDF")))
                continue;
            ++writing;
            EXPECT_TRUE(paintsPages(verb.name)) << verb.name.toStdString();
        }
    }
    EXPECT_GE(writing, 5);
}
