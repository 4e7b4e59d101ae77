// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "store/database.h"

namespace holdfast
{

/// The station that this copy of a cruise file writes as. Error Malformed when the file does not say.
[[nodiscard]] Result<QString> stationOf(const Database &db);

/// Whether the station has joined the cruise; a copy that was received for reading has not.
[[nodiscard]] Result<bool> hasJoined(const Database &db, const QString &station);

} // namespace holdfast
