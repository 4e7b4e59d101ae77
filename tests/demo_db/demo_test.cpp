// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include "base/csv.h"
#include "custody/audit.h"
#include "custody/tally.h"
#include "demo_db/scenario.h"
#include "dive/actions.h"
#include "support/temp_dir.h"

#include <QCryptographicHash>
#include <QGuiApplication>

using namespace holdfast;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

/// The demo is made once and only read by the tests.
class Demo : public ::testing::Test
{
protected:
    static void SetUpTestSuite()
    {
        folder = new QTemporaryDir;
        code = run({s("demo"), dir()});
    }
    static void TearDownTestSuite()
    {
        delete folder;
        folder = nullptr;
    }
    static QString dir() { return folder->filePath(s("demo")); }
    static QString cruise() { return dir() + s("/cruise.hfc"); }
    static int run(const QStringList &words)
    {
        out.clear();
        err.clear();
        return cli::run(words,
                        {[](const QString &t) { out += t; }, [](const QString &t) { err += t; },
                         [] { return QByteArray(); }, [] { return *parseIsoUtc("2026-03-15T12:00:00Z"); }});
    }
    static CsvTable table(const QString &name)
    {
        const auto t = readCsvFile(dir() + QLatin1Char('/') + name);
        EXPECT_TRUE(t) << (t ? "" : t.error().sentence.toStdString());
        return t ? *t : CsvTable{};
    }

    static QTemporaryDir *folder;
    static int code;
    static QString out, err;
};

QTemporaryDir *Demo::folder = nullptr;
int Demo::code = -1;
QString Demo::out;
QString Demo::err;

} // namespace

TEST_F(Demo, IsMadeWithEveryFileItNames)
{
    ASSERT_EQ(code, 0) << err.toStdString();
    for (const char *name :
         {"cruise.hfc", "labels.pdf", "custody-sheet.pdf", "README.txt", "logs/dive-1-position.csv",
          "logs/dive-1-ctd.csv", "logs/dive-2-position.csv", "logs/dive-3-ctd.csv"})
        EXPECT_GT(QFileInfo(dir() + QLatin1Char('/') + s(name)).size(), 0) << name;
    EXPECT_EQ(run({s("demo"), dir()}), 1) << "never over a folder that holds something";
}

TEST_F(Demo, HoldsAboutTwentyFiveSamplesOfEveryFamilyAndARecordThatHolds)
{
    const auto file = cli::openForReading(cruise());
    ASSERT_OK(file);
    std::size_t samples = 0;
    QStringList families;
    for (const int dive : {1, 2, 3}) {
        const auto all = readSamples(file->db(), dive);
        ASSERT_OK(all);
        samples += all->size();
        for (const SampleInfo &sample : *all)
            families << sample.family;
    }
    EXPECT_GE(samples, 20u);
    for (const char *family : {"rock", "biology", "sediment", "water"})
        EXPECT_TRUE(families.contains(s(family))) << family;
    EXPECT_FALSE(families.contains(QString())) << "every word of the scenario is in the list of kinds";
    const auto report = auditCruise(*file);
    ASSERT_OK(report);
    EXPECT_TRUE(report->holds()) << report->text().toStdString();
    EXPECT_EQ(report->logs, 5);
    EXPECT_TRUE(readDive(file->db(), 1)->closed);
    EXPECT_FALSE(readDive(file->db(), 2)->closed);
    EXPECT_FALSE(readDive(file->db(), 3)->offBottom);
}

TEST_F(Demo, EverySampleOfARecoveredDiveHasAFixAndWater)
{
    ASSERT_EQ(run({s("fix"), cruise(), s("--dive"), s("1"), s("--out"), dir() + s("/fixes.csv")}), 0)
        << err.toStdString();
    ASSERT_EQ(run({s("water"), cruise(), s("--dive"), s("1"), s("--out"), dir() + s("/water.csv")}), 0)
        << err.toStdString();
    const CsvTable fixes = table(s("fixes.csv"));
    EXPECT_EQ(fixes.header.join(QLatin1Char(',')),
              s("id,time_utc,latitude_deg,longitude_deg,uncertainty95_m,depth_m,gap_s,flag,method"));
    const CsvTable water = table(s("water.csv"));
    ASSERT_GE(fixes.rows.size(), 13u);
    ASSERT_EQ(fixes.rows.size(), water.rows.size());
    bool east = false;
    bool west = false;
    for (const QStringList &row : fixes.rows) {
        EXPECT_NE(row.at(7), s("9")) << row.join(QLatin1Char(',')).toStdString();
        EXPECT_GT(row.at(4).toDouble(), 0.5);
        EXPECT_LT(row.at(4).toDouble(), 60);
        (row.at(3).toDouble() > 0 ? east : west) = true;
    }
    EXPECT_TRUE(east && west) << "the track crosses the 180th meridian";
    for (const QStringList &row : water.rows)
        EXPECT_NE(row.at(water.column(s("flag"))), s("9"));
}

TEST_F(Demo, ALogOutsideItsTimesGivesAFlagAndNoNumber)
{
    QFile times(dir() + s("/times.csv"));
    ASSERT_TRUE(times.open(QIODevice::WriteOnly));
    times.write("id,time_utc\nbefore,2026-03-11T00:00:00Z\nafter,2026-03-20T00:00:00Z\n");
    times.close();
    ASSERT_EQ(run({s("fix"), cruise(), s("--dive"), s("1"), s("--at"), times.fileName(), s("--out"),
                   dir() + s("/out.csv")}),
              0);
    for (const QStringList &row : table(s("out.csv")).rows) {
        EXPECT_EQ(row.at(2), QString());
        EXPECT_EQ(row.at(7), s("9"));
    }
    ASSERT_EQ(run({s("water"), cruise(), s("--dive"), s("1"), s("--at"), times.fileName(), s("--out"),
                   dir() + s("/out.csv")}),
              0);
    const CsvTable water = table(s("out.csv"));
    for (const QStringList &row : water.rows) {
        EXPECT_EQ(row.at(water.column(s("temperature_degC"))), QString());
        EXPECT_EQ(row.at(water.column(s("flag"))), s("9"));
    }
}

TEST_F(Demo, IsTheSameOnEveryMachine)
{
    // The generator is our own down to its random numbers. A change of the scenario changes these sums: renew
    // them then.
    const demo::DiveLogs again = demo::simulate(demo::scenario().front().plan);
    QFile log(dir() + s("/logs/dive-1-position.csv"));
    ASSERT_TRUE(log.open(QIODevice::ReadOnly));
    EXPECT_EQ(log.readAll(), again.position);
}

int main(int argc, char **argv)
{
    const QGuiApplication app(argc, argv);
    ::testing::InitGoogleTest(&argc, argv);
    return RUN_ALL_TESTS();
}
