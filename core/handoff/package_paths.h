// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QSet>
#include <QString>

namespace holdfast
{

// Names of files in a package: what every system can hold, and what must be refused.
// RFC 8493 sections 5.1 and 6.1; Windows' reserved names from common practice.

/// A name that any file system takes: NFC, without control characters, separators and < > : " | ? * % (a
/// percent sign would have to be encoded in manifests), no blank or full stop at the end, not a reserved
/// device name, at most 120 bytes. What is not allowed becomes '_'; an empty name becomes "file".
[[nodiscard]] QString portableName(const QString &name);

/// Gives out names in one folder so that no two differ only in letter case or Unicode form.
class UniqueNames
{
public:
    /// The portable form of `name`, with "-2", "-3" … before its ending when it was given before.
    [[nodiscard]] QString take(const QString &name);

private:
    QSet<QString> m_taken;
};

/// What tells two paths apart on a system that knows neither letter case nor Unicode form.
[[nodiscard]] QString foldedPath(const QString &path);

/// A path inside a bag. Error Refused, with the exact reason, for one that is absolute, climbs out, begins
/// with '~', holds a drive letter, a backslash, a %NAME%, a control character or an empty or "." part.
[[nodiscard]] Done checkBagPath(const QString &path);
/// A path that is allowed but cannot be made on every system: the reason; empty when it can.
[[nodiscard]] QString notPortable(const QString &path);

/// The three byte values that manifests encode: LF, CR and percent sign (RFC 8493 section 2.1.3).
[[nodiscard]] QString encodedPath(const QString &path);
[[nodiscard]] QString decodedPath(const QString &text);

} // namespace holdfast
