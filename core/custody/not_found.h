// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"

namespace holdfast
{

/// A sample that was not in its slot when that was unloaded, and of which nobody has said since what became
/// of it.
struct NotFound {
    QString sample, slot, by; ///< by: who found the slot empty
    int dive = 0;
    UtcTime at{};
};

/// Of all dives, in order of dive and unloading. It ends with what somebody does: records it as lost, moves
/// it to another slot, answers the tally anew, splits, preserves, stores or receives it.
[[nodiscard]] Result<std::vector<NotFound>> readNotFound(const Database &db);

/// "was not found in slot B1 when it was unloaded": without the id.
[[nodiscard]] QString notFoundWords(const NotFound &missing);

/// Answers a slot that holds something by the ledger and is empty, with what became of that: "lost", the slot
/// where it is now, or nothing when nobody knows yet. The note is kept with the answer. Usage: neither of
/// these.
[[nodiscard]] Done tallyEmpty(CruiseFile &file, const Act &act, int dive, const QString &slot,
                              const QString &whereNow, const QString &note = {});

} // namespace holdfast
