// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "store/database.h"

#include <optional>

namespace holdfast
{

/// Anything that is in somebody's custody under an id: a sample, a specimen or a subsample.
struct Item {
    QString id;
    QString sample; ///< the sample it is or comes from
    QString parent; ///< empty for a sample
    int dive = 0;
    UtcTime begun{}; ///< sample: its stamp; specimen: when it was split off
    QString by;      ///< who logged it or split it off
    QString what;    ///< kind or material
    QString purpose; ///< empty for a sample
    QString state;   ///< of the sample: held, lost, void; a specimen can be void itself
};

/// By id as typed or scanned (a check character is checked and taken off), or by a blank label that is bound
/// to it. NotFound when nothing has it; Malformed for a wrong check character.
[[nodiscard]] Result<Item> readItem(const Database &db, const QString &typedId);

/// As readItem, but Refused when its sample is lost or void, when it is consumed, lost or destroyed itself,
/// and while it is in transit.
[[nodiscard]] Result<Item> readItemAtHand(const Database &db, const QString &typedId);

/// A positive decimal number as text, as records keep measured values; "" stays "". Error Usage names `what`.
[[nodiscard]] Result<QString> measuredText(const QString &text, const QString &what);

} // namespace holdfast
