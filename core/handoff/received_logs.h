// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/bag_source.h"
#include "store/database.h"

namespace holdfast
{

/// That a package holds the logs it says it holds, once its ledger is in `db`: every intake of the ledger
/// stands in data/tables/log_files.csv, each file that stands there for it is in the package, and no raw log
/// or recording lies there whose values are gone. A row without paths is a log that another station has.
/// Errors: Refused, naming the first that is missing; Malformed.
[[nodiscard]] Done checkLogsAreWhole(const BagSource &source, const Database &db);

} // namespace holdfast
