// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "ledger/chain.h"
#include "ledger/entry.h"
#include "store/database.h"

#include <functional>

namespace holdfast
{

/// What an action wants to write; the rest of the entry is given by the chain.
struct EntryDraft {
    QString actor;
    UtcTime now{};
    QString verb;
    QJsonObject body; ///< strings, whole numbers, booleans, lists and objects of these
};

/// Appends an entry to the chain of `station`. Must run inside the caller's write transaction.
[[nodiscard]] Result<Entry> appendEntry(const Database &db, const QString &station, const EntryDraft &draft);

/// Reads one station's chain in order of `seq`, or all entries in the one order that every copy of the file
/// agrees on: lamport, then station. `each` may stop the reading by returning an error, which is passed on.
[[nodiscard]] Done forEachEntryOfStation(const Database &db, const QString &station,
                                         const std::function<Done(const Entry &)> &each);
[[nodiscard]] Done forEachEntry(const Database &db, const std::function<Done(const Entry &)> &each);
/// In the same order, those with one of these verbs.
[[nodiscard]] Done forEachEntryWith(const Database &db, const QStringList &verbs,
                                    const std::function<Done(const Entry &)> &each);

/// The heads of all stations, by name.
[[nodiscard]] Result<QMap<QString, ChainHead>> chainHeads(const Database &db);

[[nodiscard]] Result<qint64> countEntries(const Database &db);

} // namespace holdfast
