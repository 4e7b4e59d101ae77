// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive_logs.h"

#include "dive/log_intake.h"
#include "live/sources.h"

#include <QDir>
#include <QFileInfo>

namespace holdfast
{

namespace
{

QString findLog(const QDir &folder, const QString &fileName)
{
    for (const QString &place : {QStringLiteral("."), QStringLiteral("logs")}) {
        const QString path = folder.filePath(place + QLatin1Char('/') + fileName);
        if (QFileInfo::exists(path))
            return QDir::cleanPath(path);
    }
    return {};
}

} // namespace

QString feedNameOf(FeedKind kind)
{
    switch (kind) {
    case FeedKind::Ctd:
        return QStringLiteral("CTD");
    case FeedKind::Velocity:
        return QStringLiteral("Doppler log");
    case FeedKind::Acoustic:
        return QStringLiteral("acoustic");
    default: // whatever else there is tells positions
        return QStringLiteral("position");
    }
}

std::vector<DiveLog> findDiveLogs(const Snapshot &snapshot, const QString &cruisePath)
{
    const QDir folder = QFileInfo(cruisePath).absoluteDir();
    std::vector<DiveLog> logs;
    for (const IntakeInfo &intake : snapshot.intakes) {
        const QString path = findLog(folder, intake.fileName);
        const auto profile = feedProfile(intake.profile);
        if (!profile || path.isEmpty())
            continue;
        // The live track is the vehicle's: what the ship's logs say of it is worked out after the dive.
        if (!profile->ofShip && profile->kind != FeedKind::Acoustic)
            logs.push_back({path, *profile, intake.first});
    }
    if (!logs.empty() || !snapshot.dive)
        return logs;
    const QDir kept(folder.filePath(QStringLiteral("logs")));
    const QString name = QStringLiteral("*dive-%1-*").arg(snapshot.dive->number);
    for (const QFileInfo &file : kept.entryInfoList({name}, QDir::Files, QDir::Name)) {
        if (const auto fitting = fittingProfile(file.filePath()))
            logs.push_back({file.filePath(), fitting->profile, fitting->first});
    }
    return logs;
}

} // namespace holdfast
