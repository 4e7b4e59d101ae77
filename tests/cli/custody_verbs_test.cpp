// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli_support.h"

#include <QFile>

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
    // When it was taken is not known, so no position is given for the moment of the find.
    const QString fixes = path(s("fixes.csv"));
    ASSERT_EQ(run({s("fix"), file, s("--dive"), s("1"), s("--out"), fixes}), 0) << err.toStdString();
    const QByteArray rows = bytesOf(fixes);
    EXPECT_TRUE(rows.contains("TK26-01-002,")) << rows.toStdString();
    EXPECT_TRUE(rows.trimmed().endsWith(",,,,,,9,smooth")) << rows.toStdString();
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

TEST_F(CustodyVerbs, PreservingStoringAndWhatIsDue)
{
    const QString file = made();
    ASSERT_EQ(stamp(file, "B2", "coral"), 0);
    ASSERT_EQ(
        run({s("phase"), file, s("off-bottom"), s("--dive"), s("1"), s("--at"), s("2026-03-12T14:30:00Z")}),
        0);
    ASSERT_EQ(
        run({s("split"), file, s("TK26-01-001"), s("--material"), s("tissue"), s("--purpose"), s("DNA")}), 0);
    ASSERT_EQ(run({s("due"), file, s("--at"), s("2026-03-12T16:40:00Z")}), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s("50 min left  SOON"))) << out.toStdString();
    ASSERT_EQ(run({s("due"), file, s("--json"), s("--at"), s("2026-03-12T19:40:00Z")}), 0);
    EXPECT_TRUE(out.contains(s("\"ok\":false"))) << out.toStdString();
    EXPECT_EQ(run({s("preserve"), file, s("TK26-01-001.1"), s("--in"), s("ethanol"), s("--percent"), s("96"),
                   s("--container"), s("cryovial"), s("--of"), s("1/2")}),
              0)
        << err.toStdString();
    EXPECT_TRUE(err.contains(s("caution: Ethanol"))) << err.toStdString();
    EXPECT_EQ(run({s("store"), file, s("TK26-01-001.1"), s("TK26-01-001"), s("--place"),
                   s("ship/lab 2/freezer A"), s("--temperature"), s("-20")}),
              0)
        << err.toStdString();
    EXPECT_EQ(run({s("place"), file, s("--at"), s("ship")}), 0);
    EXPECT_TRUE(out.contains(s("TK26-01-001.1"))) << out.toStdString();
    EXPECT_EQ(run({s("due"), file}), 0);
    EXPECT_TRUE(out.startsWith(s("Nothing is due"))) << out.toStdString();
    expectFails({s("preserve"), file, s("TK26-01-001.1"), s("--in"), s("formalin"), s("--percent"), s("10")},
                2, "base");
    expectFails({s("preserve"), file, s("TK26-01-001.1"), s("--in"), s("ethanol"), s("--of"), s("two")}, 2,
                "--of");
    expectFails({s("preserve"), file, s("--in"), s("ethanol")}, 2, "ID... is missing");
    expectFails({s("store"), file, s("TK26-01-001.1"), s("--place"), s("ship//x")}, 2, "no place");
}

TEST_F(CustodyVerbs, AnEmptyPlaceIsAnsweredWithASentence)
{
    const QString file = made();
    EXPECT_EQ(run({s("place"), file}), 0);
    EXPECT_EQ(out, s("Nothing is stored yet.\n"));
    EXPECT_EQ(run({s("place"), file, s("--at"), s("nowhere")}), 0);
    EXPECT_EQ(out, s("Nothing is stored at nowhere or below it.\n"));
}

TEST_F(CustodyVerbs, TheCruiseFileIsNoPhotograph)
{
    const QString file = made();
    ASSERT_EQ(stamp(file, "B2", "coral"), 0);
    expectFails({s("photo"), file, s("TK26-01-001"), file}, 1, "cruise file itself");
    const QString link = path(s("picture.jpg"));
    ASSERT_TRUE(QFile::link(file, link));
    expectFails({s("photo"), file, s("TK26-01-001"), link}, 1, "cruise file itself");
}

TEST_F(CustodyVerbs, NamesFitOnOneLine)
{
    const QString file = made();
    ASSERT_EQ(stamp(file, "B2", "coral"), 0);
    const QString id = s("TK26-01-001");
    const QString within = QString(200, QLatin1Char('x'));
    for (const QString &bad : {s("two\nlines"), s("bell\arings"), within + QLatin1Char('x')}) {
        for (const QStringList &words : std::vector<QStringList>{
                 {s("extra"), file, s("--dive"), s("1"), s("--from"), s("2026-03-12T10:00:00Z"), s("--to"),
                  s("2026-03-12T14:00:00Z"), s("--kind"), bad},
                 {s("split"), file, id, s("--material"), bad},
                 {s("split"), file, id, s("--material"), s("tissue"), s("--purpose"), bad},
                 {s("split"), file, id, s("--material"), s("tissue"), s("--size-mm"), bad},
                 {s("split"), file, id, s("--material"), s("crinoid"), s("--found-on"), id, s("--relation"),
                  bad},
                 {s("preserve"), file, id, s("--in"), bad},
                 {s("preserve"), file, id, s("--in"), s("ethanol"), s("--container"), bad},
                 {s("store"), file, id, s("--place"), s("ship/") + bad},
                 {s("identify"), file, id, s("--name"), bad},
                 {s("identify"), file, id, s("--name"), s("Paragorgia"), s("--qualifier"), bad}})
            expectFails(words, 2, "one line of at most 200 characters");
    }
    EXPECT_EQ(run({s("split"), file, id, s("--material"), within}), 0) << err.toStdString();
    expectFails({s("correct"), file, s("TK26-01-001.1"), s("--field"), s("purpose"), s("--value"),
                 s("two\nlines"), s("--reason"), s("misread")},
                2, "one line of at most 200 characters");
    EXPECT_EQ(run({s("store"), file, id, s("--place"), s("ship/") + within}), 0) << err.toStdString();
}
