// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/sensor_correction.h"

#include "dive/act_steps.h"
#include "dive/readers.h"
#include "dive/scan_log.h"
#include "dive/verbs.h"
#include "feed/intake.h"
#include "store/sensor_log.h"

#include <QJsonObject>
#include <cmath>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

constexpr double greatestLagS = 5;
constexpr double greatestOffsetDbar = 20;

qint64 lagUs(const SensorCorrections &values)
{
    return std::llround(values.temperatureLagS * 1e6);
}

QString offsetText(const SensorCorrections &values)
{
    return QString::number(values.pressureOffsetDbar, 'f', 4);
}

Result<LogFile> ctdLog(const Database &db, int dive, const QString &named)
{
    const auto files = SensorLogReader(db.connection()).files(dive);
    if (!files)
        return files.error();
    std::vector<LogFile> found;
    QStringList names;
    for (const LogFile &log : *files) {
        if (!log.inUse || log.kind != LogKind::Ctd)
            continue;
        names << log.fileName;
        const bool begins = named.size() >= 8 && (log.sha256.startsWith(named) || log.uuid.startsWith(named));
        if (named.isEmpty() || log.fileName == named || begins)
            found.push_back(log);
    }
    if (names.isEmpty())
        return fail(ErrorKind::NotFound, u"Dive %1 has no CTD log."_s.arg(dive));
    if (found.size() != 1)
        return fail(ErrorKind::NotFound,
                    u"%1 CTD logs of dive %2 are meant by \"%3\"; there are: %4."_s.arg(found.size())
                        .arg(dive)
                        .arg(named, names.join(u", "_s)));
    return found.front();
}

/// The log read again from the bytes that were kept.
Result<IntakeData> readAgain(const Database &db, int dive, const LogFile &log)
{
    std::string bytes;
    bytes.reserve(static_cast<std::size_t>(log.bytes));
    const Done read = SensorLogReader(db.connection()).text(log, [&bytes](std::string_view piece) -> Done {
        bytes += piece;
        return {};
    });
    if (!read)
        return read.error();
    const auto profile = parseFeedProfile(log.profileJson, log.profile);
    if (!profile)
        return profile.error();
    const auto info = readDive(db, dive);
    if (!info)
        return info.error();
    IntakeOptions options;
    options.windowStart = info->launched;
    options.windowEnd = info->onDeck;
    auto data = intakeBytes(bytes, log.fileName, *profile, options);
    if (data && data->sha256 != log.sha256)
        return fail(ErrorKind::Tampered,
                    u"The bytes kept of %1 are not those that were taken in; see audit."_s.arg(log.fileName));
    return data;
}

/// Beyond any sensor's resolution: so that the numbers are short decimals again, which pack well.
void roundToMicro(std::vector<double> &column)
{
    for (double &value : column)
        value = std::round(value * 1e6) / 1e6;
}

} // namespace

Done checkCorrections(const SensorCorrections &values, const QString &reason)
{
    if (!(std::abs(values.temperatureLagS) <= greatestLagS))
        return fail(ErrorKind::Usage,
                    u"A temperature lag of %1 s is beyond %2 s either way."_s.arg(values.temperatureLagS)
                        .arg(greatestLagS));
    if (!(std::abs(values.pressureOffsetDbar) <= greatestOffsetDbar))
        return fail(ErrorKind::Usage, u"A pressure offset of %1 dbar is beyond %2 dbar either way."_s
                                          .arg(values.pressureOffsetDbar)
                                          .arg(greatestOffsetDbar));
    return wantReason(reason);
}

Result<SensorCorrection> correctSensors(CruiseFile &file, const Act &act, int dive, const QString &log,
                                        const SensorCorrections &values, const QString &reason)
{
    if (auto good = checkCorrections(values, reason); !good)
        return good.error();
    const auto meant = ctdLog(file.db(), dive, log);
    if (!meant)
        return meant.error();
    auto data = readAgain(file.db(), dive, *meant);
    if (!data)
        return data.error();
    CtdColumns scans = std::move(data->ctd);
    if (values.temperatureLagS != 0 || values.pressureOffsetDbar != 0) {
        scans = corrected(scans, values);
        roundToMicro(scans.pressureDbar);
        roundToMicro(scans.temperatureDegC);
    }
    const auto packed = judgeAndPack(file.db(), dive, scans);
    if (!packed)
        return packed.error();
    QStringList warnings = data->report.warnings;
    for (const QString &finding : packed->judged.summary.findings)
        warnings << finding;
    const SensorCorrection correction{meant->uuid,      meant->fileName, values,
                                      reason.trimmed(), act.person,      act.now};
    const auto written = file.write([&]() -> Done {
        const auto entry = file.record(act, verb::sensorsCorrected,
                                       {{u"dive"_s, dive},
                                        {u"intake"_s, meant->uuid},
                                        {u"temperatureLagUs"_s, lagUs(values)},
                                        {u"pressureOffsetDbar"_s, offsetText(values)},
                                        {u"reason"_s, correction.reason},
                                        {u"qualityLimits"_s, packed->judged.limitsName},
                                        {u"warnings"_s, QJsonArray::fromStringList(warnings)},
                                        {u"columns"_s, QString::fromLatin1(packed->log.columns)},
                                        {u"digest"_s, packed->log.digest}});
        if (!entry)
            return entry.error();
        return SensorLogWriter(file.db().connection()).replaceValues(*meant, packed->log, warnings);
    });
    if (!written)
        return written.error();
    return correction;
}

Result<std::vector<SensorCorrection>> sensorCorrections(const Database &db, int dive)
{
    auto rows = query(
        db.connection(),
        u"SELECT c.intake, i.file_name, c.lag_us, c.pressure_offset, c.reason, c.by_whom, "
        "c.time_us FROM sensor_correction c JOIN intake i ON i.uuid = c.intake WHERE i.dive = ? "
        "AND i.replaced_by IS NULL AND c.entry = (SELECT n.entry FROM sensor_correction n JOIN ledger l "
        "ON l.uuid = n.entry WHERE n.intake = c.intake ORDER BY l.lamport DESC, l.station DESC, "
        "l.seq DESC LIMIT 1) ORDER BY c.lamport, c.intake"_s,
        {dive});
    if (!rows)
        return rows.error();
    std::vector<SensorCorrection> list;
    while (rows->next()) {
        SensorCorrection c;
        c.intake = rows->text(0);
        c.fileName = rows->text(1);
        c.values.temperatureLagS = static_cast<double>(rows->integer(2)) * 1e-6;
        c.values.pressureOffsetDbar = rows->text(3).toDouble();
        c.reason = rows->text(4);
        c.by = rows->text(5);
        c.time = utcFromMicroseconds(rows->integer(6));
        list.push_back(c);
    }
    return list;
}

QJsonArray asProvenance(const std::vector<SensorCorrection> &corrections)
{
    QJsonArray list;
    for (const SensorCorrection &c : corrections)
        list.append(QJsonObject{{u"intake"_s, c.intake},
                                {u"temperatureLagUs"_s, lagUs(c.values)},
                                {u"pressureOffsetDbar"_s, offsetText(c.values)}});
    return list;
}

} // namespace holdfast
