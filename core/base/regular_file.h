// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QFileInfo>

namespace holdfast
{

/// What is to be read whole must be a file: a folder can't be read, and a pipe that nobody writes to would be
/// waited for without end. What is not there passes; opening it says so.
[[nodiscard]] inline Done wantRegularFile(const QString &path)
{
    const QFileInfo info(path);
    if (!info.exists() || info.isFile())
        return {};
    return fail(ErrorKind::Unreadable, QStringLiteral("%1 is %2, not a file.")
                                           .arg(path, info.isDir() ? QStringLiteral("a folder")
                                                                   : QStringLiteral("a pipe or a device")));
}

} // namespace holdfast
