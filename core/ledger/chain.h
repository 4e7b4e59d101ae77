// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QMap>
#include <QString>

namespace holdfast
{

/// The end of one station's chain.
struct ChainHead {
    QString station;
    qint64 seq = 0;
    QString hash;
};

/// A place where the proof fails: which entry and why, in words.
struct ChainFault {
    QString station;
    qint64 seq =
        0; ///< the first entry that can't be trusted; one past the end when entries are missing there
    QString why;
};

/// One text for the state of the whole ledger, printed on papers: the heads of all stations, sorted by
/// station, hashed together (SHA-256 over lines "station seq hash\n", UTF-8); of a single station it is over
/// that one line.
[[nodiscard]] QString ledgerHeadHash(const QMap<QString, ChainHead> &heads);

/// The first 16 hex digits of a hash in groups of four, as a person compares them: "9f86 d081 884c 7d65".
[[nodiscard]] QString shortHash(const QString &hash);

} // namespace holdfast
