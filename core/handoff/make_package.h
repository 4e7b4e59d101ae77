// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "handoff/completeness.h"
#include "handoff/package_writer.h"

namespace holdfast
{

/// What to pack and how.
struct PackageOrder {
    QString cruisePath;
    QString parent;  ///< the folder in which the package appears
    QString earlier; ///< the package of the same cruise that this one follows; empty: the latest in `parent`
    DatasetAbout about;
    QString pictures; ///< a folder to look for photographs in that do not lie beside the cruise file; may be
                      ///< empty
    bool zip = false; ///< one zip file instead of a folder
    bool papers = true; ///< custody sheets and reports as PDF; needs a QGuiApplication
    QString person;
    UtcTime now{};
};

struct MadePackage {
    QString path;
    QString name; ///< "TK26-v1": the name of the folder and the identifier of the bag
    int version = 1;
    qint64 bytes = 0; ///< of all its files
    int files = 0;
    int missing = 0; ///< open points, which are listed in it
    int doubtful = 0;
    int photographs = 0;        ///< linked to what is in the package
    int photographsLeftOut = 0; ///< of them, those that could not be had as they were linked
};

/// Makes the hand-off package of a cruise: a BagIt 1.0 bag that appears under its name whole or not at all.
/// The file is only read, in one snapshot, so people may go on logging. A run that was killed goes on where
/// it stopped; a stopped one (Cancelled) or a failed one leaves nothing. Memory: one dive's logs piece by
/// piece. Errors: Tampered when the ledger or a log does not hold, Duplicate, Unwritable, what reading gives.
[[nodiscard]] Result<MadePackage> makePackage(const PackageOrder &order, const JobControl &job);

/// What the work of a package rests on: a run that was killed goes on only with the same key.
[[nodiscard]] QString packageKey(const QString &ledgerHead);

/// The completeness of a cruise alone.
[[nodiscard]] Result<CompletenessGrid> cruiseCompleteness(const QString &cruisePath,
                                                          const DatasetAbout &about, const JobControl &job);

} // namespace holdfast
