// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/bag_source.h"

#include "handoff/zip_source.h"

#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <algorithm>

namespace holdfast
{

namespace
{

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
        const QFileInfoList all =
            folder.entryInfoList(QDir::AllEntries | QDir::Hidden | QDir::System | QDir::NoDotAndDotDot);
        for (const QFileInfo &info : all) {
            BagEntry entry;
            entry.path = inside.isEmpty() ? info.fileName() : inside + QLatin1Char('/') + info.fileName();
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
