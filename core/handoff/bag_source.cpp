// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/bag_source.h"

#include "handoff/zip_source.h"

#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <algorithm>
#include <filesystem>

namespace holdfast
{

namespace
{

/// Bytes of a name as text: what is no printable ASCII as its code.
QString legible(const QByteArray &bytes)
{
    QString out;
    for (const char c : bytes) {
        const auto code = static_cast<unsigned char>(c);
        if (code >= 0x20 && code < 0x7F)
            out += QLatin1Char(c);
        else
            out += QStringLiteral("\\x%1").arg(
                QString::number(code, 16).toUpper().rightJustified(2, QLatin1Char('0')));
    }
    return out;
}

class FolderSource : public BagSource
{
public:
    static Result<std::unique_ptr<BagSource>> open(const QString &path)
    {
        auto source = std::make_unique<FolderSource>();
        source->m_where = QDir::cleanPath(path);
        if (auto listed = source->list(QString()); !listed)
            return listed.error();
        std::sort(source->m_entries.begin(), source->m_entries.end(),
                  [](const BagEntry &a, const BagEntry &b) { return a.path < b.path; });
        return std::unique_ptr<BagSource>(std::move(source));
    }

    Done read(const BagEntry &entry, const std::function<Done(std::string_view)> &take) const override
    {
        const QString path = m_where + QLatin1Char('/') + entry.path;
        QFile file(path);
        if (!entry.link.isEmpty() || entry.special || !file.open(QIODevice::ReadOnly))
            return fail(ErrorKind::Unreadable, QStringLiteral("%1 can't be read.").arg(path));
        QByteArray piece(1 << 20, Qt::Uninitialized);
        for (;;) {
            const qint64 got = file.read(piece.data(), piece.size());
            if (got < 0)
                return fail(ErrorKind::Unreadable,
                            QStringLiteral("%1 can't be read: %2.").arg(path, file.errorString()));
            if (got == 0)
                return {};
            if (auto taken = take(std::string_view(piece.constData(), static_cast<std::size_t>(got))); !taken)
                return taken;
        }
    }

private:
    /// Without following links: a link could lead anywhere, also round in a circle.
    Done list(const QString &inside)
    {
        const QDir folder(m_where + QLatin1Char('/') + inside);
        if (!folder.isReadable())
            return fail(ErrorKind::Unreadable,
                        QStringLiteral("The folder %1 can't be read.").arg(folder.path()));
        // By the bytes of the names: QDir leaves out those that are no UTF-8, and so would hide them.
        std::error_code wrong;
        std::filesystem::directory_iterator at(std::filesystem::path(folder.path().toStdString()), wrong);
        for (; !wrong && at != std::filesystem::directory_iterator(); at.increment(wrong)) {
            const QByteArray bytes = QByteArray::fromStdString(at->path().filename().string());
            const QString name = QString::fromUtf8(bytes);
            const QFileInfo info(folder, name);
            BagEntry entry;
            entry.path = inside.isEmpty() ? name : inside + QLatin1Char('/') + name;
            if (name.toUtf8() != bytes) {
                entry.rawName = legible(bytes);
                entry.folder = at->is_directory(wrong) && !at->is_symlink(wrong);
                m_entries.push_back(std::move(entry));
                continue;
            }
            if (info.isSymLink()) {
                entry.link = info.symLinkTarget();
                if (entry.link.isEmpty())
                    entry.link = QStringLiteral("?");
            } else if (info.isDir()) {
                entry.folder = true;
            } else {
                entry.special = !info.isFile();
                entry.bytes = info.size();
            }
            const bool deeper = entry.folder;
            const QString path = entry.path;
            m_entries.push_back(std::move(entry));
            if (deeper) {
                if (auto listed = list(path); !listed)
                    return listed;
            }
        }
        if (wrong)
            return fail(ErrorKind::Unreadable,
                        QStringLiteral("The folder %1 can't be read: %2.")
                            .arg(folder.path(), QString::fromStdString(wrong.message())));
        return {};
    }
};

} // namespace

const BagEntry *BagSource::find(const QString &path) const
{
    const auto at = std::lower_bound(m_entries.begin(), m_entries.end(), path,
                                     [](const BagEntry &e, const QString &p) { return e.path < p; });
    return at != m_entries.end() && at->path == path ? &*at : nullptr;
}

Result<QByteArray> BagSource::readAll(const QString &path, qint64 most) const
{
    const BagEntry *const entry = find(path);
    if (!entry || entry->folder)
        return fail(ErrorKind::NotFound, QStringLiteral("%1 holds no file %2.").arg(m_where, path));
    if (entry->bytes > most)
        return fail(ErrorKind::Refused, QStringLiteral("%1 in %2 has %3 bytes; at most %4 are read.")
                                            .arg(path, m_where)
                                            .arg(entry->bytes)
                                            .arg(most));
    QByteArray all;
    auto done = read(*entry, [&](std::string_view piece) -> Done {
        all.append(piece.data(), static_cast<qsizetype>(piece.size()));
        return {};
    });
    if (!done)
        return done.error();
    return all;
}

Result<std::unique_ptr<BagSource>> BagSource::open(const QString &path, const UnpackLimits &limits)
{
    const QFileInfo info(path);
    if (!info.exists())
        return fail(ErrorKind::NotFound, QStringLiteral("There is nothing at %1.").arg(path));
    if (info.isDir())
        return FolderSource::open(path);
    return openZip(path, limits);
}

} // namespace holdfast
