// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/csv.h"
#include "base/output_file.h"
#include "cli/cli.h"
#include "dive/absent_logs.h"
#include "dive/dive_values.h"
#include "dive/readers.h"

namespace holdfast::cli
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// The instants that are asked for, each with its id.
struct Instants {
    QStringList ids;
    std::vector<UtcTime> times;
    std::vector<bool> known; ///< false: only when it was found is known, so nothing is given for it
};

Result<Instants> instantsOfFile(const QString &path)
{
    const auto table = readCsvFile(path);
    if (!table)
        return table.error();
    const auto id = table->needColumn(q("id"));
    if (!id)
        return id.error();
    const auto time = table->needColumn(q("time_utc"));
    if (!time)
        return time.error();
    Instants instants;
    for (std::size_t row = 0; row < table->rows.size(); ++row) {
        const QString text = table->rows[row].at(*time).trimmed();
        const auto t = parseIsoUtc(text.toStdString());
        if (!t)
            return fail(ErrorKind::Malformed,
                        QStringLiteral(
                            "%1, line %2: time_utc is \"%3\"; a UTC time as in 2026-03-12T14:22:07.300Z was "
                            "expected.")
                            .arg(path)
                            .arg(table->lineOf[row])
                            .arg(text));
        instants.ids << table->rows[row].at(*id);
        instants.times.push_back(*t);
        instants.known.push_back(true);
    }
    return instants;
}

Result<Instants> instantsOfDive(const Database &db, int dive)
{
    const auto samples = readSamples(db, dive);
    if (!samples)
        return samples.error();
    Instants instants;
    for (const SampleInfo &s : *samples) {
        instants.ids << s.id;
        instants.times.push_back(s.time);
        instants.known.push_back(s.momentKnown);
    }
    return instants;
}

Result<Instants> instants(const Arguments &a, const Database &db, int dive)
{
    if (!a.has(q("at")))
        return instantsOfDive(db, dive);
    if (auto other = isNoInput(a.text(q("out")), {a.text(q("at"))}); !other)
        return other.error();
    return instantsOfFile(a.text(q("at")));
}

QByteArray maybe(const std::optional<double> &value, int decimals)
{
    return value ? csvFixed(*value, decimals) : QByteArray();
}

/// Everything else that is known of a fix.
QByteArray fullColumns(const NavFix &f)
{
    const auto axis = [&f](double ErrorEllipse::*member, int decimals) {
        return f.ellipse95 ? csvFixed(*f.ellipse95.*member, decimals) : QByteArray();
    };
    return ',' + axis(&ErrorEllipse::semiMajorM, 2) + ',' + axis(&ErrorEllipse::semiMinorM, 2) + ',' +
           axis(&ErrorEllipse::azimuthDeg, 1) + ',' + textOf(f.depthSource).toUtf8() + ',' +
           maybe(f.nearestFixS, 3) + ',' + maybe(f.nearestFixM, 2) + ',' +
           QByteArray::number(static_cast<qulonglong>(f.usedCount)) + ',' +
           QByteArray::number(static_cast<qulonglong>(f.rejectedCount)) + ',' + csvField(f.reason);
}

void tell(const World &world, const QString &out, std::size_t rows, std::size_t without, const QString &what)
{
    if (out == QLatin1String("-"))
        return;
    world.out(
        QStringLiteral("%1: %2 rows%3\n")
            .arg(out)
            .arg(rows)
            .arg(without ? QStringLiteral(", %1 of them without %2").arg(without).arg(what) : QString()));
}

Done fix(const Arguments &a, const World &world)
{
    const auto opened = openDive(a, Database::Access::ReadOnly);
    if (!opened)
        return opened.error();
    const auto &[file, dive] = *opened;
    const auto method = fixMethodFrom(a.text(q("method"), q("smooth")));
    if (!method)
        return fail(ErrorKind::Usage,
                    QStringLiteral("--method is linear or smooth, not \"%1\".").arg(a.text(q("method"))));
    const auto asked = instants(a, file.db(), dive);
    if (!asked)
        return asked.error();
    const auto track = diveTrack(file.db(), dive, *method);
    if (!track)
        return track.error();
    const auto absent = absentLogs(file.db(), dive);
    if (!absent)
        return absent.error();
    QByteArray out = "id,time_utc,latitude_deg,longitude_deg,uncertainty95_m,depth_m,gap_s,flag,method";
    const bool full = a.has(q("full"));
    out += full ? ",semi_major95_m,semi_minor95_m,azimuth_deg,depth_source,nearest_fix_s,nearest_fix_m,used,"
                  "rejected,reason"
                  "\n"
                : "\n";
    std::size_t without = 0;
    const std::vector<NavFix> fixes = track->at(std::span<const UtcTime>(asked->times));
    for (std::size_t i = 0; i < fixes.size(); ++i) {
        NavFix f = asked->known[i] ? fixes[i] : fixOfUnknownMoment();
        if (asked->known[i])
            absent->explain(f);
        f.time = asked->times[i];
        f.method = *method;
        without += f.latitudeDeg ? 0U : 1U;
        out += csvField(asked->ids.at(static_cast<qsizetype>(i))) + ',' + toIso(f.time).toLatin1() + ',' +
               maybe(f.latitudeDeg, 8) + ',' + maybe(f.longitudeDeg, 8) + ',' + maybe(f.uncertainty95M, 2) +
               ',' + maybe(f.depthM, 2) + ',' + maybe(f.gapS, 3) + ',' +
               QByteArray::number(static_cast<int>(f.flag)) + ',' + textOf(f.method).toUtf8() +
               (full ? fullColumns(f) : QByteArray()) + '\n';
    }
    if (auto written = writeWhole(a.text(q("out")), out); !written)
        return written;
    for (const QString &sentence : track->report().sentences)
        world.err(QStringLiteral("note: %1\n").arg(sentence));
    if (!absent->positionAt.isEmpty())
        world.err(QStringLiteral("note: position %1, not here\n").arg(absent->positionWord()));
    tell(world, a.text(q("out")), fixes.size(), without, q("a fix"));
    return {};
}

QByteArray waterCell(const WaterValue &v, int decimals)
{
    return v.has() ? csvFixed(v.value, decimals) : QByteArray();
}

QByteArray spreadCell(const WaterValue &v, int decimals)
{
    return v.has() ? csvFixed(v.spread, decimals) : QByteArray();
}

Done water(const Arguments &a, const World &world)
{
    const auto opened = openDive(a, Database::Access::ReadOnly);
    if (!opened)
        return opened.error();
    const auto &[file, dive] = *opened;
    const auto asked = instants(a, file.db(), dive);
    if (!asked)
        return asked.error();
    const auto values = diveWater(file.db(), dive, asked->times);
    if (!values)
        return values.error();
    const auto absent = absentLogs(file.db(), dive);
    if (!absent)
        return absent.error();
    if (!absent->ctdAt.isEmpty())
        world.err(QStringLiteral("note: CTD %1, not here\n").arg(absent->ctdWord()));
    QByteArray out = "id,time_utc,depth_m,temperature_degC,practical_salinity,oxygen_umol_kg,sound_speed_m_s,"
                     "sigma0_kg_m3,count,depth_spread_m,temperature_spread_degC,practical_salinity_spread,"
                     "oxygen_spread_umol_kg,sound_speed_spread_m_s,sigma0_spread_kg_m3,flag\n";
    std::size_t without = 0;
    for (std::size_t i = 0; i < values->size(); ++i) {
        const WaterValues w = asked->known[i] ? values->at(i) : waterOfUnknownMoment();
        without += w.flag == QcFlag::Missing || w.flag == QcFlag::Fail ? 1U : 0U;
        out += csvField(asked->ids.at(static_cast<qsizetype>(i))) + ',' + toIso(asked->times[i]).toLatin1() +
               ',' + waterCell(w.depthM, 3) + ',' + waterCell(w.temperatureDegC, 4) + ',' +
               waterCell(w.practicalSalinity, 4) + ',' + waterCell(w.oxygenUmolKg, 2) + ',' +
               waterCell(w.soundSpeedMs, 3) + ',' + waterCell(w.sigma0KgM3, 4) + ',' +
               QByteArray::number(static_cast<qulonglong>(w.temperatureDegC.used)) + ',' +
               spreadCell(w.depthM, 3) + ',' + spreadCell(w.temperatureDegC, 4) + ',' +
               spreadCell(w.practicalSalinity, 4) + ',' + spreadCell(w.oxygenUmolKg, 2) + ',' +
               spreadCell(w.soundSpeedMs, 3) + ',' + spreadCell(w.sigma0KgM3, 4) + ',' +
               QByteArray::number(static_cast<int>(w.flag)) + '\n';
    }
    if (auto written = writeWhole(a.text(q("out")), out); !written)
        return written;
    tell(world, a.text(q("out")), values->size(), without, q("water values"));
    return {};
}

Flag atFlag()
{
    return {q("at"), q("TIMES.csv"), q("instants, columns id,time_utc; without it the dive's samples")};
}

Flag outFlag()
{
    return {q("out"), q("OUT.csv"), q("the result; - for standard output"), true};
}

} // namespace

QList<Verb> valueVerbs()
{
    return {
        {q("fix"),
         {q("FILE")},
         {diveFlag(),
          atFlag(),
          {q("method"), q("linear|smooth"), q("smooth when not given; linear is the plain reference")},
          {q("full"), QString(),
           q("more columns: ellipse, source of the depth, nearest fix, counts, reason")},
          outFlag()},
         q("Gives the vehicle's position at instants, with its 95 % uncertainty."),
         q("Flags are QARTOD numbers: 1 good, 3 doubtful, 4 failed, 9 no fix. Where there is no fix, no "
           "position is\n"
           "given."),
         fix},
        {q("water"),
         {q("FILE")},
         {diveFlag(), atFlag(), outFlag()},
         q("Gives the water values at instants: median and spread of the passing CTD scans about each."),
         q("The window is 15 s to either side and widens to 60 s where scans are few. depth_m is TEOS-10, "
           "salinity\n"
           "PSS-78, sound speed UNESCO 1983, sigma0 EOS-80. Flags are QARTOD numbers: 1 good, 3 doubtful, 4 "
           "failed,\n"
           "9 no scans. A spread is 1.4826 times the median absolute deviation."),
         water},
    };
}

} // namespace holdfast::cli
