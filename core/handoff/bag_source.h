// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QByteArray>
#include <QString>
#include <functional>
#include <memory>
#include <string_view>
#include <vector>

namespace holdfast
{

/// One file or folder of a bag.
struct BagEntry {
    QString path;     ///< from the bag's base directory, '/' between parts, as it is written there
    qint64 bytes = 0; ///< as stated
    bool folder = false;
    QString link;          ///< target of a symbolic link; links are never followed
    bool special = false;  ///< neither file nor folder nor link: a device, a pipe
    std::size_t index = 0; ///< for the source
    /// Of a name that is no UTF-8: its bytes, legible; such a folder is not looked into.
    QString rawName = {};
};

/// What a zip may unpack to, so that a small file cannot fill a disk: common practice, far above what sensor
/// logs reach.
struct UnpackLimits {
    double greatestRatio = 250; ///< unpacked to packed, for files and for the whole, beyond `harmlessBytes`
    qint64 harmlessBytes = qint64{64} << 20;
    std::size_t mostEntries = 1'000'000;
};

/// A package as it lies on disk: a folder, or a zip file that is read in place and never unpacked. Nothing is
/// written anywhere. Belongs to one thread.
class BagSource
{
public:
    virtual ~BagSource() = default;

    /// Opens a folder or a zip file; a zip whose members all lie in one top folder is the bag in it. Errors:
    /// NotFound, Unreadable, and Refused for what must not even be looked into: a member whose path climbs
    /// out or is absolute, a symbolic link or device in a zip, a name that is there twice, encryption,
    /// headers that contradict each other, more than `limits` allow.
    [[nodiscard]] static Result<std::unique_ptr<BagSource>> open(const QString &path,
                                                                 const UnpackLimits &limits = {});

    [[nodiscard]] const std::vector<BagEntry> &entries() const { return m_entries; }
    [[nodiscard]] const BagEntry *find(const QString &path) const;

    /// Gives the bytes of a file piece by piece; stops at the first error of `take`. Refused when there are
    /// more bytes than stated.
    [[nodiscard]] virtual Done read(const BagEntry &entry,
                                    const std::function<Done(std::string_view)> &take) const = 0;
    /// A whole file of at most `most` bytes; Refused when it is larger, NotFound.
    [[nodiscard]] Result<QByteArray> readAll(const QString &path, qint64 most) const;

    [[nodiscard]] const QString &where() const { return m_where; } ///< the path that was opened
    [[nodiscard]] bool isZip() const { return m_zip; }
    /// Of a zip: its one top folder; empty when the bag lies at its top.
    [[nodiscard]] const QString &topFolder() const { return m_topFolder; }

protected:
    std::vector<BagEntry> m_entries;
    QString m_where, m_topFolder;
    bool m_zip = false;
};

} // namespace holdfast
