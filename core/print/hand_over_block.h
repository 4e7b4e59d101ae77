// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "print/custody_sheet.h"
#include "print/sheet_flow.h"

namespace holdfast
{

/// Height that a hand-over takes on a sheet; mm.
[[nodiscard]] double handOverHeightMm();
/// Height of this one, which is more where its items are named; mm.
[[nodiscard]] double handOverHeightMm(const HandOver &handOver);

/// The relinquished by / received by block: what is recorded is printed, what is not is a line or boxes to
/// fill in by hand. Nothing about the receiver is ever filled in beforehand. `number` counts the hand-overs
/// from 1.
void drawHandOver(SheetFlow &flow, const HandOver &handOver, int number);

/// Small squares with a word behind each, from left to right; for conditions that are ticked with a pencil.
void drawTickBoxes(SheetFlow &flow, const QRectF &areaMm, const QStringList &words, double sizePt);

} // namespace holdfast
