// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QJsonObject>
#include <QStringList>

namespace holdfast
{

// The closed lists of words that entries about custody use. Each check gives the word as the record keeps it,
// or Error Usage naming the list.

/// By what a person has custody. The first five are those of US EPA Region V, Manual of Custody and
/// Non-Custody Sample Handling Procedures, 2nd ed. 1978; "in the vehicle" is custody by appointment from the
/// seafloor to the deck (common practice).
[[nodiscard]] const QStringList &custodyBases();
[[nodiscard]] Result<QString> checkedBasis(const QString &word);
inline const QString basisInVehicle = QStringLiteral("in the vehicle");
inline const QString basisSealed = QStringLiteral("sealed");

/// The condition on receipt: intact, leaking, thawed, seal broken, damaged, dried out, label unreadable.
[[nodiscard]] const QStringList &receiptConditions();
[[nodiscard]] Result<QString> checkedCondition(const QString &word);

/// Why something is handed over: hand-over, courier, loan, return.
[[nodiscard]] const QStringList &handOverPurposes();
[[nodiscard]] Result<QString> checkedPurpose(const QString &word);

/// How custody ends: consumed, lost, destroyed, deposited (its final place, where another's books begin).
[[nodiscard]] const QStringList &custodyEnds();
[[nodiscard]] Result<QString> checkedEnd(const QString &word);

/// A confirmation as entries keep it, in words: "confirmed by Ana (pin)", "entered by Ben for Ana, not
/// confirmed by Ana".
[[nodiscard]] QString confirmationText(const QJsonObject &confirmation, const QString &party);

/// Two names mean one person when they differ only in blanks and capitals.
[[nodiscard]] bool samePerson(const QString &a, const QString &b);

} // namespace holdfast
