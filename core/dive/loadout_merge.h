// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QJsonObject>
#include <QStringList>

namespace holdfast
{

// A dive that was planned twice, by two stations or again by a person, keeps every slot in which something
// lies. Both take and give the JSON of a loadout (templates/loadouts/README.md).

/// `plan` with the slots of `earlier` that it lacks: those in `kept` are mounted beside the plan, in boxes
/// whose title says so; the others are under the key "setAside", from where withSlotBack() takes them.
[[nodiscard]] QJsonObject withSlotsOf(const QJsonObject &plan, const QJsonObject &earlier,
                                      const QStringList &kept);

/// `plan` with a slot that was set aside mounted beside it; as it was when none of this code was.
[[nodiscard]] QJsonObject withSlotBack(const QJsonObject &plan, const QString &code);

/// The codes of its slots, those set aside left out.
[[nodiscard]] QStringList slotCodesOf(const QJsonObject &plan);

} // namespace holdfast
