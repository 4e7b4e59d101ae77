// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/feed_profile.h"
#include "snapshot.h"

namespace holdfast
{

/// A log of a dive that stands beside the cruise file, for a replay.
struct DiveLog {
    QString path;
    FeedProfile profile;
    std::optional<UtcTime> first;
};

/// The logs taken in for the shown dive that stand beside the cruise file or in its folder "logs"; while none
/// was taken in, those whose name says "dive-N-", read by the first plain profile that fits.
[[nodiscard]] std::vector<DiveLog> findDiveLogs(const Snapshot &snapshot, const QString &cruisePath);

/// "CTD", "Doppler log", "position".
[[nodiscard]] QString feedNameOf(FeedKind kind);

} // namespace holdfast
