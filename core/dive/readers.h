// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "dive/placement.h"
#include "store/database.h"

#include <optional>
#include <vector>

namespace holdfast
{

// What screens and papers read. Each is a snapshot: nothing in it changes when the file does.

struct CruiseInfo {
    QString code;
    QString title;
    QString idPattern;
};

struct DiveInfo {
    int number = 0;
    QString vehicle;
    QString loadout;     ///< the template's name
    QString loadoutJson; ///< the loadout as it was when the dive was planned
    std::optional<UtcTime> launched, onBottom, offBottom, onDeck, closed;
};

struct StampInfo {
    QString uuid;
    int dive = 0;
    UtcTime time{};
    QString by;
    QString state; ///< waiting, sample, failed, set aside
    QString reason;
    QString seen; ///< what the screen showed at that moment, JSON
};

struct SampleInfo {
    QString id, uuid, stamp;
    int dive = 0;
    int number = 0;
    UtcTime time{};
    bool momentKnown = true; ///< false for a find at recovery: `time` is when it was found, not taken
    QString slot;            ///< empty when it lies in none
    QString kind, family, description, tool, askedBy, permit, loggedBy;
    int count = 1;
    QString state; ///< held, lost, void
    QStringList warnings;
};

struct AmendmentInfo {
    QString sample, field, oldValue, newValue, reason, by;
    UtcTime time{};
};

struct IntakeInfo {
    QString uuid, profile, kind, fileName, sha256, by;
    int dive = 0;
    qint64 bytes = 0, accepted = 0, repaired = 0, rejected = 0;
    std::optional<UtcTime> first, last;
    UtcTime taken{};
    bool replaced = false; ///< a corrected log has taken its place
};

[[nodiscard]] Result<CruiseInfo> readCruise(const Database &db);
[[nodiscard]] Result<std::vector<DiveInfo>> readDives(const Database &db);
/// Error NotFound, naming the dives that are there, when there is none with this number.
[[nodiscard]] Result<DiveInfo> readDive(const Database &db, int number);
/// In the order of unloading.
[[nodiscard]] Result<std::vector<SlotState>> readSlots(const Database &db, int dive);
/// In order of time; all states.
[[nodiscard]] Result<std::vector<StampInfo>> readStamps(const Database &db, int dive);
[[nodiscard]] Result<StampInfo> readStamp(const Database &db, const QString &uuid);
/// In order of number.
[[nodiscard]] Result<std::vector<SampleInfo>> readSamples(const Database &db, int dive);
/// By id. Error NotFound when no sample has it.
[[nodiscard]] Result<SampleInfo> readSample(const Database &db, const QString &id);
[[nodiscard]] Result<std::vector<AmendmentInfo>> readAmendments(const Database &db, int dive);
[[nodiscard]] Result<std::vector<IntakeInfo>> readIntakes(const Database &db, int dive);

} // namespace holdfast
