// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QString>

namespace holdfast
{

// Whether what takes minutes to make will find its place at the end: looked at before anything is computed.

/// `folder` is there and files can be made in it, which is tried with a small one that goes again. Errors:
/// Usage when it is empty, NotFound when it is no folder, Unwritable with the system's reason.
[[nodiscard]] Done checkOutputFolder(const QString &folder);

/// A file that does not exist yet can be made at `path`. Errors: Duplicate when something is there, else as
/// checkOutputFolder of its folder.
[[nodiscard]] Done checkOutputFile(const QString &path);

} // namespace holdfast
