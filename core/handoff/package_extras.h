// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/cruise_content.h"
#include "handoff/table_spec.h"

namespace holdfast
{

/// Custody sheet and report of a dive as PDF, `data/papers/`. Needs a QGuiApplication; any thread.
[[nodiscard]] Done writePapers(PackageWriter &package, const Database &db, const DiveRecord &dive,
                               const Track &track, const QString &person, UtcTime now, const JobControl &job);

/// The linked photographs that are still where they were linked, with the same bytes, `data/photographs/`,
/// named by the id of their item; and a table that says of each where it stands or why it is not there.
[[nodiscard]] Done writePhotographs(PackageWriter &package, const CruiseContent &content,
                                    const QString &cruiseFolder, const JobControl &job);
[[nodiscard]] const TableSpec &photographFilesTable();

} // namespace holdfast
