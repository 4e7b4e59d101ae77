// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/quality_summary.h"

#include "dive/dive_values.h"
#include "dive/scan_log.h"
#include "store/sensor_log.h"
#include "water/alignment.h"

#include <QJsonArray>

namespace holdfast
{

namespace
{

constexpr std::array<QcFlag, 5> flagOrder{QcFlag::Pass, QcFlag::NotEvaluated, QcFlag::Suspect, QcFlag::Fail,
                                          QcFlag::Missing};
const QStringList flagWords{QStringLiteral("pass"), QStringLiteral("not evaluated"),
                            QStringLiteral("suspect"), QStringLiteral("fail"), QStringLiteral("missing")};

QString fixedText(double value, int decimals)
{
    return QString::number(value, 'f', decimals);
}

/// What the sensors read that they should not: told, and never applied here.
QString sensorText(const DiveQuality &quality)
{
    QString text;
    for (const SensorCorrection &c : quality.corrections)
        text += QStringLiteral("  corrected: %1, temperature read %2 s later, %3 dbar taken off (%4, %5)\n")
                    .arg(c.fileName, fixedText(c.values.temperatureLagS, 3),
                         fixedText(c.values.pressureOffsetDbar, 3), c.by, c.reason);
    const auto deck = [&text](const QString &when, const std::optional<DeckPressure> &pressure) {
        if (pressure)
            text += QStringLiteral("  pressure in air %1 the dive: %2 dbar (spread %3, %4 scans); it should "
                                   "be 0 and is not applied by itself\n")
                        .arg(when, fixedText(pressure->medianDbar, 3), fixedText(pressure->spreadDbar, 3))
                        .arg(pressure->count);
    };
    deck(QStringLiteral("before"), quality.ctd.deckBefore);
    deck(QStringLiteral("after"), quality.ctd.deckAfter);
    for (const ScanStretch &air : quality.ctd.airStretches)
        text += QStringLiteral("  in air from %1 to %2\n").arg(toIso(air.from), toIso(air.to));
    if (quality.lag)
        text += QStringLiteral("  temperature seems to be logged %1 s after conductivity (standard deviation "
                               "%2 s, correlation %3); not applied by itself\n")
                    .arg(fixedText(quality.lag->lagS, 3), fixedText(quality.lag->sigmaS, 3),
                         fixedText(quality.lag->correlation, 2));
    return text;
}

QString ctdText(const DiveQuality &quality)
{
    const QualitySummary &s = quality.ctd;
    if (s.scans == 0)
        return QStringLiteral("No CTD log.\n");
    QString text = QStringLiteral("%1 CTD scans, thresholds %2\n").arg(s.scans).arg(quality.limitsName);
    for (std::size_t p = 0; p < qcParameterCount; ++p) {
        QStringList counts;
        for (qsizetype f = 0; f < flagWords.size(); ++f) {
            if (const std::size_t n = s.byFlag[p][static_cast<std::size_t>(f)])
                counts << QStringLiteral("%1 %2").arg(n).arg(flagWords.at(f));
        }
        text += QStringLiteral("  %1 %2\n")
                    .arg(nameOf(static_cast<QcParameter>(p)), -13)
                    .arg(counts.join(QStringLiteral(", ")));
        for (std::size_t t = 0; t < qcTestCount; ++t) {
            if (s.suspect[p][t] + s.fail[p][t] > 0)
                text += QStringLiteral("    %1: %2 suspect, %3 fail\n")
                            .arg(nameOf(static_cast<QcTest>(t)))
                            .arg(s.suspect[p][t])
                            .arg(s.fail[p][t]);
        }
    }
    text += QStringLiteral("  longest gap %1 s; %2 gaps over the limit; %3 steps back in time\n")
                .arg(fixedText(s.longestGapS, 3))
                .arg(s.gaps)
                .arg(s.backwardSteps);
    for (const FlatStretch &flat : s.flatStretches)
        text += QStringLiteral("  %1 stood still from %2 to %3\n")
                    .arg(nameOf(flat.parameter), toIso(flat.from), toIso(flat.to));
    if (s.depthDifferenceM)
        text += QStringLiteral("  CTD depth less vehicle depth: median %1 m of %2 comparisons\n")
                    .arg(fixedText(*s.depthDifferenceM, 2))
                    .arg(s.depthCompared);
    text += QStringLiteral("  salinity spikes with good temperature and conductivity: %1 % of the scans\n")
                .arg(fixedText(100 * quality.salinityMismatchShare, 3));
    text += sensorText(quality);
    for (const QString &finding : s.findings)
        text += QStringLiteral("  %1\n").arg(finding);
    return text;
}

QJsonObject sensorJson(const DiveQuality &quality)
{
    const auto deck = [](const std::optional<DeckPressure> &pressure) {
        return pressure
                   ? QJsonValue(QJsonObject{{QStringLiteral("median_dbar"), pressure->medianDbar},
                                            {QStringLiteral("spread_dbar"), pressure->spreadDbar},
                                            {QStringLiteral("scans"), static_cast<qint64>(pressure->count)}})
                   : QJsonValue();
    };
    QJsonArray corrections;
    for (const SensorCorrection &c : quality.corrections)
        corrections.append(QJsonObject{{QStringLiteral("log"), c.fileName},
                                       {QStringLiteral("temperature_lag_s"), c.values.temperatureLagS},
                                       {QStringLiteral("pressure_offset_dbar"), c.values.pressureOffsetDbar},
                                       {QStringLiteral("by"), c.by},
                                       {QStringLiteral("reason"), c.reason}});
    return {{QStringLiteral("corrections"), corrections},
            {QStringLiteral("deck_pressure_before"), deck(quality.ctd.deckBefore)},
            {QStringLiteral("deck_pressure_after"), deck(quality.ctd.deckAfter)},
            {QStringLiteral("air_stretches"), static_cast<qint64>(quality.ctd.airStretches.size())},
            {QStringLiteral("temperature_lag_s"), quality.lag ? QJsonValue(quality.lag->lagS) : QJsonValue()},
            {QStringLiteral("temperature_lag_sigma_s"),
             quality.lag ? QJsonValue(quality.lag->sigmaS) : QJsonValue()},
            {QStringLiteral("salinity_spike_share"), quality.salinityMismatchShare}};
}

QString sentencesText(const TrackReport &r)
{
    QString text;
    for (const QString &sentence : r.sentences)
        text += QStringLiteral("  %1\n").arg(sentence);
    return text;
}

QString trackText(const TrackReport &r)
{
    if (r.records == 0)
        return QStringLiteral("No position log.\n") + sentencesText(r);
    QString text = QStringLiteral("%1 positions: %2 used, %3 outliers, %4 repeated, %5 out of range\n")
                       .arg(r.records)
                       .arg(r.used)
                       .arg(r.outliers)
                       .arg(r.duplicates)
                       .arg(r.outOfRange);
    text += QStringLiteral("  spacing %1 s (median), longest gap %2 s\n")
                .arg(fixedText(r.medianSpacingS, 2), fixedText(r.longestGapS, 1));
    text +=
        QStringLiteral(
            "  standard deviation of a position %1 m (median, each axis), %2 % of the variance shared over "
            "%3 s; typical speed %4 m/s (%5)\n")
            .arg(fixedText(r.sigmaMedianM, 2), fixedText(100 * r.slowShare, 0), fixedText(r.slowTimeS, 0),
                 fixedText(r.transitSpeedMs, 3),
                 r.estimated ? QStringLiteral("estimated from this dive")
                             : QStringLiteral("stated defaults"));
    if (r.velocitiesUsed > 0)
        text += QStringLiteral("  %1 velocities used\n").arg(r.velocitiesUsed);
    return text + sentencesText(r);
}

QJsonObject ctdJson(const DiveQuality &quality)
{
    const QualitySummary &s = quality.ctd;
    QJsonObject parameters;
    for (std::size_t p = 0; p < qcParameterCount; ++p) {
        QJsonObject flags;
        for (qsizetype f = 0; f < flagWords.size(); ++f)
            flags.insert(QString::number(static_cast<int>(flagOrder[static_cast<std::size_t>(f)])),
                         static_cast<qint64>(s.byFlag[p][static_cast<std::size_t>(f)]));
        QJsonObject tests;
        for (std::size_t t = 0; t < qcTestCount; ++t) {
            if (s.suspect[p][t] + s.fail[p][t] > 0)
                tests.insert(nameOf(static_cast<QcTest>(t)),
                             QJsonObject{{QStringLiteral("suspect"), static_cast<qint64>(s.suspect[p][t])},
                                         {QStringLiteral("fail"), static_cast<qint64>(s.fail[p][t])}});
        }
        parameters.insert(nameOf(static_cast<QcParameter>(p)),
                          QJsonObject{{QStringLiteral("flags"), flags}, {QStringLiteral("tests"), tests}});
    }
    QJsonArray findings;
    for (const QString &finding : s.findings)
        findings.append(finding);
    return {{QStringLiteral("scans"), static_cast<qint64>(s.scans)},
            {QStringLiteral("limits"), quality.limitsName},
            {QStringLiteral("parameters"), parameters},
            {QStringLiteral("longest_gap_s"), s.longestGapS},
            {QStringLiteral("gaps"), static_cast<qint64>(s.gaps)},
            {QStringLiteral("flat_stretches"), static_cast<qint64>(s.flatStretches.size())},
            {QStringLiteral("depth_difference_m"),
             s.depthDifferenceM ? QJsonValue(*s.depthDifferenceM) : QJsonValue()},
            {QStringLiteral("sensors"), sensorJson(quality)},
            {QStringLiteral("findings"), findings}};
}

QJsonObject trackJson(const TrackReport &r)
{
    return {{QStringLiteral("positions"), static_cast<qint64>(r.records)},
            {QStringLiteral("used"), static_cast<qint64>(r.used)},
            {QStringLiteral("outliers"), static_cast<qint64>(r.outliers)},
            {QStringLiteral("duplicates"), static_cast<qint64>(r.duplicates)},
            {QStringLiteral("median_spacing_s"), r.medianSpacingS},
            {QStringLiteral("longest_gap_s"), r.longestGapS},
            {QStringLiteral("estimated"), r.estimated},
            {QStringLiteral("sigma_scale"), r.sigmaScale},
            {QStringLiteral("sigma_median_m"), r.sigmaMedianM},
            {QStringLiteral("slow_share"), r.slowShare},
            {QStringLiteral("slow_time_s"), r.slowTimeS},
            {QStringLiteral("transit_speed_m_s"), r.transitSpeedMs},
            {QStringLiteral("velocities_used"), static_cast<qint64>(r.velocitiesUsed)},
            {QStringLiteral("notes"), QJsonArray::fromStringList(r.sentences)}};
}

} // namespace

QString DiveQuality::text() const
{
    return ctdText(*this) + trackText(track);
}

QStringList DiveQuality::remarks() const
{
    QStringList list;
    for (const QString &line : sensorText(*this).split(QLatin1Char('\n'), Qt::SkipEmptyParts))
        list << line.trimmed();
    for (const QString &finding : ctd.findings)
        list << finding;
    return list;
}

QJsonObject DiveQuality::json() const
{
    return {{QStringLiteral("dive"), dive},
            {QStringLiteral("ctd"), ctdJson(*this)},
            {QStringLiteral("track"), trackJson(track)}};
}

Result<DiveQuality> diveQuality(const Database &db, int dive)
{
    DiveQuality quality;
    quality.dive = dive;
    const auto scans = SensorLogReader(db.connection()).ctd(dive);
    if (!scans)
        return scans.error();
    if (scans->size() > 0) {
        const auto limits = scanLimits();
        if (!limits)
            return limits.error();
        auto judged = judgeScans(db, dive, *scans);
        if (!judged)
            return judged.error();
        quality.ctd = std::move(judged->summary);
        quality.limitsName = judged->limitsName;
        quality.lag = estimateTemperatureLag(*scans, judged->flags);
        const MismatchReport mismatch = salinityMismatch(judged->derived, judged->flags, *limits);
        if (mismatch.evaluated > 0)
            quality.salinityMismatchShare =
                static_cast<double>(mismatch.spikes) / static_cast<double>(mismatch.evaluated);
    }
    auto corrections = sensorCorrections(db, dive);
    if (!corrections)
        return corrections.error();
    quality.corrections = std::move(*corrections);
    const auto track = diveTrack(db, dive, FixMethod::Smooth);
    if (!track)
        return track.error();
    quality.track = track->report();
    return quality;
}

} // namespace holdfast
