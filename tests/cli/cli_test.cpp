// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli_support.h"

#include "base/csv.h"
#include "dive/readers.h"
#include "store/schema.h"
#include "support/old_schema.h"

#include <QDir>
#include <QFileInfo>
#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>

using namespace holdfast;
using test::s;

namespace
{
class CommandLine : public test::CommandLine
{
};
} // namespace

TEST_F(CommandLine, StampsASampleAndSaysItsId)
{
    const QString file = made();
    ASSERT_EQ(stamp(file, "B2", "coral"), 0) << err.toStdString();
    EXPECT_TRUE(out.startsWith(s("TK26-01-001 saved"))) << out.toStdString();
    EXPECT_EQ(stamp(file, "B2", "sponge"), 1);
    EXPECT_TRUE(err.contains(s("taken")));
    EXPECT_TRUE(out.isEmpty());
    EXPECT_EQ(stamp(file, "R1", "rock"), 0);
    EXPECT_EQ(stamp(file, "R1", "basalt"), 0);
    EXPECT_TRUE(err.contains(s("warning (recorded)")));
    EXPECT_TRUE(out.contains(s("TK26-01-003")));
    EXPECT_EQ(stamp(file, "X1", "rock"), 1);
    EXPECT_EQ(stamp(file, "B1", "rock"), 1);
}

TEST_F(CommandLine, ReadsFilesOfEarlierSchemasAndLeavesThemAlone)
{
    const QString file = made();
    ASSERT_EQ(stamp(file, "R1", "basalt"), 0) << err.toStdString();
    for (int version = schemaVersion() - 1; version >= 4; --version) {
        const QString copy = path(s("schema-%1.hfc").arg(version));
        ASSERT_TRUE(QFile::copy(file, copy));
        {
            auto older = QSqlDatabase::addDatabase(s("QSQLITE"), s("older"));
            older.setDatabaseName(copy);
            ASSERT_TRUE(older.open());
            test::dropTablesOfStepsAfter(older, version);
            ASSERT_OK(execSql(older, s("PRAGMA user_version=%1").arg(version)));
            older.close();
        }
        QSqlDatabase::removeDatabase(s("older"));
        ASSERT_TRUE(QFile::setPermissions(copy, QFile::ReadOwner));
        const QByteArray before = bytesOf(copy);
        const QStringList beside = QDir(QFileInfo(copy).path()).entryList(QDir::Files);

        EXPECT_EQ(run({s("audit"), copy}), 0) << version << err.toStdString();
        EXPECT_TRUE(out.contains(s("The file has the older schema %1").arg(version))) << out.toStdString();
        EXPECT_EQ(run({s("find"), copy, s("basalt")}), 0) << version << err.toStdString();
        EXPECT_TRUE(out.contains(s("TK26-01-001"))) << version << out.toStdString();
        EXPECT_EQ(run({s("history"), copy, s("TK26-01-001")}), 0) << version << err.toStdString();

        EXPECT_EQ(bytesOf(copy), before) << version;
        EXPECT_EQ(QDir(QFileInfo(copy).path()).entryList(QDir::Files), beside) << version;
    }
}

TEST_F(CommandLine, KeepsFailedAttempts)
{
    const QString file = made();
    EXPECT_EQ(run({s("stamp"), file, s("--dive"), s("1"), s("--at"), s("2026-03-12T14:22:07Z"), s("--by"),
                   s("Mara"), s("--failed"), s("lost at the box")}),
              0)
        << err.toStdString();
    const auto opened = cli::openForReading(file);
    ASSERT_OK(opened);
    const auto stamps = readStamps(opened->db(), 1);
    ASSERT_OK(stamps);
    EXPECT_EQ(stamps->at(0).state, s("failed"));
}

TEST_F(CommandLine, WrongUsageIsTwoAndSaysHow)
{
    const QString file = made();
    expectFails({s("frobnicate")}, 2, "frobnicate");
    expectFails({s("new"), file}, 2, "--cruise");
    expectFails({s("new"), path(s("b.hfc")), s("--cruise"), s("tk 26"), s("--station"), s("van")}, 2,
                "cruise code");
    expectFails({s("dive"), file, s("--number"), s("two"), s("--vehicle"), s("V"), s("--loadout"), s("demo")},
                2, "whole number");
    expectFails({s("stamp"), file, s("--dive"), s("1"), s("--at"), s("noon"), s("--slot"), s("B1"),
                 s("--kind"), s("coral"), s("--by"), s("Mara")},
                2, "UTC time");
    expectFails(
        {s("stamp"), file, s("--dive"), s("1"), s("--at"), s("2026-03-12T14:22:07Z"), s("--by"), s("Mara")},
        2, "--slot");
    expectFails({s("stamp"), file, s("--bogus"), s("1")}, 2, "--bogus");
    expectFails({s("audit")}, 2, "FILE is missing");
    expectFails({s("audit"), file, s("more")}, 2, "too many");
    expectFails({s("calc"), s("alchemy")}, 2, "salinity");
}

TEST_F(CommandLine, ContradictingWordsAreRefused)
{
    const QString file = made();
    const QStringList words{s("stamp"), file,     s("--dive"), s("1"), s("--at"), s("2026-03-12T14:22:07Z"),
                            s("--by"),  s("Mara")};
    expectFails(words + QStringList{s("--failed"), s("slipped"), s("--set-aside"), s("test")}, 2, "not both");
    expectFails(words + QStringList{s("--failed"), s("slipped"), s("--slot"), s("B1")}, 2, "--slot");
    expectFails({s("tally"), file, s("--dive"), s("1"), s("--note"), s("lost?")}, 2, "--slot");
    expectFails(words + QStringList{s("--slot"), s("R1"), s("--kind"), s("ro\nck")}, 2, "one line");
    expectFails(
        {s("dive"), file, s("--number"), s("2"), s("--vehicle"), s("A\rB"), s("--loadout"), s("demo")}, 2,
        "one line");
    expectFails({s("new"), path(s("b.hfc")), s("--cruise"), s("TK26"), s("--station"), s("van\n")}, 2,
                "station name");
    expectFails({s("new"), QString(), s("--cruise"), s("TK26"), s("--station"), s("van")}, 2, "a name");
    const auto opened = cli::openForReading(file);
    ASSERT_OK(opened);
    const auto stamps = readStamps(opened->db(), 1);
    ASSERT_OK(stamps);
    EXPECT_TRUE(stamps->empty());
}

TEST_F(CommandLine, AResultNeverTakesThePlaceOfTheRecordOrOfItsInput)
{
    const QString file = made();
    ASSERT_EQ(stamp(file, "B2", "coral"), 0);
    const QByteArray before = bytesOf(file);
    expectFails({s("water"), file, s("--dive"), s("1"), s("--out"), file}, 1, "not written over");
    expectFails({s("fix"), file, s("--dive"), s("1"), s("--out"), file}, 1, "not written over");
    EXPECT_EQ(bytesOf(file), before);
    const QString times = path(s("times.csv"));
    write(times, "id,time_utc\na,2026-03-12T14:22:07Z\n");
    expectFails({s("fix"), file, s("--dive"), s("1"), s("--at"), times, s("--out"), times}, 2, "made from");
    EXPECT_TRUE(bytesOf(times).startsWith("id,time_utc\na"));
}

TEST_F(CommandLine, WorkThatFailsIsOne)
{
    const QString file = made();
    expectFails({s("audit"), path(s("none.hfc"))}, 1, "no file");
    expectFails({s("audit"), path(QString())}, 1, "folder");
    expectFails({s("new"), file, s("--cruise"), s("TK26"), s("--station"), s("van")}, 1, "exists already");
    expectFails({s("dive"), file, s("--number"), s("1"), s("--vehicle"), s("V"), s("--loadout"), s("demo")},
                1, "already");
    expectFails({s("dive"), file, s("--number"), s("2"), s("--vehicle"), s("V"), s("--loadout"), s("none")},
                1, "demo");
}

TEST_F(CommandLine, ReadyRecordsWhatWasCheckedAndWarnsOverALimit)
{
    const QString file = made();
    const QStringList ready{s("ready"), file, s("--dive"), s("1")};
    ASSERT_EQ(run(ready), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s("12 points are left"))) << out.toStdString();
    ASSERT_EQ(run(ready + QStringList{s("--confirm"), s("boxes"), s("--by"), s("Ana")}), 0)
        << err.toStdString();
    EXPECT_TRUE(out.contains(s("5 points are left"))) << out.toStdString();
    ASSERT_EQ(run(ready + QStringList{s("--refuse"), s("push cores"), s("--note"), s("mud in C3"), s("--by"),
                                      s("Ana")}),
              0)
        << err.toStdString();
    EXPECT_TRUE(out.contains(s("1 is not in order"))) << out.toStdString();
    ASSERT_EQ(run(ready + QStringList{s("--permit"), s("stony 1 permit 26/17"), s("--want"), s("coral 1-5"),
                                      s("--watch"), s("log Mara"), s("--by"), s("Ana")}),
              0)
        << err.toStdString();
    ASSERT_EQ(run({s("stamp"), file, s("--dive"), s("1"), s("--at"), s("2026-03-12T14:22:07Z"), s("--slot"),
                   s("B1"), s("--kind"), s("coral"), s("--count"), s("2"), s("--permit"), s("stony"),
                   s("--by"), s("Mara")}),
              0);
    EXPECT_TRUE(err.contains(s("2 of at most 1 stony"))) << err.toStdString();
    ASSERT_EQ(run(ready + QStringList{s("--json")}), 0);
    EXPECT_TRUE(out.contains(s("\"taken\":2"))) << out.toStdString();
    expectFails(ready + QStringList{s("--confirm"), s("freezer"), s("--by"), s("Ana")}, 1, "freezer");
    expectFails(ready + QStringList{s("--want"), s("coral"), s("--by"), s("Ana")}, 2, "coral 2-6");
}

TEST_F(CommandLine, EveryVerbExplainsItself)
{
    for (const cli::Verb &verb : cli::verbs()) {
        EXPECT_EQ(run({verb.name, s("--help")}), 0);
        EXPECT_TRUE(out.startsWith(s("holdfast ") + verb.name)) << out.toStdString();
        for (const cli::Flag &flag : verb.flags)
            EXPECT_TRUE(out.contains(s("--") + flag.name)) << verb.name.toStdString();
    }
    EXPECT_EQ(run({s("--help")}), 0);
    EXPECT_EQ(run({s("--version")}), 0);
}

TEST_F(CommandLine, AuditNamesTheFirstBadEntry)
{
    const QString file = made();
    ASSERT_EQ(stamp(file, "B2", "coral"), 0);
    ASSERT_EQ(run({s("audit"), file}), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s("5 entries"))) << out.toStdString();
    {
        auto db = Database::open(file, Database::Access::ReadWrite);
        ASSERT_OK(db);
        ASSERT_OK(execSql(db->connection(), s("UPDATE ledger SET actor='Somebody' WHERE seq=4")));
    }
    expectFails({s("audit"), file}, 1, "entry 4");
    EXPECT_EQ(run({s("audit"), file, s("--json")}), 1);
    const QJsonObject json = QJsonDocument::fromJson(out.toUtf8()).object();
    EXPECT_FALSE(json.value(s("ok")).toBool(true));
    EXPECT_EQ(json.value(s("findings")).toArray().size(), 1);
}

TEST_F(CommandLine, AuditFindsATableThatWasChangedBehindTheLedger)
{
    const QString file = made();
    ASSERT_EQ(stamp(file, "B2", "coral"), 0);
    {
        auto db = Database::open(file, Database::Access::ReadWrite);
        ASSERT_OK(db);
        ASSERT_OK(execSql(db->connection(), s("UPDATE sample SET kind='gold'")));
    }
    expectFails({s("audit"), file}, 1, "Table sample");
}

TEST_F(CommandLine, AuditFindsWhatTheProgramDidNotMake)
{
    for (const auto &[change, says] :
         {std::pair{"CREATE TRIGGER quiet AFTER INSERT ON sample BEGIN DELETE FROM amendment; END",
                    "trigger quiet"},
          std::pair{"DROP INDEX sample_slot", "index sample_slot"}, std::pair{"DROP TABLE lid", "table lid"},
          std::pair{"UPDATE installation SET value='shed' WHERE key='station'", "\"shed\""}}) {
        const QString file = made();
        {
            auto db = Database::open(file, Database::Access::ReadWrite);
            ASSERT_OK(db);
            ASSERT_OK(execSql(db->connection(), s(change)));
        }
        expectFails({s("audit"), file}, 1, says);
        for (const char *tail : {"", "-wal", "-shm"})
            QFile::remove(file + s(tail));
    }
}

TEST_F(CommandLine, AuditFindsADamagedPageThatNoTableNeeds)
{
    const QString file = made();
    ASSERT_EQ(stamp(file, "B2", "coral"), 0);
    qint64 page = 0;
    {
        auto db = Database::open(file, Database::Access::ReadWrite);
        ASSERT_OK(db);
        auto row = query(db->connection(), s("SELECT rootpage FROM sqlite_master WHERE name='sample_slot'"));
        ASSERT_OK(row);
        ASSERT_TRUE(row->next());
        page = row->integer(0);
    }
    QByteArray bytes = bytesOf(file);
    ASSERT_GE(bytes.size(), page * 4096);
    bytes.replace((page - 1) * 4096, 4096, QByteArray(4096, '\0'));
    write(file, bytes);
    expectFails({s("audit"), file}, 1, "damaged");
}

TEST_F(CommandLine, TallyAndClose)
{
    const QString file = made();
    ASSERT_EQ(stamp(file, "B2", "coral"), 0);
    EXPECT_EQ(run({s("tally"), file, s("--dive"), s("1")}), 0);
    EXPECT_TRUE(out.contains(s("untallied")));
    EXPECT_EQ(
        run({s("tally"), file, s("--dive"), s("1"), s("--slot"), s("B2"), s("--found"), s("as-logged")}), 0)
        << err.toStdString();
    EXPECT_EQ(run({s("close"), file, s("--dive"), s("1")}), 1);
    EXPECT_TRUE(err.contains(s("untallied")));
}

TEST_F(CommandLine, WhatChangedAfterTheTallyIsToBeLookedAtAgain)
{
    const QString file = made();
    ASSERT_EQ(
        run({s("tally"), file, s("--dive"), s("1"), s("--slot"), s("B2"), s("--found"), s("as-logged")}), 0)
        << err.toStdString();
    ASSERT_EQ(stamp(file, "B2", "coral"), 0);
    ASSERT_EQ(run({s("tally"), file, s("--dive"), s("1")}), 0);
    EXPECT_TRUE(out.contains(s("B2    untallied   TK26-01-001  (look again: after it was tallied, "
                               "TK26-01-001 was logged there)")))
        << out.toStdString();
    expectFails({s("close"), file, s("--dive"), s("1")}, 1,
                "B2 was tallied, but then TK26-01-001 was logged there");
}

// S = 40, T68 = 40, p = 10000 dbar, R = 1.888091: UNESCO Technical Papers in Marine Science 44 (1983), p. 9.
// UNESCO Technical Papers in Marine Science 44 (1983), pp. 19 and 44: S 35, 5 degC (IPTS-68), 10,000 dbar:
// 1069.48914 kg/m3; S 40, 40 degC (IPTS-68), 10,000 dbar: potential temperature 36.89073 degC (IPTS-68).
// TEOS-10: python3-gsw 3.6.16, rho and sound_speed_t_exact of reference salinity. Oxygen: SCOR WG
// 142, 44.6596 umol in 1 mL.
TEST_F(CommandLine, CalculatesByTheOlderAndTheNewerFormulas)
{
    const auto value = [this](const char *function, const char *table, const char *column) {
        input = table;
        EXPECT_EQ(run({s("calc"), s(function)}), 0) << err.toStdString();
        const auto answer = readCsv(out.toUtf8(), s("answer"));
        EXPECT_TRUE(answer);
        EXPECT_TRUE(answer->rows[0].last().isEmpty()) << answer->rows[0].last().toStdString();
        return answer->rows[0].at(answer->column(s(column))).toDouble();
    };
    const char *water = "practical_salinity,temperature_degC,pressure_dbar\n35,4.998800288,10000\n";
    EXPECT_NEAR(value("density", water, "density_kg_m3"), 1069.48914, 1e-5);
    EXPECT_NEAR(value("density-teos10", water, "density_kg_m3"), 1069.498754936853, 1e-8);
    EXPECT_NEAR(value("sigma0-teos10", water, "sigma0_kg_m3"), 27.82522110607806, 1e-8);
    EXPECT_NEAR(value("sound-speed-teos10", water, "sound_speed_m_s"), 1640.8406935037112, 1e-8);
    EXPECT_NEAR(
        value("freezing-point-teos10", "practical_salinity,pressure_dbar\n35,500\n", "freezing_point_degC"),
        -2.297236540346349, 1e-8);
    EXPECT_NEAR(value("oxygen-units", "oxygen_umol_kg,density_kg_L\n44.6596,1\n", "oxygen_mL_L"), 1.0, 1e-12);
    input = "practical_salinity,temperature_degC,pressure_dbar\n40,39.990402303,10000\n";
    ASSERT_EQ(run({s("calc"), s("potential-temperature")}), 0);
    const auto answer = readCsv(out.toUtf8(), s("answer"));
    ASSERT_TRUE(answer);
    EXPECT_NEAR(answer->rows[0].at(3).toDouble() * 1.00024, 36.89073, 1e-5);
    EXPECT_TRUE(answer->rows[0].at(4).contains(s("temperature too high")))
        << "the lapse rate ends at 30 degC";
}

TEST_F(CommandLine, CalcKeepsTheColumnsAndAddsTheResult)
{
    input = "case,conductivity_mS_cm,temperature_degC,pressure_dbar\n"
            "\"P1, printed\",81.025537174,39.990402303,10000\nP2,,15,0\n";
    ASSERT_EQ(run({s("calc"), s("salinity")}), 0) << err.toStdString();
    const auto t = readCsv(out.toUtf8(), s("out"));
    ASSERT_TRUE(t) << t.error().sentence.toStdString();
    ASSERT_EQ(t->header.mid(0, 5), QStringList({s("case"), s("conductivity_mS_cm"), s("temperature_degC"),
                                                s("pressure_dbar"), s("practical_salinity")}));
    EXPECT_EQ(t->rows[0].at(0), s("P1, printed"));
    EXPECT_NEAR(t->rows[0].at(4).toDouble(), 40.0, 5e-6);
    EXPECT_EQ(t->rows[1].at(4), s(""));
    // Where a formula has no value, nothing is called extrapolated.
    input = "conductivity_mS_cm,temperature_degC,pressure_dbar\n-1,15,0\n";
    ASSERT_EQ(run({s("calc"), s("salinity")}), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s(",,the formula has no value"))) << out.toStdString();
}

// Case made by explicit vectors and GeographicLib 2.1.2 local cartesian, checked in Earth-centred
// coordinates: stabilised bearing, lever arm and attitude; 1e-3 m on the ground is 1e-8 degrees.
TEST_F(CommandLine, CalcPlacesAnAcousticTarget)
{
    input = "antenna_lat,antenna_lon,antenna_height_m,heading_deg,pitch_deg,roll_deg,lever_x_m,lever_y_m,"
            "lever_z_m,"
            "slant_range_m,bearing_deg,depth_m\n"
            "-21.0759,173.2147,18.0,214.0,2.1,-4.7,-12.5,3.2,23.5,1702.3,141.7,1432.6\n"
            "-21.0759,173.2147,18.0,214.0,2.1,-4.7,-12.5,3.2,23.5,100,141.7,1432.6\n";
    ASSERT_EQ(run({s("calc"), s("usbl-level")}), 0) << err.toStdString();
    const auto t = readCsv(out.toUtf8(), s("out"));
    ASSERT_TRUE(t);
    EXPECT_NEAR(t->rows[0].at(12).toDouble(), -21.06742547456084, 1e-8);
    EXPECT_NEAR(t->rows[0].at(13).toDouble(), 173.21405204518391, 1e-8);
    EXPECT_EQ(t->rows[1].at(12), s("")) << "a range shorter than the depth is impossible";
    EXPECT_FALSE(t->rows[1].at(15).isEmpty());
}

// Logs of a trial, or of a vehicle whose clock was never set: what was logged is kept, and told.
TEST_F(CommandLine, AStampOfTheFutureIsTakenWithAWarning)
{
    const QString file = made();
    EXPECT_EQ(run({s("stamp"), file, s("--dive"), s("1"), s("--at"), s("2051-03-08T19:00:00Z"), s("--slot"),
                   s("B1"), s("--kind"), s("coral"), s("--by"), s("Mara")}),
              0)
        << err.toStdString();
    EXPECT_TRUE(err.contains(s("warning"))) << err.toStdString();
}

TEST_F(CommandLine, CalcKeepsAColumnThatIsNamedLikeItsResultAndAddsItsOwn)
{
    input = "practical_salinity,conductivity_mS_cm,temperature_degC,pressure_dbar\n1,42.9140,14.9964,0\n";
    ASSERT_EQ(run({s("calc"), s("salinity")}), 0) << err.toStdString();
    EXPECT_TRUE(out.startsWith(
        s("practical_salinity,conductivity_mS_cm,temperature_degC,pressure_dbar,practical_salinity")))
        << out.toStdString();
    EXPECT_TRUE(out.contains(s("\n1,42.9140,14.9964,0,35.0"))) << out.toStdString();
}

TEST_F(CommandLine, CalcRefusesWhatIsNoTable)
{
    for (const QByteArray &bad :
         {QByteArray(""), QByteArray("a,b\n1,2\n"), QByteArray("\0\1\2", 3),
          QByteArray("conductivity_mS_cm,temperature_degC,pressure_dbar\n1,two,3\n"),
          QByteArray("conductivity_mS_cm,temperature_degC,pressure_dbar\n1,inf,3\n")}) {
        input = bad;
        EXPECT_EQ(run({s("calc"), s("salinity")}), 1);
        EXPECT_FALSE(err.isEmpty());
        EXPECT_TRUE(out.isEmpty());
    }
}

TEST_F(CommandLine, SensorsAreCorrectedOnlyWithAReasonAndSeenInTheQuality)
{
    const QString file = made();
    QByteArray ctd = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar\n";
    for (int i = 0; i < 60; ++i)
        ctd += "2026-03-12T14:00:" + QByteArray::number(i).rightJustified(2, '0') + "Z,33.1" +
               QByteArray::number(i % 7) + ",4.2" + QByteArray::number(i % 3) + ",900." +
               QByteArray::number(i % 5) + "\n";
    write(path(s("c.csv")), ctd);
    const QStringList intake{s("intake"),    file,         path(s("c.csv")), s("--dive"), s("1"),
                             s("--profile"), s("ctd-csv"), s("--by"),        s("Mara")};
    expectFails(intake + QStringList{s("--deck-pressure"), s("0.4")}, 2, "--reason");
    expectFails(intake + QStringList{s("--deck-pressure"), s("a"), s("--reason"), s("x")}, 2,
                "needs a number");
    ASSERT_EQ(run(intake + QStringList{s("--deck-pressure"), s("0.4"), s("--reason"), s("deck reading")}), 0)
        << err.toStdString();
    EXPECT_TRUE(out.contains(s("0.400 dbar taken off"))) << out.toStdString();
    ASSERT_EQ(run({s("quality"), file, s("--dive"), s("1")}), 0);
    EXPECT_TRUE(out.contains(s("corrected: c.csv"))) << out.toStdString();
    const QStringList correct{s("correct-log"), file,      s("--dive"),   s("1"),
                              s("--by"),        s("Mara"), s("--reason"), s("as read")};
    expectFails(correct, 2, "Nothing to correct");
    ASSERT_EQ(run(correct + QStringList{s("--temperature-lag"), s("-0.05"), s("--deck-pressure"), s("0")}), 0)
        << err.toStdString();
    ASSERT_EQ(run({s("audit"), file}), 0) << out.toStdString();
    EXPECT_EQ(
        run({s("intake"), file, path(s("c.csv")), s("--dive"), s("1"), s("--profile"), s("position-csv"),
             s("--by"), s("Mara"), s("--deck-pressure"), s("1"), s("--reason"), s("x")}),
        2);
}
