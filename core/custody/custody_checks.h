// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/hand_over.h"

#include <QJsonArray>

namespace holdfast
{

// What the acts of custody check before they write; each error is a sentence for the person who acts.

/// A stated time as entries keep it.
[[nodiscard]] inline qint64 statedUs(UtcTime t)
{
    return static_cast<qint64>(microsecondsOf(t));
}

/// A place as it is kept, or "" for none.
[[nodiscard]] Result<QString> placeOrNone(const QString &place);

/// The confirmation of a party: by the party itself, by a known means. Without one, when somebody else acts,
/// it says so: {"by": who entered it, "means": "none"}. Refused when the party has a PIN at this station and
/// it was neither used nor drawn instead, nor a reason given.
[[nodiscard]] Result<QJsonObject> checkedConfirmation(const CruiseFile &file, const Act &act,
                                                      Confirmation given, const QString &party);

/// May `who` relinquish or end each of these at `at`? Refused, naming the holder.
[[nodiscard]] Done checkHolder(const Database &db, const QStringList &ids, const QString &who, UtcTime at);

} // namespace holdfast
