// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"
#include "dive/readers.h"

#include <QSet>

namespace holdfast
{

/// Takes a log out of use with a reason (it was taken into the wrong dive, or is damaged), or puts one back
/// that was out of use; another version of it (one it corrects or that corrects it, over any number of steps)
/// that is in use then goes out of use. The log, its values and its
/// entry stay in the file. `named`: its file name, uuid or SHA-256, or the beginning of one of these two (8
/// characters or more). Errors: NotFound; Duplicate when several logs have the name; Refused when it is so
/// already.
/// @return what it was done to, as it is now.
[[nodiscard]] Result<IntakeInfo> setLogUse(CruiseFile &file, const Act &act, int dive, const QString &named,
                                           bool inUse, const QString &reason);

/// The logs of a dive, by uuid, that are out of use because a corrected one has taken their place.
[[nodiscard]] Result<QSet<QString>> correctedLogs(const Database &db, int dive);

[[nodiscard]] VerbRules logUseVerbRules();

} // namespace holdfast
