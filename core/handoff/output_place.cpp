// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/output_place.h"

#include <QDir>
#include <QFileInfo>
#include <QTemporaryFile>

namespace holdfast
{

Done checkOutputFolder(const QString &folder)
{
    if (folder.trimmed().isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("Say in which folder it shall appear."));
    const QFileInfo info(folder);
    if (!info.exists())
        return fail(ErrorKind::NotFound,
                    QStringLiteral("There is no folder %1; make it, or choose another.").arg(folder));
    if (!info.isDir())
        return fail(ErrorKind::NotFound, QStringLiteral("There is no folder %1: it is a file.").arg(folder));
    // Rights alone don't tell: a stick may be mounted for reading only, a disk may be full.
    QTemporaryFile probe(QDir(folder).filePath(QStringLiteral("holdfast-XXXXXX.tmp")));
    if (!probe.open() || probe.write("x", 1) != 1 || !probe.flush())
        return fail(ErrorKind::Unwritable,
                    QStringLiteral("No file can be made in %1: %2. Choose another folder.")
                        .arg(folder, probe.errorString()));
    return {};
}

Done checkOutputFile(const QString &path)
{
    if (path.trimmed().isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("Say as which file it shall appear."));
    const QFileInfo info(path);
    if (info.exists() || info.isSymLink())
        return fail(ErrorKind::Duplicate,
                    QStringLiteral("%1 is there already and was left as it is.").arg(path));
    return checkOutputFolder(info.absolutePath());
}

} // namespace holdfast
