// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QString>
#include <QStringList>
#include <vector>

namespace holdfast
{

/// A slot as the rules of placing see it.
struct SlotState {
    QString code;
    QString container;   ///< "biobox"
    QStringList accepts; ///< families
    bool mixing = false;
    bool lid = false; ///< a lid is known to be open or shut
    bool lidOpen = false;
    bool reachable = true;
    QStringList held; ///< ids of the samples in it now
    QStringList heldKinds;
};

/// May a sample of this kind go into this slot?
/// Refused, with a sentence that names what would do: the slot is taken and does not allow mixing; its
/// container is not made for this family (a rock would crush what lives in a biobox; a bottle holds water).
/// Allowed with a warning that the record keeps: mixing with others, a slot marked out of reach, a kind of
/// unknown family. `others` are the dive's slots, for the suggestion.
[[nodiscard]] Result<QStringList> mayPlace(const SlotState &slot, const QString &kind, const QString &family,
                                           const std::vector<SlotState> &others);

/// The codes of free slots that suit a family, in the given order.
[[nodiscard]] QStringList freeSlotsFor(const QString &family, const std::vector<SlotState> &all);

} // namespace holdfast
