// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/tally.h"
#include "dive/feed_setup.h"
#include "dive/last_undo.h"
#include "dive/loadout.h"
#include "dive/readiness.h"
#include "dive/slot_conditions.h"

#include <QMetaType>
#include <memory>

namespace holdfast
{

/// The words this cruise has used, the latest first, each once: what typing is completed from.
struct UsedWords {
    QStringList kinds, descriptions, people, permits, tools, reasons;
};

/// All that the screens show of one dive, read in one go after a commit. Never changed afterwards.
struct Snapshot {
    CruiseInfo cruise;
    QString station;
    std::vector<DiveInfo> dives;
    std::optional<DiveInfo> dive; ///< none while the cruise has no dive
    Loadout loadout;
    std::vector<SlotState> slotStates;
    std::vector<StampInfo> stamps;
    std::vector<SampleInfo> samples;
    std::vector<LidMove> lids;
    Readiness readiness;
    std::vector<TallyLine> tally;
    std::vector<IntakeInfo> intakes;
    std::vector<FeedSetup> feeds; ///< the live feeds of this file's station
    UsedWords used;
    std::optional<LedgerUndo> lastUndo; ///< what the ledger lets this station take back
};
using SnapshotPtr = std::shared_ptr<const Snapshot>;

/// Reads the snapshot of dive `number`; 0 means the last dive planned.
[[nodiscard]] Result<SnapshotPtr> readSnapshot(const CruiseFile &file, int number);

} // namespace holdfast

Q_DECLARE_METATYPE(holdfast::SnapshotPtr)
