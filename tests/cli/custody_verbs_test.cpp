// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli_support.h"

using namespace holdfast;
using test::s;

namespace
{
class CustodyVerbs : public test::CommandLine
{
};
} // namespace

TEST_F(CustodyVerbs, ASampleIsSplitNamedAndPhotographed)
{
    const QString file = made();
    ASSERT_EQ(stamp(file, "B2", "coral"), 0);
    ASSERT_EQ(run({s("split"), file, s("TK26-01-001"), s("--material"), s("tissue"), s("--purpose"), s("DNA"),
                   s("--by"), s("Ana")}),
              0)
        << err.toStdString();
    EXPECT_TRUE(out.startsWith(s("TK26-01-001.1 saved"))) << out.toStdString();
    EXPECT_EQ(
        run({s("identify"), file, s("tk26-01-001.1"), s("--name"), s("Paragorgia"), s("--rank"), s("genus")}),
        0)
        << err.toStdString();
    write(path(s("a.jpg")), "abc");
    EXPECT_EQ(run({s("photo"), file, s("TK26-01-001.1"), path(s("a.jpg"))}), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s("ba7816bf")));
    EXPECT_EQ(run({s("correct"), file, s("TK26-01-001.1"), s("--field"), s("count"), s("--value"), s("2"),
                   s("--reason"), s("counted")}),
              0)
        << err.toStdString();
    EXPECT_EQ(run({s("extra"), file, s("--dive"), s("1"), s("--kind"), s("crinoid"), s("--slot"), s("B3"),
                   s("--from"), s("2026-03-12T10:00:00Z"), s("--to"), s("2026-03-12T14:00:00Z")}),
              0)
        << err.toStdString();
    EXPECT_TRUE(out.startsWith(s("TK26-01-002")));
}

TEST_F(CustodyVerbs, BadSplitsSayWhy)
{
    const QString file = made();
    expectFails({s("split"), file, s("TK26-01-009"), s("--material"), s("tissue")}, 1, "TK26-01-009");
    expectFails({s("split"), file, s("TK26-01-009")}, 2, "--material");
    expectFails({s("extra"), file, s("--dive"), s("1"), s("--kind"), s("crinoid"), s("--from"),
                 s("2026-03-12T10:00:00Z")},
                2, "both");
    expectFails({s("extra"), file, s("--dive"), s("1"), s("--kind"), s("crinoid")}, 1, "launched");
    expectFails({s("photo"), file, s("TK26-01-009"), path(s("none.jpg"))}, 1, "none.jpg");
}
