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
/// were linked, then by name and at last by SHA-256 in `pictures` and below it, unless that is empty. Says
/// in each item where they are now.
[[nodiscard]] Done writePhotographs(PackageWriter &package, CruiseContent &content,
                                    const QString &cruiseFolder, const QString &pictures,
                                    const JobControl &job);
[[nodiscard]] const TableSpec &photographFilesTable();

/// Says in each item which of its photographs are no longer where they were linked. Looks at their names and
/// sizes only: whether the bytes are the same is seen when they are packed.
void lookForPhotographs(CruiseContent &content, const QString &cruiseFolder);

} // namespace holdfast
