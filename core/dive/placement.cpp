// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/placement.h"

namespace holdfast
{

namespace
{

QString suggestion(const QString &family, const std::vector<SlotState> &all)
{
    const QStringList free = freeSlotsFor(family, all);
    if (free.isEmpty())
        return QStringLiteral("No slot for it is free.");
    return QStringLiteral("Free for it: %1.").arg(free.mid(0, 6).join(QStringLiteral(", ")));
}

} // namespace

namespace
{

/// The last few of what lies in a slot: the warning is kept with each sample, and a rock box holds hundreds.
QString someOf(const QStringList &ids)
{
    constexpr qsizetype named = 3;
    if (ids.size() <= named)
        return ids.join(QStringLiteral(", "));
    return QStringLiteral("%1 and %2 more")
        .arg(ids.mid(ids.size() - named).join(QStringLiteral(", ")))
        .arg(ids.size() - named);
}

} // namespace

QStringList freeSlotsFor(const QString &family, const std::vector<SlotState> &all)
{
    QStringList codes;
    for (const SlotState &slot : all) {
        const bool suits = family.isEmpty() || slot.accepts.contains(family);
        if (suits && slot.reachable && (slot.held.isEmpty() || slot.mixing))
            codes << slot.code;
    }
    return codes;
}

Result<QStringList> mayPlace(const SlotState &slot, const QString &kind, const QString &family,
                             const std::vector<SlotState> &others)
{
    if (!family.isEmpty() && !slot.accepts.contains(family))
        return fail(ErrorKind::Refused,
                    QStringLiteral("%1 is a %2 for %3, not for %4 (%5). %6")
                        .arg(slot.code, slot.container, slot.accepts.join(QStringLiteral(" or ")), kind,
                             family, suggestion(family, others)));
    if (!slot.held.isEmpty() && !slot.mixing)
        return fail(ErrorKind::Refused,
                    QStringLiteral("%1 is taken: it holds %2 (%3). %4")
                        .arg(slot.code, slot.held.join(QStringLiteral(", ")),
                             slot.heldKinds.join(QStringLiteral(", ")), suggestion(family, others)));
    QStringList warnings;
    if (!slot.held.isEmpty())
        warnings << QStringLiteral("%1 already holds %2: the samples lie mixed, tell them apart at recovery")
                        .arg(slot.code, someOf(slot.held));
    if (!slot.reachable)
        warnings << QStringLiteral("%1 was marked out of reach").arg(slot.code);
    if (slot.lid && !slot.lidOpen)
        warnings << QStringLiteral("the lid of %1 was marked shut").arg(slot.code);
    if (family.isEmpty())
        warnings << QStringLiteral("\"%1\" is not in the list of kinds: whether %2 suits it was not judged")
                        .arg(kind, slot.code);
    return warnings;
}

} // namespace holdfast
