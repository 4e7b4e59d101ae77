// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "ledger/signature.h"

namespace holdfast
{

/// What the check of a ledger found about one station.
struct StationProof {
    QString station;
    qint64 entries = 0;
    QString publicKey;     ///< the one that signs now; empty when the station never announced a key
    qint64 signedFrom = 0; ///< the entry that announced the first key; what is before was written unsigned
};

struct LedgerProof {
    std::vector<StationProof> stations; ///< by name
    std::vector<ChainFault> faults;     ///< the first of each station
    [[nodiscard]] bool holds() const { return faults.empty(); }
};

/// Verifies every chain in the file: each entry's hash and link, the kept heads, the signatures. Long chains
/// are read on two threads through connections of their own, unless `db` is inside a transaction. A fault is
/// the first place of a chain that can't be trusted.
[[nodiscard]] Result<LedgerProof> verifyLedger(const Database &db);

} // namespace holdfast
