// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/package_writer.h"

#include "base/output_file.h"

#include <QDir>
#include <QDirIterator>
#include <QFileInfo>
#include <QRegularExpression>

namespace holdfast
{

namespace
{

Error unwritable(const QString &path, const QString &why)
{
    return fail(ErrorKind::Unwritable, QStringLiteral("%1 can't be written: %2.").arg(path, why));
}

} // namespace

Done JobControl::goOn() const
{
    if (stop.stop_requested())
        return fail(ErrorKind::Cancelled, QStringLiteral("Stopped; nothing was left behind."));
    return {};
}

void JobControl::tell(const QString &doing, double share) const
{
    if (progress)
        progress(doing, share);
}

Done PackageFile::write(std::string_view bytes)
{
    if (m_file->write(bytes.data(), static_cast<qint64>(bytes.size())) != static_cast<qint64>(bytes.size()))
        return unwritable(m_file->fileName(), whyUnwritten(*m_file));
    m_digest->add(bytes);
    return {};
}

Result<FileSums> PackageFile::close()
{
    if (!m_file->flush())
        return unwritable(m_file->fileName(), whyUnwritten(*m_file));
    m_file->close();
    const auto sums = m_digest->finish();
    if (!sums)
        return sums;
    if (auto noted = m_writer->note(m_path, *sums); !noted)
        return noted.error();
    return sums;
}

namespace
{

/// What a run that was killed at its very end left beside packages of the same cruise that have their name:
/// nobody would go on with it. What somebody is at work on stays.
Done removeLeftovers(const QDir &parent, const QString &name)
{
    const QRegularExpression pattern(
        QStringLiteral("^(%1-v\\d+)\\.(partial|lock)$")
            .arg(QRegularExpression::escape(name.left(name.lastIndexOf(QLatin1String("-v"))))));
    for (const QString &left : parent.entryList(QDir::Files | QDir::Dirs | QDir::NoDotAndDotDot)) {
        const auto match = pattern.match(left);
        const QString target = parent.filePath(match.captured(1));
        if (!match.hasMatch() ||
            (!QFileInfo::exists(target) && !QFileInfo::exists(target + QLatin1String(".zip"))))
            continue;
        const auto lock = HeldFile::take(target + QLatin1String(".lock"));
        if (!lock && lock.error().kind == ErrorKind::Busy)
            continue;
        if (!lock)
            return lock.error();
        const QString partial = target + QLatin1String(".partial");
        if (QFileInfo::exists(partial) && !QDir(partial).removeRecursively())
            return unwritable(partial, QStringLiteral("what an earlier run left there can't be removed"));
    }
    return {};
}

} // namespace

Result<PackageWriter> PackageWriter::begin(const QString &parent, const QString &name, const QString &key)
{
    const QFileInfo where(parent);
    if (!where.isDir())
        return fail(ErrorKind::NotFound, QStringLiteral("There is no folder %1.").arg(parent));
    const QString target = QDir(parent).filePath(name);
    // Two at work on one package would write into each other's files.
    auto lock = HeldFile::take(target + QStringLiteral(".lock"));
    if (!lock && lock.error().kind == ErrorKind::Busy)
        return fail(
            ErrorKind::Busy,
            QStringLiteral("Another program is making %1 just now; wait until it is done.").arg(target));
    if (!lock)
        return lock.error();
    if (auto removed = removeLeftovers(QDir(parent), name); !removed)
        return removed.error();
    if (QFileInfo::exists(target))
        return fail(ErrorKind::Duplicate,
                    QStringLiteral("%1 is there already; a package is never overwritten.").arg(target));
    PackageWriter writer(target + QStringLiteral(".partial"), target);
    writer.m_lock = std::move(*lock);
    if (auto opened = writer.openJournal(key); !opened)
        return opened.error();
    return writer;
}

Done PackageWriter::openJournal(const QString &key)
{
    const QString path = m_folder + QLatin1Char('/') + journalName;
    QFile journal(path);
    if (journal.open(QIODevice::ReadOnly)) {
        const QList<QByteArray> lines = journal.readAll().split('\n');
        if (lines.value(0) == key.toUtf8()) {
            // The last piece has no line end: either it is empty or the run was killed while writing it.
            for (qsizetype i = 1; i + 1 < lines.size(); ++i) {
                const QString line = QString::fromUtf8(lines.at(i));
                m_earlier.insert(line.section(QLatin1Char(' '), 3),
                                 {line.section(QLatin1Char(' '), 0, 0), line.section(QLatin1Char(' '), 1, 1),
                                  line.section(QLatin1Char(' '), 2, 2).toLongLong()});
            }
        }
        journal.close();
    }
    if (m_earlier.isEmpty() && QFileInfo::exists(m_folder) && !QDir(m_folder).removeRecursively())
        return unwritable(m_folder, QStringLiteral("what an earlier run left there can't be removed"));
    if (!QDir().mkpath(m_folder))
        return unwritable(m_folder, QStringLiteral("the folder can't be made"));
    m_journal = std::make_unique<QFile>(path);
    const bool fresh = m_earlier.isEmpty();
    if (!m_journal->open(fresh ? QIODevice::WriteOnly : QIODevice::ReadWrite))
        return unwritable(path, m_journal->errorString());
    if (fresh) {
        if (m_journal->write(key.toUtf8() + '\n') < 0 || !m_journal->flush())
            return unwritable(path, whyUnwritten(*m_journal));
        return {};
    }
    // A line that was cut off is written over.
    const QByteArray all = m_journal->readAll();
    const qint64 whole = all.lastIndexOf('\n') + 1;
    if (!m_journal->resize(whole) || !m_journal->seek(whole))
        return unwritable(path, m_journal->errorString());
    return {};
}

std::optional<FileSums> PackageWriter::finished(const QString &path)
{
    const auto known = m_earlier.constFind(path);
    if (known == m_earlier.constEnd())
        return std::nullopt;
    const auto now = sumsOfFile(m_folder + QLatin1Char('/') + path);
    if (!now || now->sha256 != known->sha256 || now->sha512 != known->sha512)
        return std::nullopt;
    const std::scoped_lock lock(*m_mutex);
    m_files.insert(path.toUtf8(), *now);
    return *now;
}

Result<QString> PackageWriter::place(const QString &path)
{
    QString full = m_folder + QLatin1Char('/') + path;
    if (!QDir().mkpath(QFileInfo(full).path()))
        return unwritable(full, QStringLiteral("its folder can't be made"));
    return full;
}

Done PackageWriter::adopt(const QString &path)
{
    const auto sums = sumsOfFile(m_folder + QLatin1Char('/') + path);
    if (!sums)
        return sums.error();
    return note(path, *sums);
}

Result<PackageFile> PackageWriter::open(const QString &path)
{
    const auto full = place(path);
    if (!full)
        return full.error();
    auto file = std::make_unique<QFile>(*full);
    if (!file->open(QIODevice::WriteOnly | QIODevice::Truncate))
        return unwritable(*full, file->errorString());
    return PackageFile(*this, path, std::move(file));
}

Done PackageWriter::add(const QString &path, const QByteArray &bytes)
{
    auto file = open(path);
    if (!file)
        return file.error();
    if (auto written = file->write(bytes); !written)
        return written;
    if (auto closed = file->close(); !closed)
        return closed.error();
    return {};
}

Done PackageWriter::note(const QString &path, const FileSums &sums)
{
    const std::scoped_lock lock(*m_mutex);
    m_files.insert(path.toUtf8(), sums);
    const QByteArray line = sums.sha256.toLatin1() + ' ' + sums.sha512.toLatin1() + ' ' +
                            QByteArray::number(sums.bytes) + ' ' + path.toUtf8() + '\n';
    if (m_journal->write(line) != line.size() || !m_journal->flush())
        return unwritable(m_journal->fileName(), whyUnwritten(*m_journal));
    return {};
}

Done PackageWriter::removeStrangers()
{
    QDirIterator all(m_folder, QDir::Files | QDir::Hidden, QDirIterator::Subdirectories);
    while (all.hasNext()) {
        const QString path = all.next();
        const QString inside = path.mid(m_folder.size() + 1);
        if (inside != journalName && !m_files.contains(inside.toUtf8()) && !QFile::remove(path))
            return unwritable(path, QStringLiteral("it was left by an earlier run and can't be removed"));
    }
    return {};
}

Done PackageWriter::finish()
{
    if (auto removed = removeStrangers(); !removed)
        return removed;
    m_journal->close();
    if (!m_journal->remove())
        return unwritable(m_journal->fileName(), QStringLiteral("it can't be removed"));
    if (QFileInfo::exists(m_target))
        return fail(
            ErrorKind::Duplicate,
            QStringLiteral("%1 came into being meanwhile; the package was not put there.").arg(m_target));
    if (!QDir().rename(m_folder, m_target))
        return unwritable(m_target, QStringLiteral("the folder can't be given its name"));
    return {};
}

void PackageWriter::discard()
{
    if (m_journal)
        m_journal->close();
    QDir(m_folder).removeRecursively();
}

} // namespace holdfast
