// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/custody_chain.h"
#include "custody/items.h"
#include "custody/preservation.h"

#include <QStringList>

namespace holdfast
{

// What the actions of custody share.

/// What lies at a place, or anywhere. A place keeps its record of what was put there last, also of what is
/// void, lost, used up or on its way to somebody now: nobody chose those one by one, so they don't stand in
/// the way of the rest. They are left out, each with the sentence that says why.
struct AtPlace {
    std::vector<StorageInfo> atHand; ///< by place, then by id
    QStringList leftOut;
};
/// `place` and below it; empty: everywhere.
[[nodiscard]] Result<AtPlace> readAtHand(const Database &db, const QString &place);

struct ListedItems {
    QStringList ids;
    QStringList leftOut; ///< as in AtPlace
};
/// Plain ids of a list as typed or scanned, each once and known, with everything that is at hand at `box` or
/// below it and, on demand, all their parts. Usage when nothing is left, Duplicate when an id stands there
/// twice.
[[nodiscard]] Result<ListedItems> listedIds(const Database &db, const QStringList &typed, const QString &box,
                                            bool withParts);

/// "held by Ana (locked, ship/lab 2)", "in transit from Ana", "consumed".
[[nodiscard]] QString custodyText(const CustodyPeriod &period);

/// A stated time must not be in the future.
[[nodiscard]] Done checkStatedTime(UtcTime at, UtcTime now);

} // namespace holdfast
