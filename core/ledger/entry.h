// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"
#include "base/utc_time.h"

#include <QJsonObject>
#include <QString>

namespace holdfast
{

/// One line of the ledger: somebody did something at a time, written by a station. Never changed once
/// written.
struct Entry {
    QString station; ///< which installation wrote it: "van", "deck", "wet lab"
    qint64 seq = 0;  ///< 1, 2, 3 … in the station's own chain, without a hole
    qint64 lamport =
        0;        ///< greater than that of any entry the station had seen: orders entries across stations
    QString uuid; ///< names the entry for amendments and merging
    qint64 timeUs = 0; ///< when it was written, microseconds since 1970 UTC
    QString actor;     ///< the person who acted
    QString verb;      ///< what was done: "sample logged"
    QString body;      ///< what about: canonical JSON object (canonical.h)
    QString prev;      ///< hash of the station's entry before, 64 small hex digits; 64 zeros for the first
    QString hash;      ///< hash of this entry, 64 small hex digits

    [[nodiscard]] QJsonObject bodyObject() const;
};

/// `prev` of a station's first entry.
[[nodiscard]] QString zeroHash();

} // namespace holdfast
