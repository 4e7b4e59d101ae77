// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "print/page_document.h"

namespace holdfast
{

/// Sets small words beside points of a drawing so that none lies upon another; a word that finds no room is
/// counted, and the drawing says so.
class LabelPlacer
{
public:
    explicit LabelPlacer(const QRectF &areaMm) : m_area(areaMm) {}

    /// A mark for `words` near `pointMm`, which itself takes `radiusMm`; nothing where it is too crowded.
    /// Beside the point first, or above it.
    enum class First { Beside, Above };
    [[nodiscard]] std::vector<PageMark> place(const QString &words, const QPointF &pointMm, double radiusMm,
                                              double sizePt, First first = First::Beside);
    /// Keeps a rectangle free of words.
    void keepFree(const QRectF &rectMm) { m_taken.push_back(rectMm); }
    [[nodiscard]] int leftOut() const { return m_leftOut; }

private:
    QRectF m_area;
    std::vector<QRectF> m_taken;
    int m_leftOut = 0;
};

} // namespace holdfast
