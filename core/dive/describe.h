// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"

namespace holdfast
{

// What papers and packages call the cruise and its dives. Said again it is a correction; both stay.

/// The cruise's title; one line, empty: none.
[[nodiscard]] Done titleCruise(CruiseFile &file, const Act &act, const QString &title);

/// How the cruise numbers its samples (IdPattern). Refused once a sample was logged or a blank label printed:
/// ids that are on labels never change.
[[nodiscard]] Done setIdPattern(CruiseFile &file, const Act &act, const QString &pattern);

/// Where a dive is or was, in words: "Invented Seamount, north flank"; one line, empty: not said.
[[nodiscard]] Done nameSite(CruiseFile &file, const Act &act, int dive, const QString &site);
/// Empty when nobody has said it.
[[nodiscard]] Result<QString> readSite(const Database &db, int dive);

[[nodiscard]] VerbRules describeVerbRules();

} // namespace holdfast
