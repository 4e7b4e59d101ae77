// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/output_file.h"

#include <QFile>
#include <QFileInfo>
#include <QSaveFile>
#include <QStorageInfo>
#include <cerrno>
#include <cstdio>
#include <unistd.h>

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

Error unwritten(const QString &path, const QString &why)
{
    return fail(ErrorKind::Unwritable, QStringLiteral("%1 can't be written: %2.").arg(path, why));
}

Done toStandardOutput(const std::function<Done(const TakePiece &)> &fill)
{
    const auto unwritable = [] {
        return fail(ErrorKind::Unwritable,
                    QStringLiteral("The result could not be written to standard output."));
    };
    const Done filled = fill([&unwritable](QByteArrayView piece) -> Done {
        const auto size = static_cast<std::size_t>(piece.size());
        if (std::fwrite(piece.data(), 1, size, stdout) != size)
            return unwritable();
        return {};
    });
    if (!filled)
        return filled;
    if (std::fflush(stdout) != 0)
        return unwritable();
    return {};
}

Done writePiece(QFileDevice &file, QByteArrayView piece)
{
    if (file.write(piece.data(), piece.size()) != piece.size())
        return unwritten(file.fileName(), whyUnwritten(file));
    return {};
}

/// Some file systems find out only now that there is no room; others can't be asked, which is no fault.
bool reachesTheDisk(QFileDevice &file)
{
    return ::fsync(file.handle()) == 0 || (errno != ENOSPC && errno != EDQUOT && errno != EIO);
}

} // namespace

QString whyUnwritten(const QFileDevice &file)
{
    const QStorageInfo disk(QFileInfo(file.fileName()).absolutePath());
    constexpr qint64 hardlyAnything = 1 << 16;
    const bool mayBeFull =
        file.error() != QFileDevice::PermissionsError && file.error() != QFileDevice::OpenError;
    if (file.error() == QFileDevice::ResourceError ||
        (mayBeFull && disk.isValid() && disk.bytesAvailable() < hardlyAnything))
        return QStringLiteral("the disk is full; free some space and do it again");
    return file.errorString();
}

Done writeOutput(const QString &path, const std::function<Done(const TakePiece &)> &fill)
{
    if (path == QLatin1String("-"))
        return toStandardOutput(fill);
    if (auto may = mayWriteOver(path); !may)
        return may;
    // A device or a pipe is written to as it is: renaming a file over it would take its place.
    const QFileInfo info(path);
    if (info.exists() && !info.isFile() && !info.isDir()) {
        QFile device(path);
        if (!device.open(QIODevice::WriteOnly | QIODevice::Unbuffered))
            return unwritten(path, device.errorString());
        return fill([&device](QByteArrayView piece) { return writePiece(device, piece); });
    }
    QSaveFile file(path);
    if (!file.open(QIODevice::WriteOnly))
        return unwritten(path, whyUnwritten(file));
    if (auto filled = fill([&file](QByteArrayView piece) { return writePiece(file, piece); }); !filled)
        return filled;
    // What commit() itself has still to write may fail unseen and leave a file that is cut off.
    if (!file.flush() || !reachesTheDisk(file) || !file.commit())
        return unwritten(path, whyUnwritten(file));
    return {};
}

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
