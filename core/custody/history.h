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

/// The stories of many items, for which the ledger is read only once. A snapshot; may be asked on any thread,
/// with that thread's own connection to the same state of the file.
class HistoryBook
{
public:
    [[nodiscard]] static Result<HistoryBook> readAll(const Database &db);
    /// As readHistory(), of a plain id; `custody` is its chain.
    [[nodiscard]] Result<History> of(const Database &db, const QString &id, CustodyChain custody) const;

private:
    std::vector<Entry> m_entries;                      ///< in the ledger's order
    QHash<QString, std::vector<std::size_t>> m_naming; ///< entries by each text in their bodies
    QHash<int, std::vector<std::size_t>> m_ofDive;     ///< what is said of a dive as a whole
    std::vector<std::size_t> m_corrections;
};

/// The story for people: a line for each entry, what was struck below it, then who had it when.
[[nodiscard]] QString historyText(const History &history);

/// What an entry says of an item, in a sentence without the id.
[[nodiscard]] QString entrySentence(const Entry &entry, const QString &item);

} // namespace holdfast
