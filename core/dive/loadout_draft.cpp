// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/loadout_draft.h"

#include <QJsonArray>
#include <QRegularExpression>
#include <QSet>
#include <algorithm>

namespace holdfast
{

namespace
{

constexpr int roomMm = 20; ///< between slots, and about them
constexpr int leastMm = 40;

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

QJsonArray arrayOf(const QRect &r)
{
    return {r.x(), r.y(), r.width(), r.height()};
}

/// The slots as they lie in a box of another area.
void fitSlots(BoxDraft &box, const QRect &area)
{
    const auto scaled = [](int value, int from, int to) { return from > 0 ? value * to / from : value; };
    for (SlotSpec &slot : box.slotList) {
        const QRect old = slot.area.translated(-box.area.topLeft());
        slot.area = QRect(area.x() + scaled(old.x(), box.area.width(), area.width()),
                          area.y() + scaled(old.y(), box.area.height(), area.height()),
                          std::max(1, scaled(old.width(), box.area.width(), area.width())),
                          std::max(1, scaled(old.height(), box.area.height(), area.height())));
    }
    box.area = area;
}

} // namespace

LoadoutDraft draftOf(const Loadout &loadout)
{
    LoadoutDraft draft{loadout.name, loadout.title, loadout.size, {}};
    for (const BoxSpec &box : loadout.boxes) {
        BoxDraft b;
        b.title = box.title;
        b.container = box.container;
        b.where = box.where;
        b.lid = box.lid;
        b.unload = box.unload;
        b.area = box.area;
        b.slotList = box.slotList;
        if (!box.slotList.empty()) {
            b.accepts = box.slotList.front().accepts;
            b.mixing = box.slotList.front().mixing;
            b.round = box.slotList.front().round;
        }
        draft.boxes.push_back(std::move(b));
    }
    return draft;
}

QJsonObject jsonOf(const LoadoutDraft &draft)
{
    QJsonArray boxes;
    for (const BoxDraft &box : draft.boxes) {
        QJsonArray slotList;
        for (const SlotSpec &slot : box.slotList)
            slotList.append(QJsonObject{{s("code"), slot.code}, {s("area"), arrayOf(slot.area)}});
        QJsonObject o{{s("title"), box.title},   {s("container"), box.container},
                      {s("where"), box.where},   {s("accepts"), QJsonArray::fromStringList(box.accepts)},
                      {s("unload"), box.unload}, {s("area"), arrayOf(box.area)},
                      {s("slots"), slotList}};
        for (const auto &[key, on] :
             {std::pair{"lid", box.lid}, {"mixing", box.mixing}, {"round", box.round}}) {
            if (on)
                o.insert(s(key), true);
        }
        boxes.append(o);
    }
    return {{s("name"), draft.name},
            {s("title"), draft.title},
            {s("size"), QJsonArray{draft.size.width(), draft.size.height()}},
            {s("boxes"), boxes}};
}

QStringList faultsOf(const LoadoutDraft &draft)
{
    QStringList faults;
    if (const auto read = parseLoadout(jsonOf(draft), s("This loadout")); !read)
        faults << read.error().sentence;
    for (std::size_t i = 0; i < draft.boxes.size(); ++i) {
        const BoxDraft &box = draft.boxes[i];
        for (std::size_t k = i + 1; k < draft.boxes.size(); ++k) {
            if (box.area.intersects(draft.boxes[k].area))
                faults << s("\"%1\" and \"%2\" lie over each other: move or narrow one.")
                              .arg(box.title, draft.boxes[k].title);
            if (box.title.compare(draft.boxes[k].title, Qt::CaseInsensitive) == 0)
                faults << s("Two boxes are called \"%1\": the checklist tells them apart by their titles.")
                              .arg(box.title);
        }
        for (std::size_t a = 0; a < box.slotList.size(); ++a) {
            for (std::size_t b = a + 1; b < box.slotList.size(); ++b) {
                if (box.slotList[a].area.intersects(box.slotList[b].area))
                    faults << s("%1 and %2 lie over each other in \"%3\".")
                                  .arg(box.slotList[a].code, box.slotList[b].code, box.title);
            }
        }
    }
    faults.removeDuplicates();
    return faults;
}

Result<SlotGrid> parseSlotGrid(const QString &text)
{
    static const QRegularExpression form(
        QStringLiteral("^([A-Za-z]{1,3}) ?([1-9]|1\\d|20)[x×]([1-9]|1\\d|20)(?: (\\d{1,3}))?$"));
    const auto match = form.match(text.simplified());
    if (!match.hasMatch())
        return fail(ErrorKind::Usage,
                    s("Say the letters and how many rows and columns, as in \"B 3x1\"; a number behind "
                      "it is the first one's, as in \"C 2x4 5\"."));
    return SlotGrid{match.captured(1).toUpper(), match.captured(2).toInt(), match.captured(3).toInt(),
                    match.captured(4).isEmpty() ? 1 : match.captured(4).toInt()};
}

void layOutSlots(BoxDraft &box, const SlotGrid &grid)
{
    box.slotList.clear();
    const int width = std::max(1, (box.area.width() - roomMm * (grid.columns + 1)) / grid.columns);
    const int height = std::max(1, (box.area.height() - roomMm * (grid.rows + 1)) / grid.rows);
    for (int row = 0; row < grid.rows; ++row) {
        for (int column = 0; column < grid.columns; ++column) {
            SlotSpec slot;
            slot.code = grid.prefix + QString::number(grid.first + row * grid.columns + column);
            slot.area = QRect(box.area.x() + roomMm + column * (width + roomMm),
                              box.area.y() + roomMm + row * (height + roomMm), width, height);
            box.slotList.push_back(slot);
        }
    }
}

void moveBox(LoadoutDraft &draft, std::size_t box, QPoint byMm)
{
    BoxDraft &b = draft.boxes[box];
    QRect to = b.area.translated(byMm);
    to.moveLeft(std::clamp(to.left(), 0, std::max(0, draft.size.width() - to.width())));
    to.moveTop(std::clamp(to.top(), 0, std::max(0, draft.size.height() - to.height())));
    fitSlots(b, to);
}

void stretchBox(LoadoutDraft &draft, std::size_t box, QPoint byMm)
{
    BoxDraft &b = draft.boxes[box];
    const int width =
        std::clamp(b.area.width() + byMm.x(), leastMm, std::max(leastMm, draft.size.width() - b.area.x()));
    const int height =
        std::clamp(b.area.height() + byMm.y(), leastMm, std::max(leastMm, draft.size.height() - b.area.y()));
    fitSlots(b, QRect(b.area.x(), b.area.y(), width, height));
}

std::size_t addBox(LoadoutDraft &draft)
{
    QSet<QString> codes;
    QSet<QString> titles;
    for (const BoxDraft &box : draft.boxes) {
        titles.insert(box.title.toLower());
        for (const SlotSpec &slot : box.slotList)
            codes.insert(slot.code);
    }
    BoxDraft box;
    int n = 1;
    while (titles.contains(s("box %1").arg(n)) || codes.contains(s("S%1").arg(n)))
        ++n;
    box.title = s("Box %1").arg(n);
    box.container = s("biobox");
    box.where = s("porch");
    box.accepts = QStringList{s("biology")};
    box.area = QRect(0, 0, std::min(400, draft.size.width()), std::min(300, draft.size.height()));
    const auto taken = [&draft](const QRect &area) {
        return std::any_of(draft.boxes.begin(), draft.boxes.end(),
                           [&area](const BoxDraft &b) { return b.area.intersects(area); });
    };
    // The first free place, row by row; over the others when there is none, which the faults then say.
    for (int y = 0; y + box.area.height() <= draft.size.height() && taken(box.area); y += roomMm) {
        for (int x = 0; x + box.area.width() <= draft.size.width(); x += roomMm) {
            box.area.moveTo(x, y);
            if (!taken(box.area))
                break;
        }
    }
    layOutSlots(box, {s("S"), 1, 1, n});
    draft.boxes.push_back(std::move(box));
    return draft.boxes.size() - 1;
}

} // namespace holdfast
