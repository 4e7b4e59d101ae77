// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/actions.h"

namespace holdfast
{

// What is found at recovery besides what a slot should hold: an answer of the tally and what it brings along,
// in one transaction.

/// Something lay loose in a slot: the slot holds more than is logged there, and the thing becomes a sample
/// that was collected within the dive. Errors as tallySlot() and logFind(): the latter refuses while the dive
/// has no times of launch and deck.
[[nodiscard]] Result<LoggedSample> tallyLooseFind(CruiseFile &file, const Act &act, int dive,
                                                  const QString &slot, const QString &what,
                                                  const KindTable &kinds);

/// What a slot holds by the ledger can't be told apart (`why`: what was seen): each of the samples says so of
/// the others in its description, and the slot's answer is that something else is there. Refused for a slot
/// that holds less than two.
[[nodiscard]] Done tallyAlike(CruiseFile &file, const Act &act, int dive, const QString &slot,
                              const QString &why, const KindTable &kinds);

} // namespace holdfast
