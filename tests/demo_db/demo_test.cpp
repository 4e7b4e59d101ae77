// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include "base/csv.h"
#include "custody/audit.h"
#include "custody/tally.h"
#include "demo_db/scenario.h"
#include "dive/actions.h"
#include "print/custody_sheet.h"
#include "support/temp_dir.h"

#include <QGuiApplication>
#include <QJsonDocument>
#include <QJsonObject>

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
        qputenv("HOLDFAST_KEYS", folder->filePath(s("keys")).toUtf8());
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

TEST_F(Demo, ClocksAreComparedAndAnOffsetIsAppliedOnlyWhenAPersonSaysSo)
{
    const QString copy = dir() + s("/clocks.hfc");
    ASSERT_TRUE(QFile::copy(cruise(), copy));
    ASSERT_EQ(run({s("clocks"), copy, s("--dive"), s("1"), s("--json")}), 0) << err.toStdString();
    const QJsonObject found = QJsonDocument::fromJson(out.toUtf8()).object();
    EXPECT_TRUE(found.value(s("confident")).toBool());
    EXPECT_NEAR(found.value(s("offset_s")).toDouble(), 0, 0.5) << "the demo's clocks agree";
    EXPECT_EQ(found.value(s("applied_s")).toDouble(), 0);
    EXPECT_EQ(run({s("clocks"), copy, s("--dive"), s("1"), s("--apply"), s("120")}), 2)
        << "a reason is needed";
    EXPECT_EQ(run({s("clocks"), copy, s("--dive"), s("1"), s("--apply"), s("soon"), s("--reason"), s("x")}),
              2);
    EXPECT_EQ(run({s("clocks"), copy, s("--dive"), s("1"), s("--apply"), s("9000"), s("--reason"), s("x")}),
              1);
    ASSERT_EQ(run({s("water"), copy, s("--dive"), s("1"), s("--out"), dir() + s("/before.csv")}), 0);
    ASSERT_EQ(
        run({s("clocks"), copy, s("--dive"), s("1"), s("--apply"), s("900"), s("--reason"), s("a trial")}), 0)
        << err.toStdString();
    ASSERT_EQ(run({s("water"), copy, s("--dive"), s("1"), s("--out"), dir() + s("/after.csv")}), 0);
    const CsvTable before = table(s("before.csv"));
    const CsvTable after = table(s("after.csv"));
    // A quarter of an hour later the vehicle was higher up the slope, or at the same place.
    double changed = 0;
    for (std::size_t i = 0; i < before.rows.size(); ++i) {
        EXPECT_LT(after.rows[i].at(2).toDouble(), before.rows[i].at(2).toDouble() + 1);
        changed += before.rows[i].at(2).toDouble() - after.rows[i].at(2).toDouble();
    }
    EXPECT_GT(changed, 20);
    EXPECT_EQ(run({s("audit"), copy}), 0) << err.toStdString();
}

TEST_F(Demo, CorrectedLogsMoveFixesAndBothValuesAreKept)
{
    const QString copy = dir() + s("/refix.hfc");
    ASSERT_TRUE(QFile::copy(cruise(), copy));
    EXPECT_EQ(run({s("refix"), copy, s("--dive"), s("1"), s("--accept"), s(" ")}), 2) << "a reason is needed";
    ASSERT_EQ(
        run({s("refix"), copy, s("--dive"), s("1"), s("--accept"), s("first values"), s("--by"), s("Ana")}),
        0)
        << err.toStdString();
    ASSERT_EQ(run({s("refix"), copy, s("--dive"), s("1")}), 0);
    EXPECT_TRUE(out.contains(s("as it was accepted"))) << out.toStdString();

    // The corrected log: every latitude 0.0001 degrees (11.07 m on WGS 84 at 19.4 S) further north.
    QFile log(dir() + s("/logs/dive-1-position.csv"));
    ASSERT_TRUE(log.open(QIODevice::ReadOnly));
    QByteArray corrected = log.readLine();
    while (!log.atEnd()) {
        QList<QByteArray> f = log.readLine().split(',');
        f[1] = QByteArray::number(f.at(1).toDouble() + 0.0001, 'f', 7);
        corrected += f.join(',');
    }
    QFile to(dir() + s("/corrected.csv"));
    ASSERT_TRUE(to.open(QIODevice::WriteOnly));
    to.write(corrected);
    to.close();
    const QStringList intake{s("intake"), copy,           to.fileName(),     s("--dive"),
                             s("1"),      s("--profile"), s("position-csv"), s("--replaces")};
    EXPECT_EQ(run(intake + QStringList{s("no-such.csv")}), 1);
    EXPECT_EQ(run(intake + QStringList{s("dive-1-ctd.csv")}), 1) << "a position log can't replace a CTD log";
    ASSERT_EQ(run(intake + QStringList{s("dive-1-position.csv")}), 0) << err.toStdString();
    ASSERT_EQ(run({s("refix"), copy, s("--dive"), s("1"), s("--out"), dir() + s("/refix.csv")}), 0)
        << err.toStdString();
    int moved = 0;
    for (const QStringList &row : table(s("refix.csv")).rows) {
        if (row.at(1) != s("moved_m"))
            continue;
        ++moved;
        EXPECT_NEAR(row.at(4).toDouble(), 11.07, 0.3) << row.at(0).toStdString();
    }
    EXPECT_EQ(moved, 13);
    ASSERT_EQ(run({s("refix"), copy, s("--dive"), s("1"), s("--accept"), s("corrected navigation"), s("--by"),
                   s("Ana")}),
              0);
    const auto file = cli::openForReading(copy);
    ASSERT_OK(file);
    auto kept =
        query(file->db().connection(), s("SELECT count(*), count(DISTINCT entry) FROM accepted_value"));
    ASSERT_OK(kept);
    ASSERT_TRUE(kept->next());
    EXPECT_EQ(kept->integer(0), 26) << "the earlier values stay";
    EXPECT_EQ(kept->integer(1), 2);
    const auto report = auditCruise(*file);
    ASSERT_OK(report);
    EXPECT_TRUE(report->holds()) << report->text().toStdString();
}

TEST_F(Demo, AReportIsWrittenAsPdfAndAsOnePage)
{
    ASSERT_EQ(run({s("report"), cruise(), s("--dive"), s("1"), s("--out"), dir() + s("/report.pdf")}), 0)
        << err.toStdString();
    EXPECT_GT(QFileInfo(dir() + s("/report.pdf")).size(), 20000);
    ASSERT_EQ(run({s("report"), cruise(), s("--dive"), s("1"), s("--out"), dir() + s("/report.html")}), 0);
    QFile page(dir() + s("/report.html"));
    ASSERT_TRUE(page.open(QIODevice::ReadOnly));
    const QByteArray html = page.readAll();
    EXPECT_TRUE(html.contains("TK26-01-013"));
    EXPECT_TRUE(html.contains("sponge crumbled at the claw")) << "what failed is told";
    EXPECT_FALSE(html.contains("src=\"http") || html.contains("<link") || html.contains("url(http"))
        << "it loads nothing";
    EXPECT_EQ(run({s("report"), cruise(), s("--dive"), s("8"), s("--out"), dir() + s("/report.pdf")}), 1);
}

TEST_F(Demo, ASheetOnPaperProvesTheFileAndTheFileTheSheet)
{
    const auto file = cli::openForReading(cruise());
    ASSERT_OK(file);
    const auto heads = chainHeads(file->db());
    ASSERT_OK(heads);
    const ChainHead head = heads->first();
    const QString proof = sheetProofText(s("TK26"), s("1"), {head.station, head.seq, head.hash});
    EXPECT_EQ(run({s("audit"), cruise(), s("--sheet"), proof}), 0) << err.toStdString();
    EXPECT_TRUE(out.contains(s("agree")));
    QString forged = proof;
    forged[forged.size() - 1] = forged.back() == QLatin1Char('0') ? QLatin1Char('1') : QLatin1Char('0');
    EXPECT_EQ(run({s("audit"), cruise(), s("--sheet"), forged}), 1);
    EXPECT_EQ(run({s("audit"), cruise(), s("--sheet"), QString(proof).replace(s("TK26"), s("QX77"))}), 1);
    EXPECT_NE(run({s("audit"), cruise(), s("--sheet"), s("nonsense")}), 0);
}

TEST_F(Demo, AuditFindsAChangeOfWhatIsSaidOfALog)
{
    const char *changes[] = {
        "UPDATE log_file SET dive=2 WHERE id=1",
        "UPDATE log_file SET kind='velocity' WHERE id=1",
        "UPDATE log_file SET role='ship' WHERE id=1",
        "UPDATE log_file SET profile='x' WHERE id=1",
        "UPDATE log_file SET profile_json=replace(profile_json, '0.5', '0.1') WHERE id=1",
        "UPDATE log_file SET bytes=bytes+1 WHERE id=1",
        "UPDATE log_file SET rows=rows+1 WHERE id=1",
        "UPDATE log_file SET first_us=first_us+1 WHERE id=1",
        "UPDATE log_file SET last_us=last_us-1 WHERE id=1",
        "UPDATE log_file SET columns=replace(columns, 'latitude', 'l') WHERE id=1",
        "UPDATE log_file SET file_name='x' WHERE id=1",
        "UPDATE log_file SET in_use=0 WHERE id=1",
        "UPDATE log_remark SET count=count+1 WHERE id=1",
        "UPDATE log_remark SET what=CASE what WHEN 'noted' THEN 'rejected' ELSE 'noted' END WHERE id=1",
        "UPDATE log_remark SET reason='x' WHERE id=1",
        "UPDATE log_remark SET first_line=first_line+1 WHERE id=1",
        "INSERT INTO log_remark (file, what, reason, count, first_line) VALUES (1, 'warning', 'x', 1, 0)",
        "INSERT INTO log_aside (file, line, reason, text) VALUES (1, 5, 'x', x'41')",
    };
    for (const char *change : changes) {
        const QString copy = dir() + s("/log-") + QString::number(qHash(QByteArray(change))) + s(".hfc");
        ASSERT_TRUE(QFile::copy(cruise(), copy));
        {
            auto db = Database::open(copy, Database::Access::ReadWrite);
            ASSERT_OK(db);
            ASSERT_OK(execSql(db->connection(), s(change)));
            auto changed = query(db->connection(), s("SELECT changes()"));
            ASSERT_OK(changed);
            ASSERT_TRUE(changed->next());
            ASSERT_EQ(changed->integer(0), 1) << change;
        }
        EXPECT_EQ(run({s("audit"), copy}), 1) << change;
    }
}

TEST_F(Demo, QualityIsSummedUp)
{
    ASSERT_EQ(run({s("quality"), cruise(), s("--dive"), s("1"), s("--json")}), 0) << err.toStdString();
    const QJsonObject json = QJsonDocument::fromJson(out.toUtf8()).object();
    EXPECT_EQ(json.value(s("ctd")).toObject().value(s("scans")).toInt(), 31440);
    EXPECT_GE(json.value(s("ctd")).toObject().value(s("flat_stretches")).toInt(), 1) << "the frozen minute";
    EXPECT_GT(json.value(s("track")).toObject().value(s("outliers")).toInt(), 50);
    ASSERT_EQ(run({s("quality"), cruise(), s("--dive"), s("3")}), 0);
    EXPECT_TRUE(out.contains(s("No CTD log"))) << out.toStdString();
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
    // ctest lists the tests before it sets their environment, and a computer may have no display.
    if (qEnvironmentVariableIsEmpty("QT_QPA_PLATFORM"))
        qputenv("QT_QPA_PLATFORM", "offscreen");
    const QGuiApplication app(argc, argv);
    ::testing::InitGoogleTest(&argc, argv);
    return RUN_ALL_TESTS();
}
