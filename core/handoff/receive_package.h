// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/package_writer.h"

namespace holdfast
{

struct ReceivedPackage {
    QString cruise;
    qint64 entries = 0;
    int logs = 0;
    int photographs = 0; ///< that lie in the package and stay there: a cruise file holds no pictures
    QString head;        ///< of the ledger, as printed papers carry it
};

/// Builds a cruise file again from a hand-off package (folder or zip): the same entries, tables made from
/// them, and the logs byte for byte. The package is checked first and never unpacked; nothing is written but
/// `out`, which appears whole, after its audit, or not at all. `station` is what the new copy writes as,
/// should it ever write: not one that is in the ledger, or two copies would write one chain. Errors: Refused
/// with the exact reason (not a valid bag, fetch.txt, links, names that clash, no ledger), Tampered,
/// Malformed, Duplicate when `out` is there already, Cancelled.
[[nodiscard]] Result<ReceivedPackage> receivePackage(const QString &package, const QString &out,
                                                     const QString &station, const JobControl &job);

} // namespace holdfast
