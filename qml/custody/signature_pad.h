// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/drawn_signature.h"
#include "theme.h"

#include <QQuickPaintedItem>

namespace holdfast
{

/// A field to sign in, with a pen, a finger or the mouse; the strokes are those the record keeps.
class SignaturePad : public QQuickPaintedItem
{
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(bool blank READ blank NOTIFY changed FINAL)
    Q_PROPERTY(QVariantList strokes READ strokes NOTIFY changed FINAL) ///< lists x, y, x, y, …

public:
    explicit SignaturePad(QQuickItem *parent = nullptr);
    void paint(QPainter *painter) override;

    Q_INVOKABLE void clear();
    [[nodiscard]] bool blank() const { return m_drawn.strokes.isEmpty(); }
    [[nodiscard]] QVariantList strokes() const;

signals:
    void changed();

protected:
    void mousePressEvent(QMouseEvent *event) override;
    void mouseMoveEvent(QMouseEvent *event) override;
    void mouseReleaseEvent(QMouseEvent *event) override;

private:
    [[nodiscard]] double unit() const; ///< pixels of a thousandth of the field
    void add(const QPointF &at);
    [[nodiscard]] const Theme *theme();

    DrawnSignature m_drawn;
    Theme *m_theme = nullptr;
};

} // namespace holdfast
