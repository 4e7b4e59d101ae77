// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "nav/track.h"
#include "store/database.h"
#include "water/quality_tests.h"

#include <QStringList>

namespace holdfast
{

/// Logs of a dive that the ledger tells of but that are not in this file: logs do not travel between
/// stations.
struct AbsentLogs {
    QStringList positionAt, ctdAt; ///< stations that took such logs in; empty: none is missing here

    /// "log at deck"; empty when none of the kind is elsewhere.
    [[nodiscard]] QString positionWord() const;
    [[nodiscard]] QString ctdWord() const;
    /// For a fix that is none: why, when its log is elsewhere. Other fixes are left as they are.
    void explain(NavFix &fix) const;
    /// For water values that are missing: why, when their log is elsewhere; else empty.
    [[nodiscard]] QString whyNoWater(QcFlag flag) const;
};
[[nodiscard]] Result<AbsentLogs> absentLogs(const Database &db, int dive);

} // namespace holdfast
