// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/refix.h"

#include "base/csv.h"
#include "base/version.h"
#include "dive/act_steps.h"
#include "dive/readers.h"
#include "dive/scan_log.h"
#include "dive/sensor_correction.h"
#include "dive/verbs.h"
#include "nav/geodesic.h"
#include "store/sensor_log.h"

#include <QJsonArray>
#include <QJsonDocument>
#include <QMap>

namespace holdfast
{

namespace
{

const QStringList quantities{QStringLiteral("latitude_deg"),     QStringLiteral("longitude_deg"),
                             QStringLiteral("uncertainty95_m"),  QStringLiteral("vehicle_depth_m"),
                             QStringLiteral("fix_flag"),         QStringLiteral("depth_m"),
                             QStringLiteral("temperature_degC"), QStringLiteral("practical_salinity"),
                             QStringLiteral("oxygen_umol_kg"),   QStringLiteral("sound_speed_m_s"),
                             QStringLiteral("sigma0_kg_m3"),     QStringLiteral("water_flag")};

QString text(const std::optional<double> &value, int decimals)
{
    return value ? QString::fromLatin1(csvFixed(*value, decimals)) : QStringLiteral("");
}

QString text(const WaterValue &value, int decimals)
{
    return value.has() ? QString::fromLatin1(csvFixed(value.value, decimals)) : QStringLiteral("");
}

/// A sample's values as texts, in the order of `quantities`.
QStringList asTexts(const SampleValues &v)
{
    return {text(v.fix.latitudeDeg, 8),
            text(v.fix.longitudeDeg, 8),
            text(v.fix.uncertainty95M, 2),
            text(v.fix.depthM, 2),
            QString::number(static_cast<int>(v.fix.flag)),
            text(v.water.depthM, 3),
            text(v.water.temperatureDegC, 4),
            text(v.water.practicalSalinity, 4),
            text(v.water.oxygenUmolKg, 2),
            text(v.water.soundSpeedMs, 3),
            text(v.water.sigma0KgM3, 4),
            QString::number(static_cast<int>(v.water.flag))};
}

QJsonObject parametersOf(const TrackReport &r)
{
    const auto number = [](double value, int decimals) {
        return QString::fromLatin1(csvFixed(value, decimals));
    };
    return {{QStringLiteral("estimatedFromTheDive"), r.estimated},
            {QStringLiteral("positionsUsed"), static_cast<qint64>(r.used)},
            {QStringLiteral("outliers"), static_cast<qint64>(r.outliers)},
            {QStringLiteral("sigmaScale"), number(r.sigmaScale, 4)},
            {QStringLiteral("sigmaMedianM"), number(r.sigmaMedianM, 3)},
            {QStringLiteral("slowShare"), number(r.slowShare, 4)},
            {QStringLiteral("slowTimeS"), number(r.slowTimeS, 2)},
            {QStringLiteral("transitSpeedMs"), number(r.transitSpeedMs, 4)},
            {QStringLiteral("velocitiesUsed"), static_cast<qint64>(r.velocitiesUsed)}};
}

/// Which formula gave each derived value: they differ by up to 0.3 m of depth and 0.6 m/s of sound speed in
/// the deep sea.
QJsonObject waterMethodsOf(const std::vector<WaterValues> &water)
{
    const WaterMethods methods = water.empty() ? WaterMethods{} : water.front().methods;
    return {{QStringLiteral("salinity"), nameOf(SeawaterFormula::SalinityPss78)},
            {QStringLiteral("depth"), nameOf(methods.depth)},
            {QStringLiteral("sigma0"), nameOf(methods.sigma0)},
            {QStringLiteral("soundSpeed"), nameOf(methods.soundSpeed)}};
}

Result<std::vector<DepthRecord>> vehicleDepths(const Database &db, int dive)
{
    const auto positions = SensorLogReader(db.connection()).positions(dive);
    if (!positions)
        return positions.error();
    std::vector<DepthRecord> depths;
    for (const PositionRecord &p : *positions) {
        if (p.depthM)
            depths.push_back({p.time, *p.depthM});
    }
    if (depths.empty())
        return fail(ErrorKind::NotFound,
                    QStringLiteral(
                        "Dive %1 has no position log with depths yet; without one the CTD's clock can't be "
                        "compared.")
                        .arg(dive));
    return depths;
}

/// What is about to be recorded was computed before the transaction began, which looks only at its own
/// reading.
Done wholeReading()
{
    const Done read = takeReadFault();
    if (read)
        return {};
    return fail(read.error().kind,
                QStringLiteral("%1 Nothing was recorded: it would come of a part of the logs.")
                    .arg(read.error().sentence));
}

/// The values last accepted for each sample.
Result<QMap<QString, QJsonObject>> lastAccepted(const Database &db, int dive)
{
    auto rows = query(
        db.connection(),
        QStringLiteral("SELECT a.sample, a.value FROM accepted_value a JOIN sample s ON s.id=a.sample JOIN "
                       "ledger l ON l.uuid=a.entry WHERE s.dive=? ORDER BY l.lamport, l.station, l.seq"),
        {dive});
    if (!rows)
        return rows.error();
    QMap<QString, QJsonObject> last;
    while (rows->next())
        last.insert(rows->text(0), QJsonDocument::fromJson(rows->text(1).toUtf8()).object());
    return last;
}

} // namespace

Result<ClockOffset> diveClockOffset(const Database &db, int dive)
{
    const auto vehicle = vehicleDepths(db, dive);
    if (!vehicle)
        return vehicle.error();
    const auto latitude = diveLatitude(db, dive);
    if (!latitude)
        return latitude.error();
    const auto ctd = ctdDepths(db, dive, latitude->value_or(latitudeWhenUnknownDeg), Microseconds(0));
    if (!ctd)
        return ctd.error();
    if (ctd->empty())
        return fail(ErrorKind::NotFound,
                    QStringLiteral("Dive %1 has no CTD log yet whose depths could be compared.").arg(dive));
    return estimateClockOffset(*ctd, *vehicle);
}

Done applyClockOffset(CruiseFile &file, const Act &act, int dive, Microseconds offset, const QString &reason)
{
    if (auto given = wantReason(reason); !given)
        return given;
    if (auto whole = wholeReading(); !whole)
        return whole;
    if (offset > std::chrono::hours(1) || offset < -std::chrono::hours(1))
        return fail(ErrorKind::Refused,
                    QStringLiteral("An offset of %1 s is more than an hour: is the log of this dive?")
                        .arg(static_cast<double>(offset.count()) * 1e-6));
    return file.write([&]() -> Done {
        if (auto known = readDive(file.db(), dive); !known)
            return known.error();
        auto entry = file.record(act, verb::clockOffsetApplied,
                                 {{QStringLiteral("dive"), dive},
                                  {QStringLiteral("log"), QStringLiteral("ctd")},
                                  {QStringLiteral("offsetUs"), static_cast<qint64>(offset.count())},
                                  {QStringLiteral("reason"), reason.trimmed()}});
        if (!entry)
            return entry.error();
        return {};
    });
}

Result<ComputedValues> computeValues(const Database &db, int dive)
{
    const auto track = diveTrack(db, dive, FixMethod::Smooth);
    if (!track)
        return track.error();
    return computeValues(db, dive, *track);
}

Result<ComputedValues> computeValues(const Database &db, int dive, const Track &track)
{
    const auto samples = readSamples(db, dive);
    if (!samples)
        return samples.error();
    std::vector<UtcTime> times;
    for (const SampleInfo &s : *samples)
        times.push_back(s.time);
    const auto water = diveWater(db, dive, times);
    if (!water)
        return water.error();
    const auto offset = appliedClockOffset(db, dive);
    if (!offset)
        return offset.error();
    const auto corrections = sensorCorrections(db, dive);
    if (!corrections)
        return corrections.error();
    const auto intakes = readIntakes(db, dive);
    if (!intakes)
        return intakes.error();
    ComputedValues computed;
    computed.dive = dive;
    for (std::size_t i = 0; i < samples->size(); ++i)
        computed.samples.push_back(
            samples->at(i).momentKnown
                ? SampleValues{samples->at(i).id, track.at(times[i]), water->at(i)}
                : SampleValues{samples->at(i).id, fixOfUnknownMoment(), waterOfUnknownMoment()});
    QJsonArray logs;
    for (const IntakeInfo &intake : *intakes) {
        if (!intake.replaced)
            logs.append(QJsonObject{{QStringLiteral("intake"), intake.uuid},
                                    {QStringLiteral("kind"), intake.kind},
                                    {QStringLiteral("sha256"), intake.sha256}});
    }
    computed.provenance = {{QStringLiteral("program"), QStringLiteral("holdfast ") + programVersion()},
                           {QStringLiteral("method"), textOf(FixMethod::Smooth)},
                           {QStringLiteral("parameters"), parametersOf(track.report())},
                           {QStringLiteral("waterMethods"), waterMethodsOf(*water)},
                           {QStringLiteral("logs"), logs},
                           {QStringLiteral("clockOffsetUs"), static_cast<qint64>(offset->count())},
                           {QStringLiteral("sensorCorrections"), asProvenance(*corrections)}};
    return computed;
}

bool ValueComparison::differs() const
{
    return std::any_of(values.begin(), values.end(),
                       [](const ValueChange &c) { return c.accepted != c.now; });
}

Result<ValueComparison> compareValues(const Database &db, const ComputedValues &computed)
{
    const auto accepted = lastAccepted(db, computed.dive);
    if (!accepted)
        return accepted.error();
    ValueComparison comparison;
    for (const SampleValues &v : computed.samples) {
        const QJsonObject before = accepted->value(v.id);
        const QStringList now = asTexts(v);
        for (qsizetype i = 0; i < quantities.size(); ++i)
            comparison.values.push_back(
                {v.id, quantities.at(i), before.value(quantities.at(i)).toString(), now.at(i)});
        std::optional<double> moved;
        const QString lat = before.value(quantities.at(0)).toString();
        const QString lon = before.value(quantities.at(1)).toString();
        if (!lat.isEmpty() && v.fix.latitudeDeg) {
            const auto line =
                geodesicBetween({lat.toDouble(), lon.toDouble()}, {*v.fix.latitudeDeg, *v.fix.longitudeDeg});
            if (line)
                moved = line->lengthM;
        }
        comparison.samples.push_back(v.id);
        comparison.movedM.push_back(moved);
    }
    return comparison;
}

Done acceptValues(CruiseFile &file, const Act &act, const ComputedValues &computed, const QString &reason)
{
    if (auto given = wantReason(reason); !given)
        return given;
    if (auto whole = wholeReading(); !whole)
        return whole;
    if (computed.samples.empty())
        return fail(ErrorKind::Refused, QStringLiteral("Dive %1 has no samples yet.").arg(computed.dive));
    QJsonArray values;
    for (const SampleValues &v : computed.samples) {
        QJsonObject value{{QStringLiteral("id"), v.id}};
        const QStringList texts = asTexts(v);
        for (qsizetype i = 0; i < quantities.size(); ++i)
            value.insert(quantities.at(i), texts.at(i));
        values.append(value);
    }
    QJsonObject body = computed.provenance;
    body.insert(QStringLiteral("dive"), computed.dive);
    body.insert(QStringLiteral("reason"), reason.trimmed());
    body.insert(QStringLiteral("values"), values);
    return file.write([&]() -> Done {
        auto entry = file.record(act, verb::valuesAccepted, body);
        if (!entry)
            return entry.error();
        return {};
    });
}

} // namespace holdfast
