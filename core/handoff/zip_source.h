// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/bag_source.h"
#include "handoff/package_writer.h"

namespace holdfast
{

/// As BagSource::open, for a zip file.
[[nodiscard]] Result<std::unique_ptr<BagSource>> openZip(const QString &path, const UnpackLimits &limits);

/// Packs a folder into one zip file with the folder's name as its one top folder: members in order of their
/// UTF-8 bytes, names marked as UTF-8, times 1980-01-01, so that the same bytes give the same zip. The file
/// appears whole or not at all. What is packed already (zip, pictures, PDF, blocks) is stored.
[[nodiscard]] Done zipFolder(const QString &folder, const QString &zipPath, const JobControl &job);

} // namespace holdfast
