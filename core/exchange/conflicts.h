// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "dive/cruise_file.h"

#include <QStringList>
#include <vector>

namespace holdfast
{

/// One side of a conflict: what an entry says.
struct ConflictSide {
    QString entry; ///< uuid
    QString station;
    qint64 seq = 0;
    QString by;
    UtcTime time{};
    QString says;       ///< the value it gave, in words
    bool shown = false; ///< this is the one the tables show
};

/// Something that stations did without knowing of each other and that can't all be so. Nothing of it is lost
/// or chosen for good: the tables show the later one until a person has said what is right.
struct Conflict {
    enum class Kind { Value, SameId, SameSlot, HeldBack };
    Kind kind = Kind::Value;
    QString key;   ///< short, the same on every station: "C-3f9a12"
    QString about; ///< "TK26-01-017: holder"
    QString advice;
    std::vector<ConflictSide> sides;
};

/// The conflicts that are still open, in the order of the ledger. A conflict of values ends when a later
/// entry of somebody who had seen all sides sets the value again, or when a person settles it with a reason.
[[nodiscard]] Result<std::vector<Conflict>> openConflicts(const Database &db);

/// A person has looked at a conflict, and what the tables show now stands; the reason is kept. An id given
/// twice is settled by giving the later thing a new id from this station's numbers, which is returned (else
/// empty). Error NotFound when no open conflict has this key.
[[nodiscard]] Result<QString> settleConflict(CruiseFile &file, const Act &act, const QString &key,
                                             const QString &reason);

/// Of a conflict about a dive's plan: the plan that this station gave shall be it. Refused for other
/// conflicts, which a correction of the thing itself ends. Error NotFound also for a station that has no
/// side.
[[nodiscard]] Done takePlanOf(CruiseFile &file, const Act &act, const QString &key, const QString &station,
                              const QString &reason);

/// A side of a conflict that a person may choose.
struct Choice {
    bool possible = false; ///< false: it is brought about by a correction, not by settling
    QString outcome;       ///< what will stand when it is chosen; else how it is brought about
};
/// Pure. What settling a conflict in favour of its side `side` (a row of `sides`) comes to: of a side that is
/// shown, settleConflict; of any plan, takePlanOf with that side's station.
[[nodiscard]] Choice choiceOf(const Conflict &conflict, std::size_t side);
/// Whether it is about the plan of a dive, of which any side can be taken.
[[nodiscard]] bool isAboutPlan(const Conflict &conflict);

/// Entries that are in no table and that no person has settled yet, as "van entry 17: sample logged, but …".
[[nodiscard]] Result<QStringList> openHeldBack(const Database &db);

} // namespace holdfast
