// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/custody_chain.h"
#include "dive/cruise_file.h"

namespace holdfast
{

/// One line of a specimen's story.
struct HistoryLine {
    UtcTime at{};      ///< when it happened
    UtcTime written{}; ///< when it was written down; later than `at` when it is a late entry
    QString who;       ///< who wrote it
    QString ref;       ///< the entry, "van 123"
    QString verb;      ///< of the entry
    QString about;     ///< id of the item it was said of (a part's story begins with its parent's)
    QString sentence;
    QStringList struck; ///< values that were corrected later, "place: ship/lab 1 -> ship/lab 2 (Ana, reason)"
};

/// The whole story of an item, oldest first: stamp, phases of the dive, sample, slot, tally, fixes and water
/// values, specimen, names, preservation, storage, photographs, seals, hand-overs, every amendment with the
/// value it struck. Until a part was split off, its story is its parent's.
struct History {
    QString id;
    std::vector<HistoryLine> lines;
    CustodyChain custody;
};
[[nodiscard]] Result<History> readHistory(const Database &db, const QString &typedId);

/// The story for people: a line for each entry, what was struck below it, then who had it when.
[[nodiscard]] QString historyText(const History &history);

/// What an entry says of an item, in a sentence without the id.
[[nodiscard]] QString entrySentence(const Entry &entry, const QString &item);

} // namespace holdfast
