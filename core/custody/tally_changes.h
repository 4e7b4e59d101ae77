// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "store/database.h"

#include <QHash>

namespace holdfast
{

/// What has changed in the slots of a dive since each was tallied, so that its answer is about something
/// else now: by the slot's code, "TK26-01-002 was logged there". A slot whose last answer still holds has no
/// key. Before and after are those of the one order of all entries (ledger_store.h), which every station
/// arrives at.
///
/// Not counted is what the answer itself has said already: after "extra" or "different", what is logged there
/// as found at recovery; after "empty" or "different", that what the ledger had there is lost or void.
[[nodiscard]] Result<QHash<QString, QString>> changedSinceTally(const Database &db, int dive);

} // namespace holdfast
