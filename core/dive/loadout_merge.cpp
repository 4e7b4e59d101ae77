// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/loadout_merge.h"

#include <QJsonArray>
#include <algorithm>

namespace holdfast
{

namespace
{

constexpr int gapMm = 100;

QString s(const char *text)
{
    return QString::fromLatin1(text);
}

QJsonArray shifted(const QJsonValue &area, int right)
{
    QJsonArray a = area.toArray();
    if (a.size() == 4)
        a[0] = a.at(0).toInt() + right;
    return a;
}

/// The box with only those of its slots that `wanted` lets through; no slots: nothing is left of it.
template <typename Wanted>
QJsonObject partOf(const QJsonObject &box, Wanted wanted)
{
    QJsonArray slotList;
    for (const QJsonValue v : box.value(s("slots")).toArray()) {
        if (wanted(v.toObject().value(s("code")).toString()))
            slotList.append(v);
    }
    QJsonObject part = box;
    part.insert(s("slots"), slotList);
    return part;
}

bool hasSlots(const QJsonObject &box)
{
    return !box.value(s("slots")).toArray().isEmpty();
}

/// Puts boxes at the starboard side of a plan, which grows by them.
void mountBeside(QJsonObject &plan, const QJsonArray &boxes)
{
    if (boxes.isEmpty())
        return;
    const QJsonArray size = plan.value(s("size")).toArray();
    const int right = size.at(0).toInt() + gapMm;
    int width = size.at(0).toInt();
    int length = size.at(1).toInt();
    QJsonArray all = plan.value(s("boxes")).toArray();
    for (const QJsonValue v : boxes) {
        QJsonObject box = v.toObject();
        box.insert(s("area"), shifted(box.value(s("area")), right));
        QJsonArray slotList;
        for (const QJsonValue one : box.value(s("slots")).toArray()) {
            QJsonObject slot = one.toObject();
            slot.insert(s("area"), shifted(slot.value(s("area")), right));
            slotList.append(slot);
        }
        box.insert(s("slots"), slotList);
        static const QString mark = s(" (other plan)");
        if (const QString title = box.value(s("title")).toString(); !title.endsWith(mark))
            box.insert(s("title"), title + mark);
        const QJsonArray area = box.value(s("area")).toArray();
        width = std::max(width, area.at(0).toInt() + area.at(2).toInt());
        length = std::max(length, area.at(1).toInt() + area.at(3).toInt());
        all.append(box);
    }
    plan.insert(s("boxes"), all);
    plan.insert(s("size"), QJsonArray{width, length});
}

void setAside(QJsonObject &plan, const QJsonArray &boxes)
{
    if (boxes.isEmpty())
        plan.remove(s("setAside"));
    else
        plan.insert(s("setAside"), boxes);
}

} // namespace

QStringList slotCodesOf(const QJsonObject &plan)
{
    QStringList codes;
    for (const QJsonValue box : plan.value(s("boxes")).toArray()) {
        for (const QJsonValue slot : box.toObject().value(s("slots")).toArray())
            codes << slot.toObject().value(s("code")).toString();
    }
    return codes;
}

QJsonObject withSlotsOf(const QJsonObject &plan, const QJsonObject &earlier, const QStringList &kept)
{
    QStringList known = slotCodesOf(plan);
    QJsonArray mounted, aside;
    for (const char *from : {"boxes", "setAside"}) {
        for (const QJsonValue v : earlier.value(s(from)).toArray()) {
            const QJsonObject box = v.toObject();
            const auto isNew = [&known](const QString &code) { return !known.contains(code); };
            const QJsonObject here =
                partOf(box, [&](const QString &code) { return isNew(code) && kept.contains(code); });
            const QJsonObject there =
                partOf(box, [&](const QString &code) { return isNew(code) && !kept.contains(code); });
            if (hasSlots(here))
                mounted.append(here);
            if (hasSlots(there))
                aside.append(there);
            for (const QJsonObject &one : {here, there}) {
                for (const QJsonValue slot : one.value(s("slots")).toArray())
                    known << slot.toObject().value(s("code")).toString();
            }
        }
    }
    QJsonObject merged = plan;
    mountBeside(merged, mounted);
    setAside(merged, aside);
    return merged;
}

QJsonObject withSlotBack(const QJsonObject &plan, const QString &code)
{
    QJsonArray back, rest;
    for (const QJsonValue v : plan.value(s("setAside")).toArray()) {
        const QJsonObject here = partOf(v.toObject(), [&code](const QString &one) { return one == code; });
        const QJsonObject there = partOf(v.toObject(), [&code](const QString &one) { return one != code; });
        if (hasSlots(here))
            back.append(here);
        if (hasSlots(there))
            rest.append(there);
    }
    if (back.isEmpty())
        return plan;
    QJsonObject merged = plan;
    mountBeside(merged, back);
    setAside(merged, rest);
    return merged;
}

} // namespace holdfast
