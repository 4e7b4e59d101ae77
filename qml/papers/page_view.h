// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "papers_desk.h"

#include <QColor>
#include <QQuickPaintedItem>

namespace holdfast
{

/// The page in sight, painted by the painter that paints the paper, as large as it fits; one label of it
/// while a part of a stock is in hand, with that part marked.
class PageView : public QQuickPaintedItem
{
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(holdfast::PapersDesk *papers READ papers WRITE setPapers NOTIFY papersChanged FINAL)
    Q_PROPERTY(
        QColor paper READ paper WRITE setPaper NOTIFY paperChanged FINAL) ///< white is too bright at night

public:
    using QQuickPaintedItem::QQuickPaintedItem;
    void paint(QPainter *painter) override;

    [[nodiscard]] PapersDesk *papers() const { return m_papers; }
    void setPapers(PapersDesk *papers);
    [[nodiscard]] QColor paper() const { return m_paper; }
    void setPaper(const QColor &paper);

signals:
    void papersChanged();
    void paperChanged();

private:
    PapersDesk *m_papers = nullptr;
    QColor m_paper = Qt::white;
};

} // namespace holdfast
