// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "store/database.h"

#include <QMap>
#include <optional>
#include <vector>

namespace holdfast
{

/// A station as a cruise file knows it.
struct StationState {
    QString name;
    QString publicKey;      ///< empty: it has announced none yet
    qint64 numbersFrom = 0; ///< the first number it gives to samples
    bool here = false;      ///< the station whose file this is
    qint64 entries = 0;     ///< of its chain, in this file
    std::optional<UtcTime> lastEntry;
    /// Of each other station, how many entries of this file it had not seen by its own last entry here; for
    /// the station whose file this is, nothing. A station says with an entry what it has seen, so one that
    /// took something in and wrote nothing since may lack less than this.
    QMap<QString, qint64> lacks;
    [[nodiscard]] qint64 lacksInAll() const;
};

/// All stations that are known, the own one first, then by name. `own` is that of the file.
[[nodiscard]] Result<std::vector<StationState>> readStations(const Database &db, const QString &own);

/// How many of the own entries no other station is known to have: what would be lost with this computer.
[[nodiscard]] qint64 knownHereOnly(const std::vector<StationState> &stations);

/// "TK26-deck.hfx": the file that a station leaves for the others.
[[nodiscard]] QString exchangeFileName(const QString &cruiseCode, const QString &station);

/// The files that the other stations of the cruise left in a folder (a stick, a shared folder), whole paths
/// by name. Error NotFound when there is no such folder.
[[nodiscard]] Result<QStringList> exchangeFilesOfOthers(const QString &folder, const QString &cruiseCode,
                                                        const QString &own);

} // namespace holdfast
