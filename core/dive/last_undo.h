// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"

#include <functional>
#include <optional>

namespace holdfast
{

/// The reason that an entry gives when it takes back what was just done.
inline const QString takenBack = QStringLiteral("taken back");

/// Takes back that a stamp became this sample: the sample is void and its moment waits again, as a stamp of
/// its own. Refused when the dive is closed or the sample is void.
[[nodiscard]] Done takeBackSample(CruiseFile &file, const Act &act, const QString &id);

/// What takes an action back: an amendment, the record keeps both.
struct LedgerUndo {
    QString entry;    ///< uuid of what would be taken back
    QString sentence; ///< "the stamp of 14:22:07"
    std::function<Done(CruiseFile &, const Act &)> work;
};

/// The last thing that a person did while collecting at this file's station, by the ledger, so that it can be
/// taken back after the program was closed: a stamp, a failed attempt or one set aside, a sample that was
/// logged or moved, lids or the reach of slots. None when the last thing was another, or was itself a taking
/// back. What the program writes by itself (recordings, logs) is passed over.
[[nodiscard]] Result<std::optional<LedgerUndo>> lastUndo(const CruiseFile &file);

} // namespace holdfast
