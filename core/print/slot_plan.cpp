// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/slot_plan.h"

#include "print/page_text.h"

#include <algorithm>

namespace holdfast
{

namespace
{

constexpr double edgeMm = 1;
constexpr double wordsMm = 4.5; // for the words bow, port and starboard
constexpr double legendMm = 5;
constexpr double nameMm = 3.2;     // for the name of a box, above or below it
constexpr double readablePt = 5.5; // below it a number alone serves the deck better
constexpr double smallestPt = 4.5;

class PlanDrawing
{
public:
    PlanDrawing(const SlotPlanContent &plan, const QRectF &areaMm) : m_plan(plan), m_area(areaMm)
    {
        QRectF extent;
        for (const BoxPicture &box : plan.boxes)
            extent = extent.united(box.rect);
        for (const SlotPicture &slot : plan.slotPictures)
            extent = extent.united(slot.rect);
        m_extent = extent;
    }

    std::vector<PageMark> draw()
    {
        if (m_extent.width() <= 0 || m_extent.height() <= 0)
            return {};
        const QRectF inner = m_area.adjusted(edgeMm, wordsMm + nameMm, -edgeMm, -legendMm - nameMm);
        m_scale = std::min(inner.width() / m_extent.width(), inner.height() / m_extent.height());
        const QSizeF size = m_extent.size() * m_scale;
        m_origin = QPointF(inner.center().x() - size.width() / 2, inner.top());
        for (const BoxPicture &box : m_plan.boxes)
            m_boxes.push_back(toPage(box.rect).adjusted(-0.5, -0.5, 0.5, 0.5));
        for (std::size_t i = 0; i < m_boxes.size(); ++i)
            drawBox(i);
        for (const SlotPicture &slot : m_plan.slotPictures)
            drawSlot(slot);
        m_crossed = false;
        drawEdges(QRectF(m_origin, size));
        drawLegend(m_origin.y() + size.height() + nameMm + 1);
        return std::move(m_marks);
    }

private:
    [[nodiscard]] QRectF toPage(const QRectF &r) const
    {
        return QRectF(m_origin + (r.topLeft() - m_extent.topLeft()) * m_scale, r.size() * m_scale);
    }

    /// Words in a crossed slot stand on a patch of white, or the cross would run through them.
    void addOnWhite(TextMark mark)
    {
        if (m_crossed)
            m_marks.push_back(BoxMark{.rectMm = mark.inkMm, .lineMm = 0, .grey = 1});
        m_marks.push_back(std::move(mark));
    }

    bool put(const QString &words, const QRectF &box, double largest, double smallest, bool bold,
             Qt::Alignment align)
    {
        if (words.isEmpty())
            return true;
        auto mark = fitText(words, TextBox{.boxMm = box,
                                           .largestPt = largest,
                                           .smallestPt = smallest,
                                           .bold = bold,
                                           .wrap = false,
                                           .align = align});
        if (mark)
            addOnWhite(std::move(*mark));
        return mark.has_value();
    }

    [[nodiscard]] bool isFree(const QRectF &strip, std::size_t except) const
    {
        for (std::size_t i = 0; i < m_boxes.size(); ++i) {
            if (i != except && m_boxes[i].intersects(strip))
                return false;
        }
        return std::none_of(m_plan.slotPictures.begin(), m_plan.slotPictures.end(),
                            [&](const SlotPicture &s) { return toPage(s.rect).intersects(strip); });
    }

    void drawBox(std::size_t index)
    {
        const QRectF box = m_boxes[index];
        m_marks.push_back(BoxMark{.rectMm = box, .lineMm = 0.35});
        for (const QRectF &strip : {QRectF(box.left(), box.top() - nameMm, box.width(), nameMm),
                                    QRectF(box.left(), box.bottom(), box.width(), nameMm)}) {
            if (isFree(strip, index) && put(m_plan.boxes[index].name, strip, 6.5, smallestPt, false,
                                            Qt::AlignHCenter | Qt::AlignVCenter))
                return;
        }
    }

    void outline(const QRectF &rect, SlotLook look, bool round)
    {
        BoxMark mark{.rectMm = rect, .lineMm = 0.2, .round = round};
        if (look == SlotLook::Taken || look == SlotLook::Mixed) {
            mark.lineMm = look == SlotLook::Taken ? 0.7 : 0.35;
            mark.grey = 0.9;
        }
        mark.dashed = look == SlotLook::Unusable;
        m_marks.push_back(mark);
        if (look == SlotLook::Mixed)
            m_marks.push_back(
                BoxMark{.rectMm = rect.adjusted(0.7, 0.7, -0.7, -0.7), .lineMm = 0.35, .round = round});
        if (look == SlotLook::Unusable) {
            const double in = round ? 0.146 : 0; // the diagonal of a circle's square
            const QRectF r =
                rect.adjusted(rect.width() * in, rect.height() * in, -rect.width() * in, -rect.height() * in);
            m_marks.push_back(LineMark{.fromMm = r.topLeft(), .toMm = r.bottomRight(), .widthMm = 0.1});
            m_marks.push_back(LineMark{.fromMm = r.bottomLeft(), .toMm = r.topRight(), .widthMm = 0.1});
        }
    }

    void drawSlot(const SlotPicture &slot)
    {
        const QRectF rect = toPage(slot.rect).adjusted(0.3, 0.3, -0.3, -0.3);
        outline(rect, slot.look, slot.round);
        m_crossed = slot.look == SlotLook::Unusable;
        const double in = slot.round ? 0.12 : 0;
        const QRectF inner = rect.adjusted(rect.width() * in + 0.9, rect.height() * in + 0.8,
                                           -rect.width() * in - 0.9, -rect.height() * in - 0.8);
        const double third = inner.height() / 3;
        const QRectF upper(inner.left(), inner.top(), inner.width(), third * 1.2);
        const QRectF lower(inner.left(), inner.top() + third * 1.2, inner.width(), third * 1.8);
        const QString ids = slot.ids.join(QStringLiteral(", "));
        if (!put(slot.code, upper, 14, smallestPt, true, Qt::AlignHCenter | Qt::AlignVCenter)) {
            put(slot.code, inner, 14, 4, true, Qt::AlignHCenter | Qt::AlignVCenter);
            return;
        }
        for (const QString &words : {joined(ids, slot.stateWord), ids, slot.stateWord}) {
            if (words.isEmpty())
                continue;
            auto mark = fitText(words, TextBox{.boxMm = lower,
                                               .largestPt = 10,
                                               .smallestPt = words == ids ? smallestPt : readablePt,
                                               .wrap = true,
                                               .align = Qt::AlignHCenter | Qt::AlignVCenter});
            if (!mark || mark->wrap == TextWrap::Anywhere)
                continue;
            addOnWhite(std::move(*mark));
            return;
        }
    }

    static QString joined(const QString &ids, const QString &word)
    {
        return ids.isEmpty() || word.isEmpty() ? ids + word : ids + QLatin1Char('\n') + word;
    }

    void drawEdges(const QRectF &plan)
    {
        const QRectF strip(plan.left(), m_area.top(), plan.width(), wordsMm);
        put(QStringLiteral("bow \u25B2"), strip, 7.5, 5, true, Qt::AlignHCenter | Qt::AlignVCenter);
        put(QStringLiteral("port"), strip, 7.5, 5, false, Qt::AlignLeft | Qt::AlignVCenter);
        put(QStringLiteral("starboard"), strip, 7.5, 5, false, Qt::AlignRight | Qt::AlignVCenter);
    }

    void drawLegend(double y)
    {
        struct Key {
            SlotLook look;
            QString word;
        };
        const std::vector<Key> keys{{SlotLook::Free, QStringLiteral("free")},
                                    {SlotLook::Taken, QStringLiteral("taken")},
                                    {SlotLook::Mixed, QStringLiteral("more than one thing")},
                                    {SlotLook::Unusable, QStringLiteral("not usable")}};
        double x = m_area.center().x() - 60;
        for (const Key &key : keys) {
            outline(QRectF(x, y + 0.3, 5, 3.2), key.look, false);
            const double wordMm = textWidthMm(key.word, 6.5) + 1;
            put(key.word, QRectF(x + 6, y, wordMm, 3.8), 6.5, 5, false, Qt::AlignLeft | Qt::AlignVCenter);
            x += 6 + wordMm + 6;
        }
    }

    const SlotPlanContent &m_plan;
    QRectF m_area;
    QRectF m_extent;
    double m_scale = 1;
    bool m_crossed = false;
    QPointF m_origin;
    std::vector<QRectF> m_boxes;
    std::vector<PageMark> m_marks;
};

} // namespace

std::vector<PageMark> drawSlotPlan(const SlotPlanContent &plan, const QRectF &areaMm)
{
    return PlanDrawing(plan, areaMm).draw();
}

} // namespace holdfast
