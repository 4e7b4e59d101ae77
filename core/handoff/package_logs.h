// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/package_writer.h"
#include "store/database.h"
#include "store/sensor_log.h"

namespace holdfast
{

// The sensor logs in a package: `data/logs/raw/dive-NN/` holds the files byte for byte as they were taken in,
// `data/logs/profiles/` how their columns were read, and `data/logs/values/dive-NN/` the values as the
// program stored them, derived and flagged, which are needed only to build the cruise file again.
//
// A values file: one line of JSON (the log's row, its remarks and the lines kept aside, these in base64; key
// `raw` names the raw file), then for each block one line of JSON (seq, firstUs, lastUs, rows, sha256, bytes)
// and that many bytes (store/sensor_blocks.h has their layout).

/// How many logs a package of the cruise holds, and how large they are as they were taken in.
struct LogTotals {
    qint64 files = 0, bytes = 0;
};
[[nodiscard]] Result<LogTotals> logTotals(const Database &db);

/// Where the files of each log stand, by intake.
struct LogPaths {
    QString raw, values, profile;
};
[[nodiscard]] Result<QMap<QString, LogPaths>> logPaths(const Database &db);

/// Writes all logs. Error Tampered when the bytes of one are not those of its SHA-256 in the ledger.
[[nodiscard]] Done writeLogs(PackageWriter &package, const Database &db, const JobControl &job);

} // namespace holdfast
