// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/log_intake.h"

#include "base/ids.h"
#include "base/template_folder.h"
#include "dive/intake_entry.h"
#include "dive/readers.h"
#include "dive/scan_log.h"
#include "dive/verbs.h"

#include <QJsonObject>

namespace holdfast
{

namespace
{

Done notTakenBefore(const Database &db, int dive, const IntakeData &data)
{
    const auto intakes = readIntakes(db, dive);
    if (!intakes)
        return intakes.error();
    for (const IntakeInfo &intake : *intakes) {
        if (intake.sha256 == data.sha256)
            return fail(
                ErrorKind::Duplicate,
                QStringLiteral(
                    "%1 was taken in for dive %2 already, as %3 at %4 by %5 (same SHA-256); it was not "
                    "read again.")
                    .arg(data.fileName)
                    .arg(dive)
                    .arg(intake.fileName, toIso(intake.taken), intake.by));
    }
    return {};
}

/// The values of the log as packed blocks; for a CTD log with what was derived and flagged.
Result<PackedLog> pack(const Database &db, int dive, IntakeData &data, LogKind kind, QString &limitsName)
{
    switch (kind) {
    case LogKind::Position:
    case LogKind::Ship:
        return packLog(RecordColumns(data.positions).table());
    case LogKind::Acoustic:
        return packLog(RecordColumns(data.acoustics).table());
    case LogKind::Velocity:
        return packLog(RecordColumns(data.velocities).table());
    case LogKind::Ctd:
        break;
    }
    auto packed = judgeAndPack(db, dive, data.ctd);
    if (!packed)
        return packed.error();
    limitsName = packed->judged.limitsName;
    for (const QString &finding : packed->judged.summary.findings)
        data.report.warnings << finding;
    return std::move(packed->log);
}

/// The earlier log that a corrected one takes the place of.
Result<IntakeInfo> logToReplace(const Database &db, int dive, const QString &named, LogKind kind)
{
    const auto intakes = readIntakes(db, dive);
    if (!intakes)
        return intakes.error();
    std::vector<IntakeInfo> found;
    QStringList names;
    for (const IntakeInfo &intake : *intakes) {
        const bool begins =
            named.size() >= 8 && (intake.sha256.startsWith(named) || intake.uuid.startsWith(named));
        if (!intake.replaced)
            names << intake.fileName;
        if (!intake.replaced && (intake.fileName == named || begins))
            found.push_back(intake);
    }
    if (found.size() != 1)
        return fail(ErrorKind::NotFound,
                    QStringLiteral("Of the logs in use of dive %2, %1 have the name \"%3\"; there are: %4.")
                        .arg(found.size())
                        .arg(dive)
                        .arg(named, names.join(QStringLiteral(", "))));
    if (found.front().kind != nameOf(kind))
        return fail(ErrorKind::Refused, QStringLiteral("%1 is a %2 log; a %3 log can't take its place.")
                                            .arg(found.front().fileName, found.front().kind, nameOf(kind)));
    return found.front();
}

/// What the dive says about its logs, where the caller does not.
Result<IntakeOptions> optionsForDive(const Database &db, int dive, const IntakeOptions &options)
{
    const auto info = readDive(db, dive);
    if (!info)
        return info.error();
    IntakeOptions forDive = options;
    if (!forDive.windowStart)
        forDive.windowStart = info->launched;
    if (!forDive.windowEnd)
        forDive.windowEnd = info->onDeck;
    if (!forDive.dateHint)
        forDive.dateHint = info->launched;
    return forDive;
}

/// Packs a log that was read and stores it with its entry; `path` names it in sentences.
Result<TakenLog> store(CruiseFile &file, const Act &act, int dive, const QString &path, IntakeData read,
                       const QString &replaces, const IntakeOptions &options)
{
    IntakeData *const data = &read;
    const FeedProfile &profile = data->profile;
    if (auto first = notTakenBefore(file.db(), dive, *data); !first)
        return first.error();
    if (data->report.accepted == 0)
        return fail(
            ErrorKind::Malformed,
            QStringLiteral(
                "%1: not one of its %2 lines could be used by the profile %3%4; nothing was taken in.")
                .arg(path)
                .arg(data->report.lines)
                .arg(profile.name, data->report.rejects.empty()
                                       ? QString()
                                       : QStringLiteral(" (%1)").arg(data->report.rejects.front().reason)));
    const LogKind kind = logKindOf(profile);
    QString limitsName;
    auto packed = pack(file.db(), dive, *data, kind, limitsName);
    if (!packed)
        return packed.error();
    if (options.stop.stop_requested())
        return fail(ErrorKind::Cancelled, QStringLiteral("%1 was not taken in: stopped.").arg(path));
    TakenLog taken{newUuid(), nameOf(kind), data->fileName, data->sha256, static_cast<qint64>(data->bytes),
                   {}};
    const auto written = file.write([&]() -> Done {
        if (auto first = notTakenBefore(file.db(), dive, *data); !first)
            return first;
        auto made = intakeEntryBody(taken.uuid, dive, *data, *packed, limitsName);
        if (!made)
            return made.error();
        QJsonObject body = std::move(*made);
        SensorLogWriter writer(file.db().connection());
        if (!replaces.isEmpty()) {
            const auto earlier = logToReplace(file.db(), dive, replaces, kind);
            if (!earlier)
                return earlier.error();
            body.insert(QStringLiteral("replaces"), earlier->uuid);
            if (auto done = writer.setInUse(earlier->uuid, false); !done)
                return done;
        }
        auto entry = file.record(act, verb::logTakenIn, body);
        if (!entry)
            return entry.error();
        auto stored = writer.write(taken.uuid, dive, *data, *packed);
        if (!stored)
            return stored.error();
        return {};
    });
    if (!written)
        return written.error();
    taken.report = std::move(data->report);
    return taken;
}

} // namespace

Result<FeedProfile> feedProfile(const QString &name)
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    return loadFeedProfile(name, {*folder + QStringLiteral("/feeds")});
}

Result<TakenLog> takeInLog(CruiseFile &file, const Act &act, int dive, const QString &path,
                           const FeedProfile &profile, const IntakeOptions &options)
{
    return takeInCorrectedLog(file, act, dive, path, profile, {}, options);
}

Result<TakenLog> takeInCorrectedLog(CruiseFile &file, const Act &act, int dive, const QString &path,
                                    const FeedProfile &profile, const QString &replaces,
                                    const IntakeOptions &options)
{
    const auto forDive = optionsForDive(file.db(), dive, options);
    if (!forDive)
        return forDive.error();
    auto data = intakeFile(path, profile, *forDive);
    if (!data)
        return data.error();
    return store(file, act, dive, path, std::move(*data), replaces, options);
}

Result<TakenLog> takeInBytes(CruiseFile &file, const Act &act, int dive, const QByteArray &bytes,
                             const QString &name, const FeedProfile &profile, const QString &replaces,
                             const IntakeOptions &options)
{
    const auto forDive = optionsForDive(file.db(), dive, options);
    if (!forDive)
        return forDive.error();
    auto data =
        intakeBytes({bytes.constData(), static_cast<std::size_t>(bytes.size())}, name, profile, *forDive);
    if (!data)
        return data.error();
    return store(file, act, dive, name, std::move(*data), replaces, options);
}

} // namespace holdfast
