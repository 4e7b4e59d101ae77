// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/label_placer.h"

#include "print/page_text.h"

#include <algorithm>

namespace holdfast
{

std::vector<PageMark> LabelPlacer::place(const QString &words, const QPointF &pointMm, double radiusMm,
                                         double sizePt, First first)
{
    const double width = textWidthMm(words, sizePt) + 0.2;
    const double height = textHeightMm(words, 1000, sizePt);
    const double gap = radiusMm + 0.3;
    const QPointF p = pointMm;
    QPointF corners[]{{p.x() + gap, p.y() - height / 2},
                      {p.x() - width / 2, p.y() - gap - height},
                      {p.x() - gap - width, p.y() - height / 2},
                      {p.x() - width / 2, p.y() + gap},
                      {p.x() + gap, p.y() - gap - height},
                      {p.x() - gap - width, p.y() - gap - height},
                      {p.x() + gap, p.y() + gap},
                      {p.x() - gap - width, p.y() + gap}};
    if (first == First::Above)
        std::swap(corners[0], corners[1]);
    for (const QPointF &corner : corners) {
        const QRectF rect(corner, QSizeF(width, height));
        const bool taken = std::any_of(m_taken.begin(), m_taken.end(),
                                       [&rect](const QRectF &r) { return r.intersects(rect); });
        if (taken || !m_area.contains(rect))
            continue;
        auto mark =
            fitText(words, TextBox{.boxMm = rect, .largestPt = sizePt, .smallestPt = sizePt, .wrap = false});
        if (!mark)
            continue;
        m_taken.push_back(rect);
        std::vector<PageMark> marks;
        marks.push_back(std::move(*mark));
        return marks;
    }
    ++m_leftOut;
    return {};
}

} // namespace holdfast
