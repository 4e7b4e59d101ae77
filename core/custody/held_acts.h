// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/preservation.h"

#include <QHash>

namespace holdfast
{

// What was done to an item that bears on how it is held. A part was in what its parent was in when it was
// split off, and had been as cold as it: until a part has something of its own, that counts.

/// What an item is in now: its own last preservation by time, else the last one of what it was split off (and
/// of what that was split off) before the split; `item` says whose it is. None: nothing is recorded.
[[nodiscard]] Result<std::optional<PreservationInfo>> readPreservedNow(const Database &db, const QString &id);

/// One time that an item was stored.
struct StoredAct {
    UtcTime at{};
    QString place;
    std::optional<double> temperatureC; ///< none: nobody recorded it
};

/// Own and inherited acts of an item, in any order.
struct HeldActs {
    std::optional<UtcTime> begun; ///< off bottom; without it on deck, else the closing of the dive
    std::vector<UtcTime> preserved;
    std::vector<StoredAct> stored;

    /// The first time each counts for a limit: a limit once met stays met. Storing counts where it was
    /// recorded to be no warmer than the limit's highest temperature. None: the clock has not begun.
    [[nodiscard]] std::optional<HeldTimes> timesFor(const HoldingLimit &limit) const;
    /// Where it was stored last without anybody saying how cold it is there; empty when it was not, or when
    /// it was stored cold enough as well.
    [[nodiscard]] QString placeInQuestion(const HoldingLimit &limit) const;
};

/// The acts of all items of a cruise, or of one sample and its parts.
class HeldBook
{
public:
    [[nodiscard]] static Result<HeldBook> readAll(const Database &db);
    [[nodiscard]] static Result<HeldBook> readOf(const Database &db, const QString &sample);
    [[nodiscard]] HeldActs of(const QString &id) const;

private:
    struct Kept {
        QString parent; ///< empty for a sample
        UtcTime split{};
        HeldActs own;
    };
    static Result<HeldBook> read(const Database &db, const QString &sample);
    QHash<QString, Kept> m_items;
};

} // namespace holdfast
