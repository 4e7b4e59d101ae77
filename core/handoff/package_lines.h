// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/bag_source.h"
#include "handoff/package_writer.h"
#include "store/database.h"

namespace holdfast
{

// The lines that live feeds sent, as the host received them. `data/logs/received/dive-NN/<feed>.txt` holds
// them as text, one line each: the host's time of receipt (UTC, microseconds), a tab, the line.
// `data/logs/values/dive-NN/<feed>.received` holds the same as stored, to build the cruise file again: one
// line of JSON about the recording, then for each block one line of JSON (firstUs, lastUs, lines, bytes,
// sha256, packed) and that many bytes (`packed`; feed/line_pack.h has their layout).

/// Writes all recordings. Error Tampered when the blocks of one do not hold.
[[nodiscard]] Done writeReceivedLines(PackageWriter &package, const Database &db, const JobControl &job);

/// Puts a recording back from its `.received` file.
[[nodiscard]] Done restoreReceivedLines(const Database &db, const BagSource &source, const BagEntry &values,
                                        const JobControl &job);

} // namespace holdfast
