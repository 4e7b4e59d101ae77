// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/bag_source.h"
#include "store/database.h"

namespace holdfast
{

/// What a package of a cruise will be called, and which one it follows.
struct NextPackage {
    QString cruise;
    QString name; ///< "TK26-v2": the name of the folder and the identifier of the bag
    int version = 1;
    QString earlierName; ///< "TK26-v1"; empty: it is the first
    QString earlierPath;
};

/// The latest package of a cruise among the folders and zip files in `parent` ("CODE-vN"); empty: none.
[[nodiscard]] QString latestPackageIn(const QString &parent, const QString &cruise);

/// What an opened package calls itself in its bag-info.txt, and the version in that name. Refused when it is
/// no package of `cruise`.
[[nodiscard]] Result<std::pair<QString, int>> packageVersion(const BagSource &source, const QString &cruise);

/// The package that would be made in `parent` now. `earlier`: the one it follows; empty: the latest in
/// `parent`. Reads little, so that it may be asked before anything is computed. Errors: as BagSource::open,
/// packageVersion.
[[nodiscard]] Result<NextPackage> nextPackage(const Database &db, const QString &parent,
                                              const QString &earlier);

} // namespace holdfast
