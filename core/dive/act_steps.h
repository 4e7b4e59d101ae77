// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"

namespace holdfast
{

// Steps that acts on the record share, those of collecting and those of custody.

/// Error Usage when nobody says why.
[[nodiscard]] Done wantReason(const QString &reason);

/// Records an entry where its own values are not wanted. Call it in a transaction of the file.
[[nodiscard]] Done recorded(CruiseFile &file, const Act &act, const QString &verb, const QJsonObject &body);

} // namespace holdfast
