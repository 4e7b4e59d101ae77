// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"
#include "dive/loadout.h"
#include "dive/readers.h"

#include <QMap>

namespace holdfast
{

// Lids and reach: what happens to slots while the vehicle works, and what an open lid means for what lies in
// them.

/// A lid was opened or shut.
struct LidMove {
    QString slot;
    bool open = false;
    UtcTime time{};
};
/// In order of time.
[[nodiscard]] Result<std::vector<LidMove>> readLids(const Database &db, int dive);

/// The lid over several slots (a box with one lid) was opened or shut at a time: one entry a slot, in one
/// transaction. Error NotFound, with nothing written, when the dive lacks one of them; Refused when it is
/// closed. `reason` may be empty.
[[nodiscard]] Done moveLids(CruiseFile &file, const Act &act, int dive, const QStringList &codes, bool open,
                            UtcTime at, const QString &reason = {});
/// Slots came into reach together or went out of it (their tray is stowed). Errors as moveLids().
[[nodiscard]] Done setReaches(CruiseFile &file, const Act &act, int dive, const QStringList &codes,
                              bool reachable, const QString &reason = {});

/// How long a slot lay open, and to what.
struct SlotExposure {
    std::optional<UtcTime> openSince; ///< none: shut, or nothing is known of its lid
    int timesOpened = 0;     ///< since the first of the samples it holds was taken; of an empty slot: in all
    double openS = 0;        ///< seconds it lay open since then, up to `now`
    QStringList takenBeside; ///< ids of samples put into other slots of its box while it lay open so
};

/// The exposure of every slot whose lid was ever moved. A sample counts as placed at the moment it was taken;
/// what became void does not count, what was lost does (it was there). Pure.
[[nodiscard]] QMap<QString, SlotExposure> slotExposures(const Loadout &loadout,
                                                        const std::vector<SampleInfo> &samples,
                                                        const std::vector<LidMove> &lids, UtcTime now);

} // namespace holdfast
