// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli_support.h"

#include <functional>
#include <gtest/gtest.h>

using namespace holdfast;
using namespace holdfast::test;

// Logs as they should not be. Each ends in a flag and a sentence, never in a number that looks good.

namespace
{

class BadLogs : public CommandLine
{
protected:
    using Cells = std::function<QByteArray(int row)>;

    QByteArray time(int seconds, int day = 12)
    {
        const auto t =
            at("2026-03-01T10:00:00Z") + std::chrono::days(day - 1) + std::chrono::seconds(seconds);
        return toIso(t).toLatin1();
    }
    static UtcTime at(const char *iso) { return parseIsoUtc(iso).value_or(UtcTime{}); }
    static double wiggle(int i) { return ((i * 7919) % 101 - 50) / 50.0; }
    static QByteArray place(double latitude, double longitude)
    {
        return QByteArray::number(latitude, 'f', 7) + ',' + QByteArray::number(longitude, 'f', 7) + ",1200";
    }
    /// A vehicle about at rest under a position every 2 s.
    static QByteArray good(int i) { return place(-31 + 4e-5 * wiggle(i), -128 + 4e-5 * wiggle(i + 37)); }
    QByteArray positions(const Cells &cells, int rows = 300)
    {
        QByteArray out = "time_utc,latitude_deg,longitude_deg,depth_m\n";
        for (int i = 0; i < rows; ++i)
            out += time(2 * i) + ',' + cells(i) + '\n';
        return out;
    }
    QByteArray scans(const Cells &cells)
    {
        QByteArray out = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar\n";
        for (int i = 0; i < 600; ++i)
            out += time(i) + ',' + cells(i) + '\n';
        return out;
    }
    static QByteArray scan(double c, double t, double p)
    {
        return QByteArray::number(c, 'f', 4) + ',' + QByteArray::number(t, 'f', 4) + ',' +
               QByteArray::number(p, 'f', 3);
    }
    int intake(const QByteArray &log, const char *profile)
    {
        m_file = made();
        write(path(s("log.csv")), log);
        const int code = run({s("intake"), m_file, path(s("log.csv")), s("--dive"), s("1"), s("--profile"),
                              s(profile), s("--by"), s("Mara")});
        m_said = out + err;
        return code;
    }
    /// Flag and reason of the fix at a time of the log.
    QString fixAt(int seconds)
    {
        write(path(s("at.csv")), "id,time_utc\nx," + time(seconds) + '\n');
        EXPECT_EQ(run({s("fix"), m_file, s("--dive"), s("1"), s("--at"), path(s("at.csv")), s("--out"),
                       path(s("o.csv")), s("--full")}),
                  0)
            << err.toStdString();
        m_notes = err;
        return rowOf();
    }
    /// The one row of the last result.
    QString rowOf() { return QString::fromUtf8(bytesOf(path(s("o.csv")))).section(QLatin1Char('\n'), 1, 1); }
    static int flagOf(const QString &row) { return row.section(QLatin1Char(','), 7, 7).toInt(); }
    static bool hasPlace(const QString &row) { return !row.section(QLatin1Char(','), 2, 2).isEmpty(); }

    QString m_file, m_said, m_notes;
};

} // namespace

TEST_F(BadLogs, NoPositionsAtAll)
{
    EXPECT_EQ(intake("time_utc,latitude_deg,longitude_deg,depth_m\n", "position-csv"), 1);
    EXPECT_TRUE(m_said.contains(s("a header and nothing else"))) << m_said.toStdString();
    const QString row = fixAt(100);
    EXPECT_EQ(flagOf(row), 9);
    EXPECT_FALSE(hasPlace(row));
    EXPECT_TRUE(row.contains(s("There are no positions for this dive"))) << row.toStdString();
}

TEST_F(BadLogs, OnePosition)
{
    EXPECT_EQ(intake(positions(good, 1), "position-csv"), 0);
    EXPECT_EQ(flagOf(fixAt(10)), 3) << "near it, with care";
    EXPECT_TRUE(m_notes.contains(s("Only one position"))) << m_notes.toStdString();
    const QString row = fixAt(300);
    EXPECT_EQ(flagOf(row), 9);
    EXPECT_FALSE(hasPlace(row));
}

TEST_F(BadLogs, AllRejected)
{
    EXPECT_EQ(intake(positions([](int i) { return i % 2 ? QByteArray("NaN,NaN,5") : place(91, 3); }),
                     "position-csv"),
              1);
    EXPECT_TRUE(m_said.contains(s("latitude beyond 90"))) << m_said.toStdString();
    EXPECT_EQ(flagOf(fixAt(100)), 9);
}

TEST_F(BadLogs, PositionsThatAllContradictEachOther)
{
    EXPECT_EQ(
        intake(positions([](int i) { return place(60 * wiggle(i), 150 * wiggle(i + 41)); }), "position-csv"),
        0);
    const QString row = fixAt(301);
    EXPECT_GE(flagOf(row), 3) << row.toStdString();
    EXPECT_TRUE(m_notes.contains(s("contradicts itself"))) << m_notes.toStdString();
}

TEST_F(BadLogs, OneTimeForAll)
{
    QByteArray log = positions(good);
    for (int i = 1; i < 300; ++i)
        log.replace(time(2 * i), time(0));
    EXPECT_EQ(intake(log, "position-csv"), 0);
    EXPECT_TRUE(m_said.contains(s("same time as another record"))) << m_said.toStdString();
    EXPECT_EQ(flagOf(fixAt(300)), 9);
}

TEST_F(BadLogs, TimesThatRunBackwards)
{
    QByteArray log = "time_utc,latitude_deg,longitude_deg,depth_m\n";
    for (int i = 299; i >= 0; --i)
        log += time(2 * i) + ',' + good(i) + '\n';
    EXPECT_EQ(intake(log, "position-csv"), 0);
    EXPECT_TRUE(m_said.contains(s("out of order"))) << m_said.toStdString();
    EXPECT_EQ(flagOf(fixAt(301)), 1);
}

TEST_F(BadLogs, ARowInTenIsNotANumberOrNoPlace)
{
    EXPECT_EQ(
        intake(positions([](int i) {
                   return i % 10 == 0 ? QByteArray("NaN,NaN,1200") : i % 10 == 5 ? place(91, 5) : good(i);
               }),
               "position-csv"),
        0);
    EXPECT_TRUE(m_said.contains(s("no position"))) << m_said.toStdString();
    EXPECT_TRUE(m_said.contains(s("latitude beyond 90"))) << m_said.toStdString();
    EXPECT_EQ(flagOf(fixAt(301)), 1);
}

TEST_F(BadLogs, ALeapThatIsReal)
{
    EXPECT_EQ(intake(positions([](int i) {
                         return i < 150 ? good(i)
                                        : place(-31 + 0.09 + 4e-5 * wiggle(i), -128 + 4e-5 * wiggle(i + 9));
                     }),
                     "position-csv"),
              0);
    EXPECT_EQ(flagOf(fixAt(250)), 1);
    EXPECT_TRUE(m_notes.contains(s("accepted as real"))) << m_notes.toStdString();
    EXPECT_EQ(flagOf(fixAt(350)), 1);
    const QString row = fixAt(299);
    EXPECT_EQ(flagOf(row), 4) << "between both sides nobody knows: " << row.toStdString();
    EXPECT_TRUE(row.contains(s("is known to"))) << row.toStdString();
}

TEST_F(BadLogs, OfAnotherDay)
{
    QByteArray log = positions(good);
    log.replace("2026-03-12", "2026-03-25");
    EXPECT_EQ(intake(log, "position-csv"), 0);
    const QString row = fixAt(300);
    EXPECT_EQ(flagOf(row), 9);
    EXPECT_TRUE(row.contains(s("before the first accepted position (2026-03-25"))) << row.toStdString();
}

TEST_F(BadLogs, LatitudeAndLongitudeSwapped)
{
    EXPECT_EQ(intake(positions([](int i) { return place(-128 + 4e-5 * wiggle(i), -31 + 4e-5 * wiggle(i)); }),
                     "position-csv"),
              1);
    EXPECT_TRUE(m_said.contains(s("look swapped"))) << m_said.toStdString();
    EXPECT_FALSE(m_said.contains(s(".."))) << m_said.toStdString();
}

TEST_F(BadLogs, LatitudeAndLongitudeSwappedBothWithin90AreToldByAnotherLogOfTheDive)
{
    const auto placed = [](int i) { return place(21 + 4e-5 * wiggle(i), -48 + 4e-5 * wiggle(i + 37)); };
    EXPECT_EQ(intake(positions(placed), "position-csv"), 0);
    fixAt(301);
    EXPECT_FALSE(m_notes.contains(s("exchanged"))) << m_notes.toStdString();
    write(path(s("second.csv")),
          positions([](int i) { return place(-48 + 4e-5 * wiggle(i), 21 + 4e-5 * wiggle(i + 9)); }));
    ASSERT_EQ(run({s("intake"), m_file, path(s("second.csv")), s("--dive"), s("1"), s("--profile"),
                   s("position-csv"), s("--by"), s("Mara")}),
              0)
        << err.toStdString();
    fixAt(301);
    EXPECT_TRUE(m_notes.contains(s("second.csv lies"))) << m_notes.toStdString();
    EXPECT_TRUE(m_notes.contains(s("latitude and longitude exchanged"))) << m_notes.toStdString();
}

TEST_F(BadLogs, TemperatureAndConductivitySwapped)
{
    EXPECT_EQ(
        intake(scans([](int i) { return scan(4.2 + 0.002 * wiggle(i), 33.2 + 0.002 * wiggle(i + 3), 900); }),
               "ctd-csv"),
        0);
    EXPECT_TRUE(m_said.contains(s("The columns look swapped"))) << m_said.toStdString();
    write(path(s("at.csv")), "id,time_utc\nx," + time(300) + '\n');
    ASSERT_EQ(run({s("water"), m_file, s("--dive"), s("1"), s("--at"), path(s("at.csv")), s("--out"),
                   path(s("o.csv"))}),
              0);
    EXPECT_TRUE(rowOf().endsWith(s(",4"))) << rowOf().toStdString();
}

TEST_F(BadLogs, CtdInAir)
{
    EXPECT_EQ(
        intake(scans([](int i) { return scan(0.01, 24 + 0.02 * wiggle(i), 0.2 + 0.01 * wiggle(i + 3)); }),
               "ctd-csv"),
        0);
    EXPECT_TRUE(m_said.contains(s("in air for the whole log"))) << m_said.toStdString();
    write(path(s("at.csv")), "id,time_utc\nx," + time(300) + '\n');
    ASSERT_EQ(run({s("water"), m_file, s("--dive"), s("1"), s("--at"), path(s("at.csv")), s("--out"),
                   path(s("o.csv"))}),
              0);
    const QString row = rowOf();
    EXPECT_TRUE(row.endsWith(s(",4"))) << row.toStdString();
    EXPECT_TRUE(row.section(QLatin1Char(','), 4, 4).isEmpty()) << "no salinity of air: " << row.toStdString();
}

TEST_F(BadLogs, PressureOffsetOnDeck)
{
    EXPECT_EQ(intake(scans([](int i) {
                         if (i < 200)
                             return scan(0.01, 24 + 0.02 * wiggle(i), 0.55 + 0.01 * wiggle(i + 3));
                         return scan(33.2 + 0.002 * wiggle(i), 4.2 + 0.002 * wiggle(i + 3),
                                     std::min(900.0, 5.0 * (i - 200)) + 0.55 + 0.03 * wiggle(i + 5));
                     }),
                     "ctd-csv"),
              0);
    EXPECT_TRUE(m_said.contains(s("Pressure read 0.55 dbar in air"))) << m_said.toStdString();
    ASSERT_EQ(run({s("quality"), m_file, s("--dive"), s("1")}), 0);
    EXPECT_TRUE(out.contains(s("pressure in air before the dive: 0.55"))) << out.toStdString();
    EXPECT_TRUE(out.contains(s("not applied by itself")));
}
