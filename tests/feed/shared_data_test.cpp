// SPDX-License-Identifier: GPL-3.0-or-later
// Real logs are too large for the repository: these tests run where HOLDFAST_SHARED_DATA names a folder that
// holds data/nmea, data/glider and data/ctd_cast, and are skipped elsewhere.
#include "feed/intake.h"
#include "feed/nmea_reader.h"

#include <QDir>
#include <QFile>
#include <QMap>
#include <cmath>
#include <gtest/gtest.h>

using namespace holdfast;

namespace
{

QString dataFolder()
{
    const QString root = qEnvironmentVariable("HOLDFAST_SHARED_DATA");
    return root.isEmpty() ? QString() : root + QStringLiteral("/data/");
}

#define NEED_SHARED_DATA()                                                                                   \
    if (dataFolder().isEmpty())                                                                              \
    GTEST_SKIP() << "HOLDFAST_SHARED_DATA is not set"

QByteArray bytesOf(const QString &path)
{
    QFile file(path);
    EXPECT_TRUE(file.open(QIODevice::ReadOnly)) << path.toStdString();
    return file.readAll();
}

FeedProfile profileOf(const char *name)
{
    const QString folder = qEnvironmentVariable("HOLDFAST_SOURCE_DIR") + QStringLiteral("/templates/feeds");
    return *loadFeedProfile(QString::fromLatin1(name), {folder});
}

IntakeData intakeOf(const char *file, const char *profile)
{
    auto data = intakeFile(dataFolder() + QString::fromLatin1(file), profileOf(profile));
    EXPECT_TRUE(data) << data.error().sentence.toStdString();
    return data ? std::move(*data) : IntakeData{};
}

std::int64_t countOf(const std::vector<ReasonCount> &counts, const char *part)
{
    for (const ReasonCount &count : counts) {
        if (count.reason.contains(QString::fromLatin1(part)))
            return count.count;
    }
    return 0;
}

} // namespace

TEST(RealReceiverLogs, AgreeWithAnIndependentCounter)
{
    NEED_SHARED_DATA();
    const QList<QByteArray> rows =
        bytesOf(dataFolder() + QStringLiteral("nmea/expected.csv")).trimmed().split('\n');
    const QList<QByteArray> names = rows[0].trimmed().split(',');
    int files = 0;
    for (const QByteArray &row : rows.mid(1)) {
        QMap<QByteArray, QByteArray> expected;
        const QList<QByteArray> fields = row.trimmed().split(',');
        for (qsizetype i = 0; i < names.size(); ++i)
            expected[names[i]] = fields[i];
        const QByteArray file = expected["file"];
        SCOPED_TRACE(file.toStdString());
        NmeaReader reader(profileOf("nmea"), {});
        std::string_view bytes;
        const QByteArray log = bytesOf(dataFolder() + QStringLiteral("nmea/") + QString::fromLatin1(file));
        bytes = std::string_view(log.constData(), static_cast<std::size_t>(log.size()));
        while (!bytes.empty()) {
            const std::size_t length = std::min(bytes.find('\n'), bytes.size() - 1) + 1;
            reader.push(bytes.substr(0, length));
            bytes.remove_prefix(length);
        }
        EXPECT_EQ(reader.counts.valid, expected["stream_valid"].toInt());
        EXPECT_EQ(reader.counts.invalid, expected["stream_invalid"].toInt());
        EXPECT_EQ(reader.counts.positions, expected["positions"].toInt());
        for (const char *type : {"RMC", "GGA", "GLL", "ZDA", "VTG", "GNS", "HDT", "DPT", "DBT"})
            EXPECT_EQ(reader.counts.byType[type], expected[type].toInt()) << type;
        ++files;
    }
    EXPECT_EQ(files, 12);
}

TEST(RealReceiverLogs, FirstAndLastPositionsAgree)
{
    NEED_SHARED_DATA();
    struct Row {
        const char *file;
        double firstLatitude, firstLongitude, lastLatitude, lastLongitude;
        const char *first, *last; // time of day
    };
    // Receivers whose last position is also the latest in time.
    const Row rows[] = {
        {"nmea/receiver02.log", 37.2610267, -121.9611817, 37.2610150, -121.9611650, "00:59:47", "01:00:09"},
        {"nmea/receiver07.log", 38.7373352, -9.1406380, 38.7373178, -9.1406340, "11:22:57", "11:23:01"},
        {"nmea/receiver08.log", -36.7459895, 174.7345477, -36.7459914, 174.7345484, "02:20:21", "02:21:02"},
        {"nmea/receiver09.log", 50.2131800, -8.1146600, 50.2132100, -8.1146600, "13:07:11", "13:07:22"},
        {"nmea/receiver11.log", 47.3834140, 0.7646917, 47.3834088, 0.7647075, "13:58:06", "13:58:17"},
        {"nmea/receiver12.log", 46.4046002, -117.0207530, 46.4046073, -117.0207355, "20:42:21", "20:42:26"}};
    for (const Row &row : rows) {
        SCOPED_TRACE(row.file);
        const IntakeData data = intakeOf(row.file, "nmea");
        ASSERT_FALSE(data.positions.empty());
        EXPECT_NEAR(data.positions.front().latitudeDeg, row.firstLatitude, 2e-5);
        EXPECT_NEAR(data.positions.front().longitudeDeg, row.firstLongitude, 2e-5);
        EXPECT_NEAR(data.positions.back().latitudeDeg, row.lastLatitude, 2e-5);
        EXPECT_NEAR(data.positions.back().longitudeDeg, row.lastLongitude, 2e-5);
        EXPECT_EQ(clockText(data.positions.front().time).toStdString(), row.first);
        EXPECT_EQ(clockText(data.positions.back().time).toStdString(), row.last);
    }
}

TEST(RealReceiverLogs, ADepthSounderWithoutDatesNeedsADate)
{
    NEED_SHARED_DATA();
    const QString path = dataFolder() + QStringLiteral("nmea/receiver10.log");
    EXPECT_FALSE(intakeFile(path, profileOf("nmea")));
    IntakeOptions options;
    options.dateHint = parseIsoUtc("2010-06-01T12:00:00Z");
    const auto data = intakeFile(path, profileOf("nmea"), options);
    ASSERT_TRUE(data) << data.error().sentence.toStdString();
    EXPECT_EQ(data->positions.size(), 122U);
    EXPECT_EQ(toIso(data->positions.front().time), QStringLiteral("2010-06-01T16:43:26.000Z"));
}

TEST(RealReceiverLogs, ABoatsClockThatGoesBackIsSorted)
{
    NEED_SHARED_DATA();
    const IntakeData data = intakeOf("nmea/receiver06.log", "nmea");
    EXPECT_GT(countOf(data.report.repairs, "out of order"), 0);
    EXPECT_TRUE(std::is_sorted(data.positions.begin(), data.positions.end(),
                               [](const auto &a, const auto &b) { return a.time < b.time; }));
}

TEST(RealVehicleLogs, HaveTheRowsAndFaultsTheirDescriptionSays)
{
    NEED_SHARED_DATA();
    const IntakeData position = intakeOf("glider/day252_position.csv", "position-dead-reckoning-csv");
    EXPECT_EQ(position.positions.size(), 157U);
    EXPECT_EQ(std::count_if(position.positions.begin(), position.positions.end(),
                            [](const PositionRecord &p) { return !p.headingDeg; }),
              139);
    const IntakeData scans = intakeOf("glider/day252_ctd.csv", "ctd-csv");
    EXPECT_EQ(scans.ctd.size(), 2563U);
    EXPECT_TRUE(std::all_of(scans.ctd.oxygenUmolKg.begin(), scans.ctd.oxygenUmolKg.end(),
                            [](double v) { return std::isnan(v); }));
    const IntakeData fixes = intakeOf("glider/day253_surface_gps.csv", "position-satellite-csv");
    EXPECT_EQ(fixes.positions.size(), 11U); // 13 rows, two of which repeat the one before
    EXPECT_EQ(countOf(fixes.report.repairs, "repeats"), 2);
}

TEST(RealVehicleLogs, ACastWithoutTimesIsRefusedWithItsColumns)
{
    NEED_SHARED_DATA();
    const auto data =
        intakeFile(dataFolder() + QStringLiteral("ctd_cast/ocean_a22_1.csv"), profileOf("ctd-csv"));
    ASSERT_FALSE(data);
    EXPECT_TRUE(data.error().sentence.contains(QStringLiteral("salinity_PSS78")));
}
