// SPDX-License-Identifier: GPL-3.0-or-later

// The complete check tables (published figures and values of an independent library, each row with its source
// and tolerance), for those who have them: set HOLDFAST_SHARED_DATA. The rows re-typed in the other test
// files of this folder are always tried.

#include "check_table.h"
#include "water/density.h"
#include "water/depth.h"
#include "water/freezing.h"
#include "water/oxygen.h"
#include "water/quality_tests.h"
#include "water/range.h"
#include "water/salinity.h"
#include "water/sound_speed.h"
#include "water/teos10.h"

#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>
#include <functional>
#include <map>

namespace holdfast
{
namespace
{

#define LOAD_OR_SKIP(table, name)                                                                            \
    const auto table = test::loadCheckTable(name);                                                           \
    if (!table)                                                                                              \
        GTEST_SKIP() << "HOLDFAST_SHARED_DATA is not set";

TEST(CheckTables, PracticalSalinity)
{
    LOAD_OR_SKIP(table, "pss78.csv");
    EXPECT_EQ(table->rows.size(), 51U);
    for (const QStringList &row : table->rows) {
        const double c = table->number(row, "conductivity_mS_cm");
        const double t = table->number(row, "temperature_degC");
        const double p = table->number(row, "pressure_dbar");
        const double s = table->number(row, "practical_salinity");
        const double tolerance = table->number(row, "tolerance");
        EXPECT_NEAR(practicalSalinity(c, t, p), s, tolerance) << qPrintable(row[0]);
        EXPECT_NEAR(practicalSalinityWithoutExtension(c, t, p),
                    table->number(row, "practical_salinity_no_extension"), 2e-9)
            << qPrintable(row[0]);
        EXPECT_NEAR(conductivityFromSalinity(practicalSalinity(c, t, p), t, p), c, 1e-10)
            << qPrintable(row[0]);
    }
}

TEST(CheckTables, Depth)
{
    LOAD_OR_SKIP(table, "depth.csv");
    EXPECT_EQ(table->rows.size(), 69U);
    for (const QStringList &row : table->rows) {
        const double p = table->number(row, "pressure_dbar");
        const double latitude = table->number(row, "latitude_deg");
        EXPECT_NEAR(depthTeos10(p, latitude), table->number(row, "depth_m"),
                    table->number(row, "tolerance_m"))
            << qPrintable(row[0]);
        EXPECT_NEAR(depthUnesco44(p, latitude), table->number(row, "depth_unesco_m"),
                    table->number(row, "tolerance_unesco_m"))
            << qPrintable(row[0]);
        EXPECT_NEAR(pressureFromDepthTeos10(depthTeos10(p, latitude), latitude), p, 1e-8);
    }
}

TEST(CheckTables, SoundSpeed)
{
    LOAD_OR_SKIP(table, "sound_speed.csv");
    EXPECT_EQ(table->rows.size(), 56U);
    for (const QStringList &row : table->rows) {
        const double s = table->number(row, "practical_salinity");
        const double t = table->number(row, "temperature_degC");
        const double p = table->number(row, "pressure_dbar");
        EXPECT_NEAR(soundSpeedChenMillero(s, t, p), table->number(row, "sound_speed_m_s"),
                    table->number(row, "tolerance_m_s"))
            << qPrintable(row[0]);
        EXPECT_NEAR(soundSpeedTeos10(s, t, p), table->number(row, "sound_speed_teos10_m_s"),
                    table->number(row, "tolerance_teos10_m_s"))
            << qPrintable(row[0]);
        EXPECT_NEAR(conservativeTemperature(referenceSalinity(s), t, p),
                    table->number(row, "conservative_temperature_C"), 1e-8)
            << qPrintable(row[0]);
        if (table->text(row, "kind") == QStringLiteral("outside")) {
            EXPECT_FALSE(noteFor(SeawaterFormula::SoundSpeedChenMillero, s, t, p).inside());
        }
    }
}

TEST(CheckTables, DensityAndItsRelatives)
{
    LOAD_OR_SKIP(table, "density.csv");
    EXPECT_EQ(table->rows.size(), 167U);
    using Formula = std::function<double(double, double, double)>;
    const std::map<QString, Formula> formulas{
        {QStringLiteral("rho_eos80"), densityEos80},
        {QStringLiteral("sigma_theta_eos80"), sigma0Eos80},
        {QStringLiteral("theta_eos80_its90"),
         [](double s, double t, double p) { return potentialTemperatureEos80(s, t, p); }},
        {QStringLiteral("theta_eos80_ipts68"),
         [](double s, double t, double p) { return potentialTemperatureEos80(s, t, p) * t68PerT90; }},
        {QStringLiteral("sigma0_teos10"), sigma0Teos10},
        {QStringLiteral("rho_teos10"),
         [](double s, double t, double p) {
             const double sa = referenceSalinity(s);
             return densityTeos10(sa, conservativeTemperature(sa, t, p), p);
         }},
        {QStringLiteral("freezing_eos80_its90"),
         [](double s, double, double p) { return freezingPointUnesco44(s, p); }},
        {QStringLiteral("freezing_eos80_ipts68"),
         [](double s, double, double p) { return freezingPointUnesco44Ipts68(s, p); }},
        {QStringLiteral("freezing_teos10"),
         [](double s, double, double p) { return freezingPointTeos10(s, p); }},
    };
    for (const QStringList &row : table->rows) {
        const QString quantity = table->text(row, "quantity");
        const auto formula = formulas.find(quantity);
        ASSERT_NE(formula, formulas.end()) << qPrintable(quantity);
        const double value =
            formula->second(table->number(row, "practical_salinity"), table->number(row, "temperature_degC"),
                            table->number(row, "pressure_dbar"));
        EXPECT_NEAR(value, table->number(row, "value"), table->number(row, "tolerance"))
            << qPrintable(row[0] + u' ' + quantity);
    }
}

TEST(CheckTables, Oxygen)
{
    LOAD_OR_SKIP(table, "oxygen.csv");
    EXPECT_EQ(table->rows.size(), 101U);
    using Formula = std::function<double(double, double)>;
    const std::map<QString, Formula> solubilities{
        {QStringLiteral("solubility_umol_kg"), oxygenSolubilityUmolKg},
        {QStringLiteral("solubility_mL_L"), oxygenSolubilityMlL},
        {QStringLiteral("solubility_umol_L"), oxygenSolubilityUmolL},
    };
    const std::map<QString, Formula> conversions{
        {QStringLiteral("mL_L_to_umol_L"), [](double x, double) { return umolLFromMlL(x); }},
        {QStringLiteral("umol_L_to_mg_L"), [](double x, double) { return mgLFromUmolL(x); }},
        {QStringLiteral("mg_L_to_umol_L"), [](double x, double) { return umolLFromMgL(x); }},
        {QStringLiteral("umol_L_to_umol_kg"), umolKgFromUmolL},
        {QStringLiteral("mL_L_to_umol_kg"), umolKgFromMlL},
        {QStringLiteral("umol_kg_to_mL_L"), mlLFromUmolKg},
    };
    for (const QStringList &row : table->rows) {
        const QString quantity = table->text(row, "quantity");
        double value = 0;
        if (const auto found = solubilities.find(quantity); found != solubilities.end()) {
            value = found->second(table->number(row, "practical_salinity"),
                                  table->number(row, "temperature_degC"));
        } else {
            const auto conversion = conversions.find(quantity);
            ASSERT_NE(conversion, conversions.end()) << qPrintable(quantity);
            value = conversion->second(table->number(row, "input"), table->number(row, "density_kg_L"));
        }
        EXPECT_NEAR(value, table->number(row, "value"), table->number(row, "tolerance"))
            << qPrintable(row[0] + u' ' + quantity);
    }
}

std::vector<double> numbers(const QString &text)
{
    std::vector<double> result;
    for (const QString &item : text.split(u' ', Qt::SkipEmptyParts))
        result.push_back(item == QStringLiteral("nan") ? std::numeric_limits<double>::quiet_NaN()
                                                       : item.toDouble());
    return result;
}

/// The flags of one case of the table, as it writes them: digits with blanks between.
QString flagsOf(const QString &test, const QJsonObject &limits, const std::vector<double> &seconds,
                const std::vector<double> &values)
{
    std::vector<std::int64_t> timeUs;
    for (const double s : seconds)
        timeUs.push_back(std::llround(s * 1e6));
    const auto limit = [&limits](const char *key) { return limits[QString::fromLatin1(key)].toDouble(); };
    std::vector<QcFlag> flags(std::max(values.size(), timeUs.size()), QcFlag::Missing);
    if (test == QStringLiteral("gross_range")) {
        const QJsonArray fail = limits[QStringLiteral("fail")].toArray();
        const QJsonArray suspect = limits[QStringLiteral("suspect")].toArray();
        GrossRangeLimits range{fail[0].toDouble(), fail[1].toDouble(), {}, {}};
        if (!suspect.isEmpty()) {
            range.suspectMin = suspect[0].toDouble();
            range.suspectMax = suspect[1].toDouble();
        }
        grossRangeTest(values, range, flags);
    } else if (test == QStringLiteral("spike")) {
        spikeTest(values, {limit("suspect"), limit("fail")}, flags);
    } else if (test == QStringLiteral("rate")) {
        RateLimits rate{limit("suspect_per_s"), {}};
        if (limits.contains(QStringLiteral("fail_per_s")))
            rate.failPerS = limit("fail_per_s");
        rateTest(timeUs, values, rate, flags);
    } else if (test == QStringLiteral("flat")) {
        flatTest(timeUs, values, {limit("suspect_s"), limit("fail_s"), limit("tolerance")}, flags);
    } else if (test == QStringLiteral("gap")) {
        gapTest(timeUs, limit("max_gap_s"), flags);
    } else {
        const QJsonArray tests = limits[QStringLiteral("flags")].toArray();
        flags.assign(static_cast<std::size_t>(tests[0].toString().size()), QcFlag::Missing);
        for (const QJsonValue &one : tests) {
            std::vector<QcFlag> more;
            for (const QChar c : one.toString())
                more.push_back(static_cast<QcFlag>(c.digitValue()));
            mergeFlags(flags, more);
        }
    }
    QStringList text;
    for (const QcFlag flag : flags)
        text << QString::number(static_cast<int>(flag));
    return text.join(u' ');
}

TEST(CheckTables, QualityFlags)
{
    LOAD_OR_SKIP(table, "qc_qartod.csv");
    EXPECT_EQ(table->rows.size(), 38U);
    for (const QStringList &row : table->rows) {
        const QJsonObject limits = QJsonDocument::fromJson(table->text(row, "parameters").toUtf8()).object();
        EXPECT_FALSE(limits.isEmpty());
        EXPECT_EQ(flagsOf(table->text(row, "test"), limits, numbers(table->text(row, "time_s")),
                          numbers(table->text(row, "values"))),
                  table->text(row, "flags"))
            << qPrintable(row[0]);
    }
}

} // namespace
} // namespace holdfast
