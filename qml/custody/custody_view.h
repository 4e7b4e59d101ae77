// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/custody_chain.h"
#include "custody/hand_over.h"

namespace holdfast
{

/// The thread of one item through the lanes.
struct CustodyThread {
    QString id;
    CustodyChain chain;
};

struct HolderCount {
    QString holder; ///< empty: nobody is recorded
    qint64 items = 0;
};

/// All that the Custody screen shows at one moment.
struct CustodyView {
    std::vector<CustodyThread> threads; ///< of the dive's samples and specimens
    std::vector<HolderCount> holders;   ///< of the whole cruise, most first
    std::vector<HandOverInfo> open;     ///< hand-overs that wait for their receiver
    qint64 items = 0;                   ///< of the whole cruise
    UtcTime now{};

    [[nodiscard]] int breaks() const; ///< findings of the dive's threads that nobody explained
};

[[nodiscard]] Result<CustodyView> readCustody(const Database &db, int dive, UtcTime now);

} // namespace holdfast
