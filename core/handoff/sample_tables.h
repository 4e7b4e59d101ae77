// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/cruise_content.h"
#include "handoff/package_logs.h"
#include "handoff/table_spec.h"

namespace holdfast
{

/// The tables that hold samples with their computed values, and where each log and photograph stands.
[[nodiscard]] const TableSpec &samplesTable();
[[nodiscard]] const TableSpec &sampleValuesTable();
[[nodiscard]] const TableSpec &trackTable();
[[nodiscard]] const TableSpec &logFilesTable();
[[nodiscard]] const TableSpec &custodyTable();
[[nodiscard]] const TableSpec &custodyFindingsTable();

[[nodiscard]] Done writeSampleTables(PackageWriter &package, const CruiseContent &content);
/// Who had each item, stretch by stretch, and what does not fit together in it.
[[nodiscard]] Done writeCustodyTables(PackageWriter &package, const CruiseContent &content);
[[nodiscard]] Done writeLogFilesTable(PackageWriter &package, const CruiseContent &content,
                                      const QMap<QString, LogPaths> &paths);

/// One measured quantity of a sample, for the table and for Darwin Core.
struct WaterQuantity {
    const char *name; ///< "temperature"
    const char *unit;
    const WaterValue *value;
    int decimals;
};
[[nodiscard]] std::vector<WaterQuantity> quantitiesOf(const WaterValues &water);

/// "pass", "suspect", …: the words of the QARTOD flags.
[[nodiscard]] QString flagWord(int flag);

} // namespace holdfast
