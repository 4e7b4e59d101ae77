// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

namespace holdfast::verb
{

// What an entry of the ledger can say once a sample is on deck; core/custody/README.md lists the bodies.
inline const QString slotTallied = QStringLiteral("slot tallied");
inline const QString specimenSplit = QStringLiteral("specimen split");
inline const QString specimenAmended = QStringLiteral("specimen amended");
inline const QString itemIdentified = QStringLiteral("item identified");
inline const QString photographLinked = QStringLiteral("photograph linked");
inline const QString itemPreserved = QStringLiteral("item preserved");
inline const QString itemStored = QStringLiteral("item stored");

} // namespace holdfast::verb
