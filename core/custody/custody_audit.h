// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/preservation.h"

#include <QJsonObject>

namespace holdfast
{

/// One thing an audit of custody has to say, about one item or several alike.
struct CustodyNote {
    QString kind;     ///< gap, overlap, holder, order of time, seal, after the end, in transit, id; or of a
                      ///< remark also: custodian, not received, not confirmed, overdue, holding
    QStringList ids;  ///< may be empty
    QString sentence; ///< without the ids
    QString ref;      ///< the entry, "van 123"; may be empty
    UtcTime at{};
};

/// What custody looks like at a moment. Findings are breaks in the record of custody that nobody explained;
/// remarks are what a person should know or still do.
struct CustodyAudit {
    int items = 0, handOvers = 0, seals = 0;
    UtcTime at{};
    std::vector<CustodyNote> findings, remarks;

    [[nodiscard]] bool holds() const { return findings.empty(); }
    [[nodiscard]] QString text() const; ///< one page: alike things in one line
    [[nodiscard]] QJsonObject json() const;
};

/// Reads the whole file; 150 000 specimens take seconds.
[[nodiscard]] Result<CustodyAudit> auditCustody(const Database &db, const HoldingRules &rules, UtcTime now);

} // namespace holdfast
