// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/progress.h"
#include "dive/cruise_file.h"

namespace holdfast
{

/// Puts all entries of `ledger` into the (empty) tables of `tables`, in the order that every station agrees
/// on; the two may be the same database, inside a transaction. With several stations an entry that does not
/// fit in beside another station's is held back whole and listed in `held_back`; with one station it is an
/// error. `progress` is told of every thousandth entry or so.
[[nodiscard]] Done replayLedger(const Database &ledger, const Database &tables, const VerbRules &rules,
                                const Progress &progress = {});

/// Empties the projection tables and replays the ledger into them. Inside the caller's transaction.
[[nodiscard]] Done rebuildInTransaction(const Database &db, const VerbRules &rules,
                                        const Progress &progress = {});

} // namespace holdfast
