// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli_support.h"

#include <QDir>
#include <QJsonDocument>
#include <QJsonObject>

namespace holdfast::test
{

class HandoffVerbs : public CommandLine
{
protected:
    QString packed()
    {
        const QString file = made();
        EXPECT_EQ(stamp(file, "B1", "octocoral"), 0) << err.toStdString();
        QDir().mkpath(path(s("out")));
        EXPECT_EQ(run({s("handoff"), file, s("--out"), path(s("out")), s("--no-papers"), s("--quiet")}), 0)
            << err.toStdString();
        return path(s("out/TK26-v1"));
    }
};

TEST_F(HandoffVerbs, CheckOnlySaysWhatIsMissingAndWritesNothing)
{
    const QString file = made();
    ASSERT_EQ(stamp(file, "B1", "octocoral"), 0);
    EXPECT_EQ(run({s("handoff"), file, s("--check-only"), s("--quiet")}), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s("TK26-01-001"))) << out.toStdString();
    EXPECT_TRUE(out.contains(s("missing")));
    EXPECT_EQ(run({s("handoff"), file, s("--check-only"), s("--json"), s("--quiet")}), 0);
    EXPECT_GT(QJsonDocument::fromJson(out.toUtf8()).object().value(s("missing")).toInt(), 3);
    expectFails({s("handoff"), file}, 2, "--out DIR is missing");
}

TEST_F(HandoffVerbs, APackageIsMadeCheckedReceivedAndIndexed)
{
    const QString package = packed();
    EXPECT_TRUE(out.contains(s("they are listed in it"))) << out.toStdString();
    EXPECT_EQ(run({s("check"), package}), 0) << out.toStdString();
    EXPECT_TRUE(out.contains(s("complete, valid")));
    EXPECT_EQ(run({s("check"), package, s("--json")}), 0);
    EXPECT_TRUE(QJsonDocument::fromJson(out.toUtf8()).object().value(s("valid")).toBool());
    EXPECT_EQ(run({s("receive"), package, s("--out"), path(s("again.hfc")), s("--quiet")}), 0)
        << err.toStdString();
    EXPECT_EQ(run({s("audit"), path(s("again.hfc"))}), 0) << err.toStdString();
    EXPECT_EQ(run({s("index"), s("add"), path(s("all.hfi")), package}), 0) << err.toStdString();
    EXPECT_EQ(run({s("index"), s("find"), path(s("all.hfi")), s("octo")}), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s("TK26-01-001")));
    EXPECT_EQ(run({s("index"), s("find"), path(s("all.hfi")), s("--family"), s("rock")}), 0);
    EXPECT_TRUE(out.contains(s("Nothing found")));
}

TEST_F(HandoffVerbs, ADamagedPackageFailsTheCheckAndIsNotReceived)
{
    const QString package = packed();
    write(package + s("/data/README.txt"), "other");
    EXPECT_EQ(run({s("check"), package}), 1);
    EXPECT_TRUE(out.contains(s("data/README.txt: was changed"))) << out.toStdString();
    expectFails({s("receive"), package, s("--out"), path(s("again.hfc")), s("--quiet")}, 1, "was changed");
    expectFails({s("check"), path(s("nowhere"))}, 1, "There is nothing at");
}

TEST_F(HandoffVerbs, AnOutputFolderThatCannotTakeItIsToldFirst)
{
    const QString package = packed();
    const QString file = path(s("cruise.hfc"));
    expectFails({s("handoff"), file, s("--out"), path(s("none"))}, 1, "There is no folder");
    EXPECT_FALSE(err.contains(s(" %  "))) << "nothing was computed";
    expectFails({s("handoff"), file, s("--out"), s("/proc")}, 1, "No file can be made in /proc");
    expectFails({s("receive"), package, s("--out"), s("/proc/again.hfc")}, 1, "No file can be made in /proc");
    EXPECT_FALSE(err.contains(s(" %  "))) << "nothing was computed";
    expectFails({s("receive"), package, s("--out"), path(s("none/again.hfc"))}, 1, "There is no folder");
}

TEST_F(HandoffVerbs, ProgressGoesToStandardErrorOnly)
{
    const QString file = made();
    QDir().mkpath(path(s("out")));
    EXPECT_EQ(run({s("handoff"), file, s("--out"), path(s("out")), s("--no-papers")}), 0)
        << err.toStdString();
    EXPECT_TRUE(err.contains(s("100 %"))) << err.toStdString();
    EXPECT_FALSE(out.contains(s(" %  ")));
}

TEST_F(HandoffVerbs, IndexRefusesWhatItCannotRead)
{
    expectFails({s("index"), s("find"), path(s("none.hfi"))}, 1, "There is no index at");
    expectFails({s("index"), s("burn"), path(s("x.hfi"))}, 2, "neither add nor find");
    expectFails({s("index"), s("add"), path(s("x.hfi"))}, 2, "Which packages?");
    const QString package = packed();
    ASSERT_EQ(run({s("index"), s("add"), path(s("x.hfi")), package}), 0) << err.toStdString();
    expectFails({s("index"), s("find"), path(s("x.hfi")), s("--depth"), s("deep")}, 2,
                "--depth needs two numbers");
    for (const char *depth : {"5..1", "nan..", "..inf", "5"})
        expectFails({s("index"), s("find"), path(s("x.hfi")), s("--depth"), s(depth)}, 2, "--depth");
    for (const char *box : {"1,2", "1,2,3,nan", "1,2,3,91", "181,2,3,4", "1,5,3,4"})
        expectFails({s("index"), s("find"), path(s("x.hfi")), s("--box"), s(box)}, 2, "--box");
    expectFails({s("index"), s("find"), path(s("x.hfi")), s("--family"), s("plants")}, 2, "no family");
    expectFails({s("index"), s("find"), path(s("x.hfi")), s("--from"), s("2026-03-12T09:00:00Z"), s("--to"),
                 s("2026-03-12T08:00:00Z")},
                2, "--from is after --to");
    write(path(s("damaged.hfi")), QByteArray(8192, 'x'));
    expectFails({s("index"), s("find"), path(s("damaged.hfi"))}, 1, "no index of cruises, or a damaged one");
}

} // namespace holdfast::test
