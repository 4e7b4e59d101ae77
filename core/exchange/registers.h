// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "ledger/entry.h"

#include <vector>

namespace holdfast
{

/// One thing that an entry sets and that can have one value only: the holder of an item, the slot of a
/// sample, the answer of the tally for a slot.
struct RegisterWrite {
    QString subject; ///< "TK26-01-017", "dive 1 B2"
    QString field;   ///< "holder", "slot"
    QString value;   ///< as a person reads it
    qint64 atUs = 0; ///< when it was done, where the last one by time counts; else 0
};

/// What an entry sets; nothing for one that only adds (a photograph, a new sample).
[[nodiscard]] std::vector<RegisterWrite> registersOf(const Entry &entry);

/// Whether the verb is known here, as one that sets something or as one that only adds. A verb that is not
/// would be merged without anybody being told of a contradiction.
[[nodiscard]] bool isKnownToRegisters(const QString &verb);

} // namespace holdfast
