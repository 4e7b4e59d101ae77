// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QString>
#include <QStringList>

namespace holdfast
{

/// Whether a result may be written to `path`. Error Refused when a database stands there (a cruise file, or
/// one of its side files), so that a mistyped name can't cost the record; Usage for an empty name.
[[nodiscard]] Done mayWriteOver(const QString &path);

/// Error Usage when `path` is one of the files that are read for the result, also by another name or a link.
[[nodiscard]] Done isNoInput(const QString &path, const QStringList &inputs);

} // namespace holdfast
