// SPDX-License-Identifier: GPL-3.0-or-later
#include "signature_pad.h"

#include <QMouseEvent>
#include <QPainter>
#include <QQmlEngine>
#include <algorithm>

namespace holdfast
{

SignaturePad::SignaturePad(QQuickItem *parent) : QQuickPaintedItem(parent)
{
    setAcceptedMouseButtons(Qt::LeftButton);
    setAntialiasing(true);
}

const Theme *SignaturePad::theme()
{
    if (!m_theme) {
        if (QQmlEngine *const engine = qmlEngine(this))
            m_theme = engine->singletonInstance<Theme *>(qmlTypeId("Holdfast.Ui", 1, 0, "Theme"));
        if (m_theme)
            connect(m_theme, &Theme::changed, this, [this] { update(); });
    }
    return m_theme;
}

double SignaturePad::unit() const
{
    return std::max(0.001, std::min(width() / DrawnSignature::width, height() / DrawnSignature::height));
}

void SignaturePad::paint(QPainter *painter)
{
    const Theme *const colours = theme();
    if (!colours)
        return;
    painter->setRenderHint(QPainter::Antialiasing);
    painter->setPen(QPen(colours->soft(), 1));
    const double line = height() * 0.8;
    painter->drawLine(QPointF(width() * 0.03, line), QPointF(width() * 0.97, line));
    painter->setPen(
        QPen(colours->ink(), std::max(1.5, unit() * 6), Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
    for (const QVector<QPoint> &stroke : m_drawn.strokes) {
        for (qsizetype i = 1; i < stroke.size(); ++i)
            painter->drawLine(QPointF(stroke.at(i - 1)) * unit(), QPointF(stroke.at(i)) * unit());
    }
}

void SignaturePad::add(const QPointF &at)
{
    if (m_drawn.points() >= DrawnSignature::mostPoints)
        return;
    const QPoint p(std::clamp(qRound(at.x() / unit()), 0, DrawnSignature::width),
                   std::clamp(qRound(at.y() / unit()), 0, DrawnSignature::height));
    QVector<QPoint> &stroke = m_drawn.strokes.last();
    if (stroke.isEmpty() || stroke.last() != p)
        stroke << p;
    update();
}

void SignaturePad::mousePressEvent(QMouseEvent *event)
{
    m_drawn.strokes.append(QVector<QPoint>());
    add(event->position());
    setKeepMouseGrab(true);
    event->accept();
}

void SignaturePad::mouseMoveEvent(QMouseEvent *event)
{
    if (!m_drawn.strokes.isEmpty())
        add(event->position());
}

void SignaturePad::mouseReleaseEvent(QMouseEvent *event)
{
    mouseMoveEvent(event);
    setKeepMouseGrab(false);
    emit changed();
}

void SignaturePad::clear()
{
    m_drawn.strokes.clear();
    update();
    emit changed();
}

QVariantList SignaturePad::strokes() const
{
    QVariantList all;
    for (const QVector<QPoint> &stroke : m_drawn.strokes) {
        QVariantList one;
        for (const QPoint &p : stroke)
            one << p.x() << p.y();
        all << QVariant(one);
    }
    return all;
}

} // namespace holdfast
