// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/history.h"
#include "handoff/cruise_content.h"
#include "handoff/table_spec.h"

namespace holdfast
{

/// Custody sheet and report of a dive as PDF, `data/papers/`. Needs a QGuiApplication; any thread.
[[nodiscard]] Done writePapers(PackageWriter &package, const Database &db, const DiveRecord &dive,
                               const Track &track, const QString &person, UtcTime now, const JobControl &job);

/// The story of each sample of a dive and of its parts in sentences, `data/histories/<sample>.txt`. Any
/// thread.
[[nodiscard]] Done writeHistories(PackageWriter &package, const Database &db, const HistoryBook &book,
                                  const DiveRecord &dive);

/// The linked photographs with the bytes they were linked with, `data/photographs/`, named by the id of their
/// item; and a table that says of each where it stands or why it is not there. They are looked for where they
/// were linked, and by name in `pictures` and below it, unless that is empty.
[[nodiscard]] Done writePhotographs(PackageWriter &package, const CruiseContent &content,
                                    const QString &cruiseFolder, const QString &pictures,
                                    const JobControl &job);
[[nodiscard]] const TableSpec &photographFilesTable();

} // namespace holdfast
