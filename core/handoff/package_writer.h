// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/double_digest.h"
#include "handoff/held_file.h"

#include <QFile>
#include <QMap>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <stop_token>

namespace holdfast
{

/// How a long job is watched and stopped. `stop` is asked between pieces of work and gives Error Cancelled.
struct JobControl {
    std::stop_token stop;
    std::function<void(const QString &doing, double share)> progress; ///< share of the whole, 0 .. 1

    [[nodiscard]] Done goOn() const;
    void tell(const QString &doing, double share) const;
};

class PackageWriter;

/// The journal of a package in the making, in its top folder; never part of it.
inline const QString journalName = QStringLiteral(".journal");

/// One file of a package on its way to disk. A file that is not closed is not part of the package.
class PackageFile
{
public:
    /// Error Unwritable names the file and the reason (a full disk, …).
    [[nodiscard]] Done write(std::string_view bytes);
    [[nodiscard]] Done write(const QByteArray &bytes)
    {
        return write(std::string_view(bytes.constData(), static_cast<std::size_t>(bytes.size())));
    }
    /// Ends the file, notes its sums in the journal, and gives them.
    [[nodiscard]] Result<FileSums> close();

private:
    friend class PackageWriter;
    PackageFile(PackageWriter &writer, QString path, std::unique_ptr<QFile> file)
        : m_writer(&writer), m_path(std::move(path)), m_file(std::move(file))
    {
    }
    PackageWriter *m_writer;
    QString m_path;
    std::unique_ptr<QFile> m_file;
    std::unique_ptr<DoubleDigest> m_digest = std::make_unique<DoubleDigest>();
};

/// Builds a folder that appears under its name whole or not at all. Work goes on in `<name>.partial` beside
/// it; each finished file is noted with its sums in a journal there, so that a run that was killed goes on
/// where it stopped. finish() renames the folder; discard() removes it, as does an object that goes without
/// either and was told to (Cancelled); a killed run leaves it for the next one. Files of one package may be
/// written on several threads, each file on one.
class PackageWriter
{
public:
    /// `key` says what the package is made from; work left over from another key is removed and begun anew.
    /// Errors: Duplicate when something has the name already, NotFound when `parent` is no folder, Busy when
    /// another program makes it just now, Unwritable.
    [[nodiscard]] static Result<PackageWriter> begin(const QString &parent, const QString &name,
                                                     const QString &key);

    /// The sums of a file that an earlier run finished and whose bytes still have them; nothing otherwise.
    [[nodiscard]] std::optional<FileSums> finished(const QString &path);

    /// Begins a file; folders are made as needed. Path with '/' inside the package.
    [[nodiscard]] Result<PackageFile> open(const QString &path);
    /// A whole small file.
    [[nodiscard]] Done add(const QString &path, const QByteArray &bytes);

    /// For a file that something else writes: its full path, the folder made. adopt() then takes it in.
    [[nodiscard]] Result<QString> place(const QString &path);
    [[nodiscard]] Done adopt(const QString &path);

    /// The files of this run (and those taken over), by path in order of their UTF-8 bytes.
    [[nodiscard]] const QMap<QByteArray, FileSums> &files() const { return m_files; }
    [[nodiscard]] QString folder() const { return m_folder; }

    /// Removes what an earlier run left and this one did not write.
    [[nodiscard]] Done removeStrangers();
    /// Does that, removes the journal and gives the folder its name.
    [[nodiscard]] Done finish();
    /// Leaves nothing behind.
    void discard();

private:
    friend class PackageFile;
    PackageWriter(QString folder, QString target) : m_folder(std::move(folder)), m_target(std::move(target))
    {
    }
    [[nodiscard]] Done openJournal(const QString &key);
    [[nodiscard]] Done note(const QString &path, const FileSums &sums);

    QString m_folder, m_target;
    std::unique_ptr<std::mutex> m_mutex = std::make_unique<std::mutex>(); ///< of the journal and m_files
    std::optional<HeldFile> m_lock; ///< beside the folder while it is being made
    std::unique_ptr<QFile> m_journal;
    QMap<QString, FileSums> m_earlier;
    QMap<QByteArray, FileSums> m_files;
};

} // namespace holdfast
