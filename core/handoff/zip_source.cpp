// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/zip_source.h"

#include "handoff/package_paths.h"

#include <QDir>
#include <QDirIterator>
#include <QFile>
#include <QFileInfo>
#include <QSet>
#include <algorithm>
#include <limits>
#include <sys/stat.h>
#include <zip.h>

namespace holdfast
{

namespace
{

struct CloseZip {
    void operator()(zip_t *zip) const { zip_discard(zip); }
};
using Zip = std::unique_ptr<zip_t, CloseZip>;

struct CloseMember {
    void operator()(zip_file_t *file) const { zip_fclose(file); }
};

Error refused(const QString &path, const QString &why)
{
    return fail(ErrorKind::Refused, QStringLiteral("%1 was refused: %2.").arg(path, why));
}

QString openProblem(int code)
{
    zip_error_t error;
    zip_error_init_with_code(&error, code);
    const QString text = QString::fromUtf8(zip_error_strerror(&error));
    zip_error_fini(&error);
    return text;
}

class ZipSource : public BagSource
{
public:
    static Result<std::unique_ptr<BagSource>> open(const QString &path, const UnpackLimits &limits);
    Done read(const BagEntry &entry, const std::function<Done(std::string_view)> &take) const override;

private:
    Done list(const UnpackLimits &limits);
    Done listMember(zip_uint64_t index, const UnpackLimits &limits);
    Done checkWhole(const UnpackLimits &limits) const;
    void takeOffTopFolder();

    Zip m_handle;
    QSet<QString> m_names;
    qint64 m_unpacked = 0;
};

Done ZipSource::listMember(zip_uint64_t index, const UnpackLimits &limits)
{
    zip_stat_t stat;
    zip_stat_init(&stat);
    if (zip_stat_index(m_handle.get(), index, ZIP_FL_ENC_GUESS, &stat) != 0)
        return refused(m_where, QStringLiteral("its member %1 can't be read").arg(index + 1));
    QString name = QString::fromUtf8(stat.name);
    const bool folder = name.endsWith(QLatin1Char('/'));
    if (folder)
        name.chop(1);
    if (auto good = checkBagPath(name); !good)
        return refused(m_where, good.error().sentence.chopped(1));
    if (m_names.contains(foldedPath(name)) && !folder)
        return refused(m_where,
                       QStringLiteral("the name \"%1\" is there twice (letter case and Unicode form do not "
                                      "count)")
                           .arg(name));
    m_names.insert(foldedPath(name));
    if (stat.encryption_method != ZIP_EM_NONE)
        return refused(m_where, QStringLiteral("\"%1\" is encrypted").arg(name));
    zip_uint8_t system = 0;
    zip_uint32_t attributes = 0;
    zip_file_get_external_attributes(m_handle.get(), index, 0, &system, &attributes);
    const mode_t kind = system == ZIP_OPSYS_UNIX ? (attributes >> 16) & S_IFMT : 0;
    if (kind == S_IFLNK)
        return refused(m_where, QStringLiteral("\"%1\" is a symbolic link").arg(name));
    if (kind != 0 && kind != S_IFREG && kind != S_IFDIR)
        return refused(m_where, QStringLiteral("\"%1\" is a device, pipe or socket").arg(name));
    // As a signed number it would be below all limits.
    constexpr auto greatest = static_cast<zip_uint64_t>(std::numeric_limits<qint64>::max());
    if (stat.size > greatest - static_cast<zip_uint64_t>(m_unpacked))
        return refused(
            m_where,
            QStringLiteral("\"%1\" states %2 bytes, more than a file can have").arg(name).arg(stat.size));
    const auto bytes = static_cast<qint64>(stat.size);
    if (bytes > limits.harmlessBytes &&
        static_cast<double>(bytes) >
            limits.greatestRatio * static_cast<double>(std::max<zip_uint64_t>(1, stat.comp_size)))
        return refused(m_where,
                       QStringLiteral("\"%1\" would unpack to %2 bytes from %3: more than %4 times as many")
                           .arg(name)
                           .arg(bytes)
                           .arg(stat.comp_size)
                           .arg(limits.greatestRatio));
    m_unpacked += bytes;
    m_entries.push_back({name, bytes, folder, {}, false, static_cast<std::size_t>(index)});
    return {};
}

Done ZipSource::checkWhole(const UnpackLimits &limits) const
{
    const qint64 packed = QFileInfo(m_where).size();
    if (m_unpacked > limits.harmlessBytes &&
        static_cast<double>(m_unpacked) > limits.greatestRatio * static_cast<double>(packed))
        return refused(m_where,
                       QStringLiteral("it would unpack to %1 bytes from %2: more than %3 times as many")
                           .arg(m_unpacked)
                           .arg(packed)
                           .arg(limits.greatestRatio));
    // A file that another member takes for its folder cannot be both.
    QSet<QString> files;
    for (const BagEntry &e : m_entries) {
        if (!e.folder)
            files.insert(e.path);
    }
    for (const BagEntry &e : m_entries) {
        if (e.folder)
            continue;
        for (qsizetype slash = e.path.indexOf(QLatin1Char('/')); slash > 0;
             slash = e.path.indexOf(QLatin1Char('/'), slash + 1)) {
            const QString above = e.path.left(slash);
            if (files.contains(above))
                return refused(m_where, QStringLiteral("\"%1\" is a file and a folder at once").arg(above));
        }
    }
    return {};
}

Done ZipSource::list(const UnpackLimits &limits)
{
    const zip_int64_t count = zip_get_num_entries(m_handle.get(), 0);
    if (count < 0 || static_cast<std::size_t>(count) > limits.mostEntries)
        return refused(
            m_where,
            QStringLiteral("it has %1 members; at most %2 are read").arg(count).arg(limits.mostEntries));
    for (zip_int64_t i = 0; i < count; ++i) {
        if (auto done = listMember(static_cast<zip_uint64_t>(i), limits); !done)
            return done;
    }
    if (auto whole = checkWhole(limits); !whole)
        return whole;
    takeOffTopFolder();
    std::sort(m_entries.begin(), m_entries.end(),
              [](const BagEntry &a, const BagEntry &b) { return a.path < b.path; });
    return {};
}

void ZipSource::takeOffTopFolder()
{
    if (m_entries.empty())
        return;
    const QString top = m_entries.front().path.section(QLatin1Char('/'), 0, 0);
    const QString prefix = top + QLatin1Char('/');
    const bool one = std::all_of(m_entries.begin(), m_entries.end(), [&](const BagEntry &e) {
        return e.path.startsWith(prefix) || (e.folder && e.path == top);
    });
    if (!one)
        return;
    m_topFolder = top;
    std::erase_if(m_entries, [&top](const BagEntry &e) { return e.path == top; });
    for (BagEntry &e : m_entries)
        e.path.remove(0, prefix.size());
}

Result<std::unique_ptr<BagSource>> ZipSource::open(const QString &path, const UnpackLimits &limits)
{
    auto source = std::make_unique<ZipSource>();
    source->m_where = path;
    source->m_zip = true;
    int problem = 0;
    source->m_handle.reset(
        zip_open(QFile::encodeName(path).constData(), ZIP_RDONLY | ZIP_CHECKCONS, &problem));
    if (problem == ZIP_ER_EXISTS)
        return refused(path, QStringLiteral("one of its names is there twice"));
    if (!source->m_handle)
        return fail(ErrorKind::Unreadable, QStringLiteral("%1 is neither a folder nor a sound zip file: %2.")
                                               .arg(path, openProblem(problem)));
    if (auto listed = source->list(limits); !listed)
        return listed.error();
    return std::unique_ptr<BagSource>(std::move(source));
}

Done ZipSource::read(const BagEntry &entry, const std::function<Done(std::string_view)> &take) const
{
    const std::unique_ptr<zip_file_t, CloseMember> file(zip_fopen_index(m_handle.get(), entry.index, 0));
    if (!file)
        return fail(ErrorKind::Unreadable,
                    QStringLiteral("%1 in %2 can't be read: %3.")
                        .arg(entry.path, m_where, QString::fromUtf8(zip_strerror(m_handle.get()))));
    std::vector<char> piece(1 << 20);
    qint64 sum = 0;
    for (;;) {
        const zip_int64_t got = zip_fread(file.get(), piece.data(), piece.size());
        if (got < 0)
            return fail(ErrorKind::Unreadable,
                        QStringLiteral("%1 in %2 can't be unpacked: %3.")
                            .arg(entry.path, m_where, QString::fromUtf8(zip_file_strerror(file.get()))));
        if (got == 0)
            return {};
        sum += got;
        if (sum > entry.bytes)
            return refused(m_where, QStringLiteral("\"%1\" unpacks to more than the %2 bytes it states")
                                        .arg(entry.path)
                                        .arg(entry.bytes));
        if (auto taken = take(std::string_view(piece.data(), static_cast<std::size_t>(got))); !taken)
            return taken;
    }
}

bool packedAlready(const QString &path)
{
    static const QStringList endings{
        QStringLiteral(".pdf"), QStringLiteral(".jpg"),  QStringLiteral(".jpeg"),
        QStringLiteral(".png"), QStringLiteral(".zip"),  QStringLiteral(".blocks"),
        QStringLiteral(".mp4"), QStringLiteral(".heic"), QStringLiteral(".webp")};
    return std::any_of(endings.begin(), endings.end(),
                       [&path](const QString &e) { return path.endsWith(e, Qt::CaseInsensitive); });
}

struct ZipWatch {
    const JobControl *job;
};

void onProgress(zip_t *, double share, void *watch)
{
    static_cast<const ZipWatch *>(watch)->job->tell(QStringLiteral("zip"), share);
}

int onCancel(zip_t *, void *watch)
{
    return static_cast<const ZipWatch *>(watch)->job->stop.stop_requested() ? 1 : 0;
}

Done addMember(zip_t *zip, const QString &file, const QString &member)
{
    zip_source_t *const source = zip_source_file(zip, QFile::encodeName(file).constData(), 0, -1);
    const zip_int64_t index =
        source ? zip_file_add(zip, member.toUtf8().constData(), source, ZIP_FL_ENC_UTF_8) : -1;
    if (index < 0) {
        const QString why = QString::fromUtf8(zip_strerror(zip));
        zip_source_free(source);
        return fail(ErrorKind::Unwritable,
                    QStringLiteral("%1 can't be put into the zip: %2.").arg(file, why));
    }
    const auto at = static_cast<zip_uint64_t>(index);
    constexpr zip_uint16_t date1980 = (1 << 5) | 1; // 1980-01-01: the first day a zip can tell
    zip_file_set_dostime(zip, at, 0, date1980, 0);
    zip_file_set_external_attributes(zip, at, 0, ZIP_OPSYS_UNIX,
                                     static_cast<zip_uint32_t>(S_IFREG | 0644) << 16);
    // The fastest deflate: sensor logs lose little by it, and it keeps pace with the checksums.
    zip_set_file_compression(zip, at, packedAlready(member) ? ZIP_CM_STORE : ZIP_CM_DEFLATE, 1);
    return {};
}

} // namespace

Result<std::unique_ptr<BagSource>> openZip(const QString &path, const UnpackLimits &limits)
{
    return ZipSource::open(path, limits);
}

Done zipFolder(const QString &folder, const QString &zipPath, const JobControl &job)
{
    QMap<QByteArray, QString> members;
    const QString top = QFileInfo(zipPath).completeBaseName();
    QDirIterator files(folder, QDir::Files | QDir::Hidden, QDirIterator::Subdirectories);
    while (files.hasNext()) {
        const QString file = files.next();
        if (file == folder + QLatin1Char('/') + journalName)
            continue;
        members.insert((top + file.mid(folder.size())).toUtf8(), file);
    }
    // The library writes beside its target; what a killed run left there is taken away first.
    const QString partial = zipPath + QStringLiteral(".partial");
    const QFileInfo target(partial);
    for (const QString &rest : target.dir().entryList({target.fileName() + QLatin1Char('*')}, QDir::Files))
        target.dir().remove(rest);
    int problem = 0;
    Zip zip(zip_open(QFile::encodeName(partial).constData(), ZIP_CREATE | ZIP_TRUNCATE, &problem));
    if (!zip)
        return fail(ErrorKind::Unwritable,
                    QStringLiteral("%1 can't be made: %2.").arg(zipPath, openProblem(problem)));
    for (auto it = members.begin(); it != members.end(); ++it) {
        if (auto added = addMember(zip.get(), it.value(), QString::fromUtf8(it.key())); !added)
            return added;
    }
    ZipWatch watch{&job};
    zip_register_progress_callback_with_state(zip.get(), 0.01, onProgress, nullptr, &watch);
    zip_register_cancel_callback_with_state(zip.get(), onCancel, nullptr, &watch);
    if (zip_close(zip.get()) != 0) {
        const QString why = QString::fromUtf8(zip_strerror(zip.get()));
        zip.reset();
        QFile::remove(partial);
        if (auto on = job.goOn(); !on)
            return on;
        return fail(ErrorKind::Unwritable, QStringLiteral("%1 can't be written: %2.").arg(zipPath, why));
    }
    static_cast<void>(zip.release()); // closed
    if (!QFile::rename(partial, zipPath)) {
        QFile::remove(partial);
        return fail(ErrorKind::Unwritable, QStringLiteral("%1 can't be given its name.").arg(zipPath));
    }
    return {};
}

} // namespace holdfast
