// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "dive/cruise_file.h"
#include "ledger/verify.h"

#include <QJsonObject>

namespace holdfast
{

/// Where the record does not hold, in words.
struct AuditFinding {
    QString where;    ///< "ledger", "tables", "logs"
    QString station;  ///< ledger: whose chain
    qint64 entry = 0; ///< ledger: the first bad entry of that chain
    QString what;     ///< one sentence
};

/// What an audit of a cruise file looked at and found.
struct AuditReport {
    qint64 entries = 0;
    std::vector<StationProof> stations;
    int logs = 0;
    int recordings = 0;     ///< of live feeds
    int openRecordings = 0; ///< of them without a closing entry yet, which could prove them
    QString head;           ///< the head hash that papers carry
    std::vector<AuditFinding> findings;
    QStringList
        notes; ///< what a person should know although the record holds: a log that is at another station

    [[nodiscard]] bool holds() const { return findings.empty(); }
    [[nodiscard]] QString text() const; ///< what a person reads
    [[nodiscard]] QJsonObject json() const;
};

/// Verifies a cruise file without writing to it: every chain of the ledger and its signatures; the tables
/// against the ledger; each sensor log against the checksums in its ledger entry, and that no log is there
/// without an entry.
[[nodiscard]] Result<AuditReport> auditCruise(const CruiseFile &file);

} // namespace holdfast
