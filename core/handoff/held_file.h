// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QByteArray>
#include <QString>

namespace holdfast
{

/// A file that says by being locked that somebody is at work. The lock is the system's (flock) and not what
/// the file holds: it ends with the process, however that ends, so nothing that a killed run or a power cut
/// leaves behind, an empty file least of all, can be taken for somebody at work. The file goes with the
/// object.
class HeldFile
{
public:
    /// Makes and locks the file, or takes over one that nobody holds. Errors: Busy when it is held,
    /// Unwritable when it can't be made or its file system knows no locks.
    [[nodiscard]] static Result<HeldFile> take(const QString &path);

    HeldFile(HeldFile &&other) noexcept;
    HeldFile &operator=(HeldFile &&other) noexcept;
    HeldFile(const HeldFile &) = delete;
    HeldFile &operator=(const HeldFile &) = delete;
    ~HeldFile();

private:
    HeldFile(QByteArray path, int descriptor) : m_path(std::move(path)), m_descriptor(descriptor) {}
    void letGo();

    QByteArray m_path; ///< as the file system has it
    int m_descriptor = -1;
};

} // namespace holdfast
