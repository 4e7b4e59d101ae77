// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

namespace holdfast::verb
{

// What an entry of the ledger can say once a sample is on deck; core/custody/README.md lists the bodies.
inline const QString slotTallied = QStringLiteral("slot tallied");
inline const QString specimenSplit = QStringLiteral("specimen split");
inline const QString specimenVoided = QStringLiteral("specimen voided");
inline const QString specimenAmended = QStringLiteral("specimen amended");
inline const QString itemIdentified = QStringLiteral("item identified");
inline const QString photographLinked = QStringLiteral("photograph linked");
inline const QString itemPreserved = QStringLiteral("item preserved");
inline const QString itemStored = QStringLiteral("item stored");
inline const QString custodianAppointed = QStringLiteral("custodian appointed");
inline const QString handOverOffered = QStringLiteral("hand-over offered");
inline const QString handOverAnswered = QStringLiteral("hand-over answered");
inline const QString handOverWithdrawn = QStringLiteral("hand-over withdrawn");
inline const QString custodyClaimed = QStringLiteral("custody claimed");
inline const QString custodySecured = QStringLiteral("custody secured");
inline const QString custodyEnded = QStringLiteral("custody ended");
inline const QString sealApplied = QStringLiteral("seal applied");
inline const QString sealInspected = QStringLiteral("seal inspected");
inline const QString sealBroken = QStringLiteral("seal broken");
inline const QString entryAmended = QStringLiteral("entry amended");
inline const QString blankLabelsPrinted = QStringLiteral("blank labels printed");
inline const QString labelBound = QStringLiteral("label bound");

} // namespace holdfast::verb
