// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/bag_files.h"

#include "handoff/package_paths.h"

namespace holdfast
{

namespace
{

/// One line a file: checksum, two blanks, path (RFC 8493 2.1.3).
QByteArray manifest(const QMap<QByteArray, FileSums> &files, bool payload, QString FileSums::*sum)
{
    QByteArray out;
    for (auto it = files.begin(); it != files.end(); ++it) {
        if (it.key().startsWith("data/") == payload && !it.key().startsWith("tagmanifest-"))
            out += (it.value().*sum).toLatin1() + "  " + encodedPath(QString::fromUtf8(it.key())).toUtf8() +
                   '\n';
    }
    return out;
}

QString sizeWords(qint64 bytes)
{
    double size = static_cast<double>(bytes);
    for (const char *unit : {"B", "kB", "MB", "GB"}) {
        if (size < 1000)
            return QStringLiteral("%1 %2")
                .arg(size, 0, 'f', size < 10 && bytes >= 1000 ? 1 : 0)
                .arg(QLatin1String(unit));
        size /= 1000;
    }
    return QStringLiteral("%1 TB").arg(size, 0, 'f', 1);
}

} // namespace

Done writeBagFiles(PackageWriter &package, const BagInfo &info)
{
    qint64 bytes = 0;
    qint64 count = 0;
    for (auto it = package.files().begin(); it != package.files().end(); ++it) {
        if (it.key().startsWith("data/")) {
            bytes += it.value().bytes;
            ++count;
        }
    }
    if (count == 0)
        return fail(ErrorKind::Internal, QStringLiteral("A bag without payload was to be made."));
    const QByteArray payload256 = manifest(package.files(), true, &FileSums::sha256);
    const QByteArray payload512 = manifest(package.files(), true, &FileSums::sha512);
    if (auto done = package.add(QStringLiteral("manifest-sha256.txt"), payload256); !done)
        return done;
    if (auto done = package.add(QStringLiteral("manifest-sha512.txt"), payload512); !done)
        return done;
    QByteArray lines;
    // Lines may be longer than the 79 characters that RFC 8493 (2.2.2) recommends: of a value that is
    // continued on the next line nobody can tell whether the line end is part of it.
    for (const auto &[label, value] : info)
        lines += label.toUtf8() + ": " + value.simplified().toUtf8() + '\n';
    lines += "Bag-Size: " + sizeWords(bytes).toUtf8() + '\n';
    lines += "Payload-Oxum: " + QByteArray::number(bytes) + '.' + QByteArray::number(count) + '\n';
    if (auto done = package.add(QStringLiteral("bag-info.txt"), lines); !done)
        return done;
    if (auto done = package.add(QStringLiteral("bagit.txt"),
                                "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n");
        !done)
        return done;
    const QByteArray tags256 = manifest(package.files(), false, &FileSums::sha256);
    const QByteArray tags512 = manifest(package.files(), false, &FileSums::sha512);
    if (auto done = package.add(QStringLiteral("tagmanifest-sha256.txt"), tags256); !done)
        return done;
    return package.add(QStringLiteral("tagmanifest-sha512.txt"), tags512);
}

} // namespace holdfast
