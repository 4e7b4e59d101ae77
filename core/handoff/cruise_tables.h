// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/table_spec.h"
#include "store/database.h"

namespace holdfast
{

/// The tables of a package that are read from the cruise file as they stand, in the order of the work. A new
/// table of the cruise file gets its line here; tests/handoff fails until it has one.
[[nodiscard]] const std::vector<TableSpec> &recordTables();

[[nodiscard]] Done writeRecordTable(PackageWriter &package, const Database &db, const TableSpec &spec);

/// Tables of the cruise file that no table of the package holds: none, unless one was forgotten.
[[nodiscard]] Result<QStringList> tablesNotDescribed(const Database &db);

} // namespace holdfast
