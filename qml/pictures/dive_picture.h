// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "picture_desk.h"
#include "print/page_document.h"
#include "theme.h"

#include <QQuickPaintedItem>

namespace holdfast
{

/// One picture of the dive, drawn by the painter of the papers: a value over time with the samples on it, or
/// the track from above. Drawn anew only when its data or its size change.
class DivePicture : public QQuickPaintedItem
{
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(holdfast::PictureDesk *pictures READ pictures WRITE setPictures NOTIFY sourceChanged FINAL)
    Q_PROPERTY(Kind kind READ kind WRITE setKind NOTIFY sourceChanged FINAL)

public:
    enum Kind { Depth, Temperature, Salinity, Oxygen, TrackPlan };
    Q_ENUM(Kind)

    explicit DivePicture(QQuickItem *parent = nullptr);
    void paint(QPainter *painter) override;

    [[nodiscard]] PictureDesk *pictures() const { return m_pictures; }
    [[nodiscard]] Kind kind() const { return m_kind; }
    void setPictures(PictureDesk *pictures);
    void setKind(Kind kind);

signals:
    void sourceChanged();

private:
    [[nodiscard]] const Theme *theme();
    void geometryChange(const QRectF &now, const QRectF &before) override;
    void redraw();
    void show(const QImage &drawn);
    [[nodiscard]] TimeChart chart() const;

    PictureDesk *m_pictures = nullptr;
    Theme *m_theme = nullptr;
    Kind m_kind = Depth;
    QImage m_drawn;
    bool m_busy = false;  ///< one is being drawn
    bool m_again = false; ///< and is old already
};

/// A page's marks as a picture in two colours: black becomes `ink`, white becomes `ground`, greys lie
/// between.
[[nodiscard]] QImage pagePicture(const std::vector<PageMark> &marks, const QSize &pixels, double dotsPerMm,
                                 const QColor &ink, const QColor &ground);

} // namespace holdfast
