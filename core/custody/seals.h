// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/custody_lists.h"
#include "dive/cruise_file.h"

namespace holdfast
{

// Custody seals: placed so that opening must break them; a number is unique and never used again (EPA
// practice). A broken seal that nobody recorded breaking is a finding.

/// A seal's number as it is kept: capital letters, digits, hyphens, at most 40. Usage otherwise.
[[nodiscard]] Result<QString> checkedSeal(const QString &number);

struct SealDetails {
    QString seal;
    QStringList ids; ///< what it closes; or
    QString box;     ///< all that is at hand at this place or below it
    QString reason;
    UtcTime at{};
};
/// Duplicate when the number was used before, whatever became of it.
[[nodiscard]] Result<ListedItems> applySeal(CruiseFile &file, const Act &act, const SealDetails &details);

enum class SealSight { Intact, Broken, Missing };
/// Somebody looked at it.
[[nodiscard]] Done inspectSeal(CruiseFile &file, const Act &act, const QString &seal, SealSight sight,
                               const QString &remark, UtcTime at);
/// Somebody opened it, with a reason. Refused when it is not in force.
[[nodiscard]] Done breakSeal(CruiseFile &file, const Act &act, const QString &seal, const QString &reason,
                             UtcTime at);

struct SealInfo {
    QString seal;
    QStringList items;
    QString state; ///< what was last recorded: applied, intact, broken, found broken, found missing
    QString by, reason;
    UtcTime time{};
    [[nodiscard]] bool inForce() const
    {
        return state == QLatin1String("applied") || state == QLatin1String("intact");
    }
};
[[nodiscard]] Result<SealInfo> readSeal(const Database &db, const QString &seal);

[[nodiscard]] VerbRules sealVerbRules();

} // namespace holdfast
