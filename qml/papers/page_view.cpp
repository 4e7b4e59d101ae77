// SPDX-License-Identifier: GPL-3.0-or-later
#include "page_view.h"

#include <QPainter>
#include <algorithm>

namespace holdfast
{

void PageView::setPapers(PapersDesk *papers)
{
    if (papers == m_papers)
        return;
    m_papers = papers;
    connect(papers, &PapersDesk::changed, this, [this] { update(); });
    emit papersChanged();
}

void PageView::setPaper(const QColor &paper)
{
    if (paper == m_paper)
        return;
    m_paper = paper;
    update();
    emit paperChanged();
}

void PageView::paint(QPainter *painter)
{
    const Page *page = m_papers ? m_papers->shownPage() : nullptr;
    if (!page || page->sizeMm.isEmpty())
        return;
    constexpr double mostDotsPerMm = 12; // a small label is not blown up beyond 300 dpi
    const QRectF closeUp = m_papers->closeUpMm();
    const QRectF look = closeUp.isEmpty() ? QRectF(QPointF(0, 0), page->sizeMm) : closeUp;
    const double dotsPerMm = std::min(
        {width() / look.width(), height() / look.height(), closeUp.isEmpty() ? mostDotsPerMm : 40.0});
    const QSizeF size = look.size() * dotsPerMm;
    painter->setRenderHint(QPainter::Antialiasing);
    painter->translate((width() - size.width()) / 2, (height() - size.height()) / 2);
    const QRectF sheet(QPointF(0, 0), size);
    painter->setClipRect(sheet);
    painter->fillRect(sheet, Qt::white);
    painter->save();
    painter->translate(-look.topLeft() * dotsPerMm);
    paintPage(*page, *painter, dotsPerMm);
    painter->restore();
    painter->setCompositionMode(QPainter::CompositionMode_Multiply); // greys darken with the paper
    painter->fillRect(sheet, m_paper);
    const QRectF marked = m_papers->markedMm();
    if (marked.isEmpty())
        return;
    painter->setCompositionMode(QPainter::CompositionMode_SourceOver);
    painter->setPen(QPen(Qt::black, 2, Qt::DashLine)); // on paper, at night too
    painter->drawRect(QRectF((marked.topLeft() - look.topLeft()) * dotsPerMm, marked.size() * dotsPerMm)
                          .adjusted(-2, -2, 2, 2));
}

} // namespace holdfast
