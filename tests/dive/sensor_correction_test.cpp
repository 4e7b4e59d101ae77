// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/sensor_correction.h"

#include "dive/dive_values.h"
#include "dive/log_intake.h"
#include "dive/quality_summary.h"
#include "dive/refix.h"
#include "dive/scan_log.h"
#include "store/sensor_log.h"
#include "support/a_cruise.h"
#include "water/depth.h"
#include "water/salinity.h"

using namespace holdfast;
using test::at;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

constexpr double offsetDbar = 0.42; // read too much, on deck and at depth
constexpr double lagS = 0.5;        // temperature is logged so much after conductivity

/// What the water is at a time: a minute on deck, then down through a staircase of layers. 8 Hz.
struct Water {
    double temperature, salinity, pressure;
};
Water waterAtTime(double t)
{
    const double p = std::max(0.0, t - 90) * 1.0;
    return {18 - 0.05 * p + 0.4 * std::sin(p / 1.7), 35, p};
}

class Corrections : public test::WithCruise
{
protected:
    UtcTime start = at("2026-03-12T09:00:00Z");

    QByteArray ctd() const
    {
        QByteArray out = "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar\n";
        for (int i = 0; i < 8 * 240; ++i) {
            const double t = i / 8.0;
            const Water now = waterAtTime(t), before = waterAtTime(t - lagS);
            const bool air = t < 90;
            const double noise = ((i * 7) % 5 - 2) * 1e-3;
            const double c =
                air ? 0.01 : conductivityFromSalinity(now.salinity, now.temperature, now.pressure);
            out += toIso(start + Microseconds(std::llround(t * 1e6))).toLatin1() + ',' +
                   QByteArray::number(c + 0.2 * noise, 'f', 4) + ',' +
                   QByteArray::number((air ? 24.0 : before.temperature) + noise, 'f', 4) + ',' +
                   QByteArray::number(now.pressure + offsetDbar + noise, 'f', 3) + '\n';
        }
        return out;
    }
    void SetUp() override
    {
        WithCruise::SetUp();
        write(path(s("c.csv")), ctd());
        const auto profile = feedProfile(s("ctd-csv"));
        ASSERT_OK(profile);
        ASSERT_OK(takeInLog(file(), act(), 1, path(s("c.csv")), *profile));
    }
    DiveQuality quality() const
    {
        auto found = diveQuality(m_file->db(), 1);
        EXPECT_TRUE(found);
        return found ? std::move(*found) : DiveQuality{};
    }
    WaterValues water()
    {
        const std::vector<UtcTime> times{start + std::chrono::seconds(200)};
        WindowOptions narrow;
        narrow.halfWidthS = 1;
        const auto found = diveWater(file().db(), 1, times, narrow);
        EXPECT_TRUE(found);
        return found->front();
    }
    QString digest() const
    {
        const auto files = SensorLogReader(m_file->db().connection()).files(1);
        EXPECT_TRUE(files);
        return files->front().digest;
    }
};

} // namespace

TEST_F(Corrections, WhatTheSensorsReadWrongIsReportedAndNotAppliedByItself)
{
    const DiveQuality q = quality();
    ASSERT_TRUE(q.ctd.deckBefore) << q.text().toStdString();
    EXPECT_NEAR(q.ctd.deckBefore->medianDbar, offsetDbar, 0.005);
    EXPECT_FALSE(q.ctd.airStretches.empty());
    ASSERT_TRUE(q.lag) << q.text().toStdString();
    EXPECT_NEAR(q.lag->lagS, lagS, 0.08);
    EXPECT_TRUE(q.corrections.empty());
    EXPECT_TRUE(q.text().contains(s("pressure in air before the dive: 0.42")));
    EXPECT_TRUE(q.text().contains(s("in air from")));
    EXPECT_TRUE(q.text().contains(s("after conductivity")));
    EXPECT_TRUE(q.text().contains(s("salinity spikes")));
    EXPECT_NEAR(water().depthM.value, depthTeos10(110 + offsetDbar, latitudeWhenUnknownDeg), 0.3);
}

TEST_F(Corrections, ADecisionIsKeptDerivedAndTakenBack)
{
    const QString before = digest();
    const double depthBefore = water().depthM.value;
    const auto done = correctSensors(file(), act(), 1, s("c.csv"), {offsetDbar, lagS}, s("deck reading"));
    ASSERT_OK(done);
    EXPECT_NE(digest(), before);
    const WaterValues w = water();
    EXPECT_NEAR(depthBefore - w.depthM.value, offsetDbar * 0.9935, 0.02);
    EXPECT_NEAR(w.practicalSalinity.value, 35, 0.05);
    const DiveQuality q = quality();
    ASSERT_EQ(q.corrections.size(), 1u);
    EXPECT_EQ(q.corrections.front().reason, s("deck reading"));
    EXPECT_EQ(q.corrections.front().by, s("Mara"));
    EXPECT_NEAR(q.ctd.deckBefore->medianDbar, 0, 0.005);
    EXPECT_TRUE(q.text().contains(s("0.420 dbar taken off")));
    const auto files = SensorLogReader(file().db().connection()).files(1);
    ASSERT_OK(files);
    EXPECT_TRUE(SensorLogReader(file().db().connection()).verify(files->front())) << "blocks and bytes hold";
    expectTablesFitTheLedger();

    ASSERT_OK(correctSensors(file(), act(), 1, s(""), {0, 0}, s("reading was of another instrument")));
    EXPECT_EQ(digest(), before) << "corrections of 0 bring back what was read";
    EXPECT_DOUBLE_EQ(water().depthM.value, depthBefore);
    expectTablesFitTheLedger();
}

TEST_F(Corrections, OfTheLagMakesSalinitySmoother)
{
    const auto spread = [&] { return water().practicalSalinity.spread; };
    const double before = spread();
    ASSERT_OK(correctSensors(file(), act(), 1, s(""), {0, lagS}, s("lag found by the layers")));
    EXPECT_LT(spread(), 0.4 * before);
}

TEST_F(Corrections, AreInTheProvenanceOfValues)
{
    ASSERT_OK(sample(s("B2"), s("coral")));
    ASSERT_OK(correctSensors(file(), act(), 1, s(""), {offsetDbar, 0.06}, s("deck reading")));
    const auto computed = computeValues(file().db(), 1);
    ASSERT_OK(computed);
    const QJsonArray list = computed->provenance.value(s("sensorCorrections")).toArray();
    ASSERT_EQ(list.size(), 1);
    EXPECT_EQ(list.at(0).toObject().value(s("temperatureLagUs")).toInt(), 60'000);
    EXPECT_EQ(list.at(0).toObject().value(s("pressureOffsetDbar")).toString(), s("0.4200"));
    ASSERT_OK(acceptValues(file(), act(), *computed, s("deck offset taken off")));
    expectTablesFitTheLedger();
}

TEST_F(Corrections, AreRefusedWithoutReasonOrSense)
{
    const auto refused = [&](const char *log, const SensorCorrections &values, const char *reason) {
        const auto done = correctSensors(file(), act(), 1, s(log), values, s(reason));
        EXPECT_FALSE(done);
        return done ? QString() : done.error().sentence;
    };
    EXPECT_TRUE(refused("", {0.4, 0}, "  ").contains(s("reason")));
    EXPECT_TRUE(refused("", {21, 0}, "x").contains(s("20 dbar")));
    EXPECT_TRUE(refused("", {0, 5.5}, "x").contains(s("5 s")));
    EXPECT_TRUE(refused("", {std::numeric_limits<double>::quiet_NaN(), 0}, "x").contains(s("dbar")));
    EXPECT_TRUE(refused("other.csv", {0.4, 0}, "x").contains(s("c.csv")));
}

// A row that can't be read looks like the last one: what was computed before it is told must not be accepted,
// nor a clock's offset applied. The transaction itself looks only at its own reading.
TEST_F(Corrections, NothingIsAcceptedThatCameOfAPartOfTheRows)
{
    ASSERT_OK(sample(s("B2"), s("coral")));
    // 400 rows over many pages beside the cruise's own; the page of the last one is made unreadable.
    ASSERT_OK(execSql(file().db().connection(), s("CREATE TABLE rows (n INTEGER PRIMARY KEY, words TEXT)")));
    for (int n = 1; n <= 400; ++n)
        ASSERT_OK(execSql(file().db().connection(), s("INSERT INTO rows VALUES (?, ?)"),
                          {n, s("row %1 ").arg(n).repeated(20)}));
    ASSERT_OK(execSql(file().db().connection(), s("PRAGMA wal_checkpoint(TRUNCATE)")));
    m_file.reset();
    QFile raw(m_path);
    ASSERT_TRUE(raw.open(QIODevice::ReadWrite));
    const qint64 found = raw.readAll().indexOf("row 400 ");
    ASSERT_GT(found, 0);
    ASSERT_TRUE(raw.seek(found / 4096 * 4096)); // the first byte of a page says what kind of page it is
    ASSERT_EQ(raw.write("\xff", 1), 1);
    raw.close();
    auto opened = CruiseFile::open(m_path, Database::Access::ReadWrite, rules());
    ASSERT_OK(opened);
    m_file.emplace(std::move(*opened));
    const auto readAll = [this] {
        auto rows = query(file().db().connection(), s("SELECT words FROM rows ORDER BY n"));
        while (rows && rows->next()) {
        }
    };

    const qint64 before = entries();
    const auto computed = computeValues(file().db(), 1);
    ASSERT_OK(computed);
    readAll();
    const Done accepted = acceptValues(file(), act(), *computed, s("looked at"));
    ASSERT_FALSE(accepted);
    EXPECT_EQ(accepted.error().kind, ErrorKind::Malformed);
    readAll();
    EXPECT_FALSE(applyClockOffset(file(), act(), 1, std::chrono::seconds(2), s("the estimate")));
    EXPECT_EQ(entries(), before);
    // With all rows read it is recorded; tables and ledger can't be compared in a file that is damaged so.
    ASSERT_OK(acceptValues(file(), act(), *computed, s("nothing was unreadable this time")));
}
