// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/due.h"

namespace holdfast
{

/// One item of the tree of a sample, as the Bench draws it.
struct TreeItem {
    QString id, what, purpose; ///< what: kind or material
    QString label, state;      ///< label: material, purpose, count; state: name, preservative, who has it
    QString in;                ///< the preservative it is in
    int level = 0;             ///< 0 the sample, 1 a specimen, 2 a subsample
    bool associate = false;    ///< sat on its host instead of being a part of it
    bool over = false;         ///< a limit has passed
};

/// All that the Bench shows at one moment.
struct BenchView {
    DueList due;
    std::vector<TreeItem> tree; ///< of the sample in hand; empty: the dive has none
    QStringList samples;        ///< ids of the dive's samples, in order of number
    QString place;              ///< where something was stored last
};

/// `sample`: the one in hand; empty: that which is due first, else the dive's first.
[[nodiscard]] Result<BenchView> readBench(const Database &db, const HoldingRules &rules, int dive,
                                          const QString &sample, UtcTime now);

/// "40 min left", "over by 3 h": what a cold clock reads. Minutes below two hours, days from two days on.
[[nodiscard]] QString leftText(double minutes);

} // namespace holdfast
