// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/progress.h"
#include "dive/cruise_file.h"
#include "exchange/exchange_file.h"

#include <QStringList>

namespace holdfast
{

struct TakenIn {
    QString from;
    QMap<QString, qint64> added; ///< new entries by station; empty when all was here already
    qint64 heldBack = 0;         ///< entries in the tables' list of those that do not fit in, after taking in
};

/// The keys in a text that a person typed, parted by commas: each as a station shows its key (keyMark: four
/// groups of four digits and letters a to f), or the whole of it, 64 of them. None in an empty text. Error
/// Usage names what is no key and says what one looks like.
[[nodiscard]] Result<QStringList> trustedKeys(const QString &typed);

/// Takes in what is new in an exchange file, all of it or nothing, and makes the tables again in the order
/// that every station agrees on. May be done in any order and any number of times.
///
/// Refused with the station and entry named: another cruise; a chain that leaves a gap or does not continue
/// the one that is here (an entry changed, or two copies that both wrote as one station); a head not signed
/// with the key the station announced; an entry this program does not know. A station that is new here, and a
/// key that is new for a station, are refused until a person has compared the key: `trusted` lists the marks
/// (keyMark) or whole keys of those.
[[nodiscard]] Result<TakenIn> takeIn(CruiseFile &file, const ExchangeFile &exchange,
                                     const QStringList &trusted = {}, const Progress &progress = {});

} // namespace holdfast
