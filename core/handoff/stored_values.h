// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/bag_source.h"
#include "handoff/package_writer.h"
#include "store/database.h"

namespace holdfast
{

/// Puts one log of a package back into the sensor log of a cruise file, from its values file (package_logs.h)
/// and its raw file. Error Malformed names the file and what is wrong; Tampered when the raw file is not the
/// stated one.
[[nodiscard]] Done restoreLog(const Database &db, const BagSource &source, const BagEntry &values,
                              const JobControl &job);

} // namespace holdfast
