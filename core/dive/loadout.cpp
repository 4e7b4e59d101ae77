// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/loadout.h"

#include <QJsonArray>
#include <QRegularExpression>
#include <QSet>
#include <algorithm>

namespace holdfast
{

const QStringList &sampleFamilies()
{
    static const QStringList families{QStringLiteral("rock"), QStringLiteral("biology"),
                                      QStringLiteral("sediment"), QStringLiteral("water")};
    return families;
}

namespace
{

Error wrong(const QString &where, const QString &key, const QString &expected)
{
    return fail(ErrorKind::Malformed, QStringLiteral("%1: \"%2\" must be %3.").arg(where, key, expected));
}

Result<QString> textOf(const QJsonObject &o, const QString &key, const QString &where)
{
    const QString text = o.value(key).toString().trimmed();
    if (text.isEmpty())
        return wrong(where, key, QStringLiteral("a text"));
    return text;
}

/// "area": [x, y, width, height] in whole millimetres.
Result<QRect> areaOf(const QJsonObject &o, const QString &where)
{
    const QJsonArray a = o.value(QStringLiteral("area")).toArray();
    bool whole = a.size() == 4;
    for (const QJsonValue v : a)
        whole = whole && v.isDouble() && v.toDouble() == v.toInt(-1) && v.toInt() >= 0;
    const QRect area =
        whole ? QRect(a.at(0).toInt(), a.at(1).toInt(), a.at(2).toInt(), a.at(3).toInt()) : QRect();
    if (area.isEmpty())
        return wrong(where, QStringLiteral("area"),
                     QStringLiteral("[x, y, width, height] in whole millimetres, none negative"));
    return area;
}

Result<SlotSpec> parseSlot(const QJsonObject &o, const BoxSpec &box, const QJsonObject &boxJson,
                           const QString &where)
{
    SlotSpec slot;
    static const QRegularExpression goodCode(QStringLiteral("^[A-Z][A-Z0-9]{0,7}\\z"));
    slot.code = o.value(QStringLiteral("code")).toString();
    if (!goodCode.match(slot.code).hasMatch())
        return wrong(where, QStringLiteral("code"),
                     QStringLiteral("1 to 8 capital letters and digits, a letter first, as in B2"));
    const QString here = QStringLiteral("%1, slot %2").arg(where, slot.code);
    const auto area = areaOf(o, here);
    if (!area)
        return area.error();
    slot.area = *area;
    if (!box.area.contains(slot.area))
        return wrong(here, QStringLiteral("area"), QStringLiteral("inside the area of its box"));
    // What all slots of a box share is said once, at the box.
    const QJsonValue accepts = boxJson.value(QStringLiteral("accepts"));
    for (const QJsonValue v : accepts.toArray()) {
        if (!sampleFamilies().contains(v.toString()))
            return wrong(where, QStringLiteral("accepts"),
                         QStringLiteral("a list of %1").arg(sampleFamilies().join(QStringLiteral(", "))));
        slot.accepts << v.toString();
    }
    if (slot.accepts.isEmpty())
        return wrong(where, QStringLiteral("accepts"),
                     QStringLiteral("a list of %1").arg(sampleFamilies().join(QStringLiteral(", "))));
    slot.mixing = boxJson.value(QStringLiteral("mixing")).toBool(false);
    slot.round = boxJson.value(QStringLiteral("round")).toBool(false);
    return slot;
}

Result<BoxSpec> parseBox(const QJsonObject &o, const QString &where)
{
    BoxSpec box;
    const auto title = textOf(o, QStringLiteral("title"), where);
    if (!title)
        return title.error();
    box.title = *title;
    const QString here = QStringLiteral("%1, box \"%2\"").arg(where, box.title);
    for (const auto &[key, member] : {std::pair{QStringLiteral("container"), &BoxSpec::container},
                                      std::pair{QStringLiteral("where"), &BoxSpec::where}}) {
        const auto text = textOf(o, key, here);
        if (!text)
            return text.error();
        box.*member = *text;
    }
    const auto area = areaOf(o, here);
    if (!area)
        return area.error();
    box.area = *area;
    box.lid = o.value(QStringLiteral("lid")).toBool(false);
    const QJsonValue unload = o.value(QStringLiteral("unload"));
    box.unload = unload.toInt(-1);
    if (box.unload < 0)
        return wrong(here, QStringLiteral("unload"), QStringLiteral("a whole number, 0 or more"));
    for (const QJsonValue v : o.value(QStringLiteral("slots")).toArray()) {
        auto slot = parseSlot(v.toObject(), box, o, here);
        if (!slot)
            return slot.error();
        box.slotList.push_back(std::move(*slot));
    }
    if (box.slotList.empty())
        return wrong(here, QStringLiteral("slots"), QStringLiteral("a list with at least one slot"));
    return box;
}

} // namespace

Result<Loadout> parseLoadout(const QJsonObject &json, const QString &where)
{
    Loadout loadout;
    for (const auto &[key, member] : {std::pair{QStringLiteral("name"), &Loadout::name},
                                      std::pair{QStringLiteral("title"), &Loadout::title}}) {
        const auto text = textOf(json, key, where);
        if (!text)
            return text.error();
        loadout.*member = *text;
    }
    const QJsonArray size = json.value(QStringLiteral("size")).toArray();
    loadout.size = QSize(size.at(0).toInt(), size.at(1).toInt());
    if (size.size() != 2 || loadout.size.isEmpty())
        return wrong(where, QStringLiteral("size"), QStringLiteral("[width, length] in whole millimetres"));
    const QRect whole(QPoint(0, 0), loadout.size);
    QSet<QString> codes;
    for (const QJsonValue v : json.value(QStringLiteral("boxes")).toArray()) {
        auto box = parseBox(v.toObject(), where);
        if (!box)
            return box.error();
        if (!whole.contains(box->area))
            return wrong(QStringLiteral("%1, box \"%2\"").arg(where, box->title), QStringLiteral("area"),
                         QStringLiteral("inside the plan's size"));
        for (const SlotSpec &slot : box->slotList) {
            if (codes.contains(slot.code))
                return fail(ErrorKind::Malformed,
                            QStringLiteral("%1: the slot code %2 is given twice.").arg(where, slot.code));
            codes.insert(slot.code);
        }
        loadout.boxes.push_back(std::move(*box));
    }
    if (loadout.boxes.empty())
        return wrong(where, QStringLiteral("boxes"), QStringLiteral("a list with at least one box"));
    return loadout;
}

std::vector<Loadout::Place> Loadout::inUnloadOrder() const
{
    std::vector<Place> places;
    for (const BoxSpec &box : boxes) {
        for (const SlotSpec &slot : box.slotList)
            places.push_back({&box, &slot});
    }
    std::stable_sort(places.begin(), places.end(),
                     [](const Place &a, const Place &b) { return a.box->unload < b.box->unload; });
    return places;
}

} // namespace holdfast
