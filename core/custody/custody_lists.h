// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/custody_chain.h"
#include "custody/items.h"

#include <QStringList>

namespace holdfast
{

// What the actions of custody share.

/// Plain ids of a list as typed or scanned, each once and known, with everything at `box` or below it and,
/// on demand, all their parts. Usage when nothing is left, Duplicate when an id stands there twice.
[[nodiscard]] Result<QStringList> listedIds(const Database &db, const QStringList &typed, const QString &box,
                                            bool withParts);

/// "held by Ana (locked, ship/lab 2)", "in transit from Ana", "consumed".
[[nodiscard]] QString custodyText(const CustodyPeriod &period);

/// A stated time must not be in the future.
[[nodiscard]] Done checkStatedTime(UtcTime at, UtcTime now);

} // namespace holdfast
