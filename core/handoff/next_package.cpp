// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/next_package.h"

#include "dive/readers.h"
#include "handoff/bag_check.h"
#include "handoff/reading_limits.h"

#include <QDir>
#include <QFileInfo>
#include <QRegularExpression>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

int versionIn(const QString &name, const QString &cruise)
{
    const QRegularExpression form(
        QStringLiteral("\\A%1-v([1-9][0-9]{0,5})\\z").arg(QRegularExpression::escape(cruise)));
    return form.match(name).captured(1).toInt();
}

} // namespace

QString latestPackageIn(const QString &parent, const QString &cruise)
{
    QString latest;
    int version = 0;
    const QFileInfoList all = QDir(parent).entryInfoList(QDir::Files | QDir::Dirs | QDir::NoDotAndDotDot);
    for (const QFileInfo &info : all) {
        if (info.isFile() && info.suffix() != q("zip"))
            continue;
        // Any bag has this file (RFC 8493, 2.1.1): a folder without it only has such a name.
        if (info.isDir() && !QFileInfo::exists(info.filePath() + q("/bagit.txt")))
            continue;
        const int v = versionIn(info.isDir() ? info.fileName() : info.completeBaseName(), cruise);
        if (v > version) {
            version = v;
            latest = info.filePath();
        }
    }
    return latest;
}

Result<std::pair<QString, int>> packageVersion(const BagSource &source, const QString &cruise)
{
    const auto info = source.readAll(q("bag-info.txt"), mostTagBytes);
    if (!info)
        return info.error();
    PackageFindings ignored;
    QString name;
    for (const auto &[label, value] : readBagInfo(*info, true, ignored)) {
        if (label.compare(q("Internal-Sender-Identifier"), Qt::CaseInsensitive) == 0)
            name = value;
    }
    const int version = versionIn(name, cruise);
    if (version == 0)
        return fail(ErrorKind::Refused, QStringLiteral("%1 is no package of cruise %2 (it is \"%3\").")
                                            .arg(source.where(), cruise, name));
    return std::pair(name, version);
}

Result<NextPackage> nextPackage(const Database &db, const QString &parent, const QString &earlier)
{
    const auto cruise = readCruise(db);
    if (!cruise)
        return cruise.error();
    NextPackage next;
    next.cruise = cruise->code;
    next.earlierPath = earlier.isEmpty() ? latestPackageIn(parent, cruise->code) : earlier;
    if (!next.earlierPath.isEmpty()) {
        const auto source = BagSource::open(next.earlierPath);
        if (!source)
            return source.error();
        const auto named = packageVersion(**source, cruise->code);
        if (!named)
            return named.error();
        next.earlierName = named->first;
        next.version = named->second + 1;
    }
    next.name = QStringLiteral("%1-v%2").arg(cruise->code).arg(next.version);
    return next;
}

} // namespace holdfast
