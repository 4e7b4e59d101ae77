// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/hand_over.h"
#include "print/custody_sheet.h"

namespace holdfast
{

/// A recorded hand-over as blocks of a sheet: one for each answer of a receiver, and one with nothing filled
/// in at the receiver's side while something is not answered yet.
[[nodiscard]] Result<std::vector<HandOver>> handOverBlocks(const Database &db, const HandOverInfo &info);

/// Every hand-over that something of this dive was part of, oldest first.
[[nodiscard]] Result<std::vector<HandOver>> handOversOfDive(const Database &db, int dive);

/// What became of an item in a hand-over, in a word: accepted, refused, withdrawn, in transit.
[[nodiscard]] QString handOverWord(const HandOverInfo &info, const QString &item);

} // namespace holdfast
