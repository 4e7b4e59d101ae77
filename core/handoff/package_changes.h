// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/bag_source.h"
#include "handoff/package_writer.h"
#include "ledger/chain.h"
#include "store/database.h"

#include <optional>

namespace holdfast
{

/// The package that a new one follows.
struct EarlierPackage {
    QString name; ///< "TK26-v1"
    int version = 1;
    QMap<QString, ChainHead> heads; ///< of its ledger
    QString ledgerHead;             ///< as its papers carry it
    QByteArray samples, specimens;  ///< its tables, as they stand in it
};

/// Reads what a follower must know. Errors: as BagSource::open; Refused when it is no package of `cruise`.
[[nodiscard]] Result<EarlierPackage> readEarlierPackage(const QString &path, const QString &cruise);

/// Its ledger must be the beginning of this one, station by station: else Refused, since it is of another
/// record.
[[nodiscard]] Done checkGrownFrom(const EarlierPackage &earlier, const Database &db);

/// `data/changes/`: README.txt with the version, entries.csv with every entry written since (who, what, about
/// what, why), values.csv with every cell of samples.csv and specimens.csv that is another now. Must run
/// after those tables were written. Without an earlier package only the README, which says so.
[[nodiscard]] Done writeChanges(PackageWriter &package, const Database &db,
                                const std::optional<EarlierPackage> &earlier, const QString &name);

} // namespace holdfast
