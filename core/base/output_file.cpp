// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/output_file.h"

#include <QFile>
#include <QFileInfo>

namespace holdfast
{

namespace
{

/// Read through any link, as writing would go through it.
bool isDatabase(const QString &path)
{
    QFile file(path);
    if (!QFileInfo(path).isFile() || !file.open(QIODevice::ReadOnly))
        return false;
    return file.read(16) == QByteArray("SQLite format 3\0", 16);
}

} // namespace

Done mayWriteOver(const QString &path)
{
    if (path.isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("A result needs the name of the file it goes to."));
    bool database = isDatabase(path);
    for (const QLatin1String side : {QLatin1String("-wal"), QLatin1String("-shm"), QLatin1String("-journal")})
        database = database || (path.endsWith(side) && isDatabase(path.chopped(side.size())));
    if (!database)
        return {};
    return fail(ErrorKind::Refused,
                QStringLiteral("%1 is a cruise file or another database and is not written over; choose "
                               "another name.")
                    .arg(path));
}

Done isNoInput(const QString &path, const QStringList &inputs)
{
    const QString target = QFileInfo(path).canonicalFilePath();
    for (const QString &input : inputs) {
        if (!target.isEmpty() && target == QFileInfo(input).canonicalFilePath())
            return fail(ErrorKind::Usage,
                        QStringLiteral("%1 is what the result is made from and is not written over; choose "
                                       "another name.")
                            .arg(path));
    }
    return {};
}

} // namespace holdfast
