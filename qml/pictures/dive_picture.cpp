// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive_picture.h"

#include "print/decimate.h"

#include <QGuiApplication>
#include <QPainter>
#include <QPointer>
#include <QQmlEngine>
#include <QQuickWindow>
#include <QThreadPool>
#include <cmath>

namespace holdfast
{

namespace
{

constexpr double chartWordMm = 6.5 * 25.4 / 72; ///< the height of the small words in the papers' charts

/// What the axis spans at least, by kind: about ten times the noise of the sensors of a deep vehicle at rest
/// (common practice: depth 0.1 m, 1 mdegC, 0.002, 0.5 µmol/kg).
constexpr std::array<double, 4> leastSpans{5, 0.05, 0.02, 5};

void finish(TimeChart &chart, int columns)
{
    const std::vector<ChartPoint> all = std::exchange(chart.points, {});
    chart.points = decimate(all, chart.from, chart.to, columns, std::max(1.0, 20 * usualStepS(all)));
    for (TimeChart::Sign &sign : chart.signs)
        sign.value = valueAt(all, sign.time);
}

QRgb between(const QColor &ink, const QColor &ground, int grey)
{
    const auto mix = [grey](int a, int b) { return a + (b - a) * grey / 255; };
    return qRgb(mix(ink.red(), ground.red()), mix(ink.green(), ground.green()),
                mix(ink.blue(), ground.blue()));
}

} // namespace

QImage pagePicture(const std::vector<PageMark> &marks, const QSize &pixels, double dotsPerMm,
                   const QColor &ink, const QColor &ground)
{
    QImage page(pixels, QImage::Format_RGB32);
    page.fill(Qt::white);
    {
        QPainter painter(&page);
        paintPage(Page{.sizeMm = QSizeF(pixels) / dotsPerMm, .marks = marks}, painter, dotsPerMm);
    }
    // The papers know black, white and greys only: one look-up turns them into the theme's colours.
    std::array<QRgb, 256> colours{};
    for (int grey = 0; grey < 256; ++grey)
        colours[static_cast<std::size_t>(grey)] = between(ink, ground, grey);
    for (int y = 0; y < page.height(); ++y) {
        auto *line = reinterpret_cast<QRgb *>(page.scanLine(y));
        for (int x = 0; x < page.width(); ++x)
            line[x] = colours[static_cast<std::size_t>(qGray(line[x]))];
    }
    return page;
}

DivePicture::DivePicture(QQuickItem *parent) : QQuickPaintedItem(parent)
{
    setOpaquePainting(true);
    connect(this, &QQuickItem::visibleChanged, this, &DivePicture::redraw);
}

void DivePicture::setPictures(PictureDesk *pictures)
{
    if (pictures == m_pictures)
        return;
    m_pictures = pictures;
    connect(pictures, &PictureDesk::changed, this, &DivePicture::redraw);
    emit sourceChanged();
    redraw();
}

void DivePicture::setKind(Kind kind)
{
    m_kind = kind;
    emit sourceChanged();
    redraw();
}

void DivePicture::geometryChange(const QRectF &now, const QRectF &before)
{
    QQuickPaintedItem::geometryChange(now, before);
    if (now.size() != before.size())
        redraw();
}

const Theme *DivePicture::theme()
{
    if (!m_theme) {
        QQmlEngine *engine = qmlEngine(this);
        m_theme =
            engine ? engine->singletonInstance<Theme *>(qmlTypeId("Holdfast.Ui", 1, 0, "Theme")) : nullptr;
        if (m_theme)
            connect(m_theme, &Theme::changed, this, &DivePicture::redraw);
    }
    return m_theme;
}

/// With all points and with signs that have no value yet: finish() does the rest beside the window's thread.
TimeChart DivePicture::chart() const
{
    const auto which = static_cast<CourseBook::Which>(m_kind);
    TimeChart chart;
    chart.from = m_pictures->from();
    chart.to = m_pictures->to();
    chart.downwards = m_kind == Depth;
    chart.broken = true;
    chart.compact = true;
    chart.times = m_kind == Depth || m_kind == Oxygen; // the strips above share those of the lowest
    chart.title = PictureDesk::titleOf(which);
    chart.leastSpan = leastSpans[static_cast<std::size_t>(m_kind)];
    ShownCourse course = m_pictures->course(which);
    chart.points = std::move(course.points);
    chart.provisionalFrom = course.provisionalFrom;
    for (const PictureDesk::Sign &sign : m_pictures->signs()) {
        if (sign.time > chart.to)
            continue;
        TimeChart::Sign s{sign.time, 0, sign.label};
        s.look = sign.state == QLatin1String("held")      ? TimeChart::Sign::Look::Filled
                 : sign.state == QLatin1String("waiting") ? TimeChart::Sign::Look::Ring
                                                          : TimeChart::Sign::Look::Cross;
        chart.signs.push_back(s);
    }
    return chart;
}

void DivePicture::redraw()
{
    if (!m_pictures || !isVisible() || !theme() || width() < 40 || height() < 20)
        return;
    if (m_busy) {
        m_again = true;
        return;
    }
    m_busy = true;
    m_again = false;
    // Words come out as large as the theme's small ones; on a dense screen the picture is as fine as the
    // screen.
    const double ratio = window() ? window()->effectiveDevicePixelRatio() : 1;
    const double dotsPerMm = m_theme->tiny() / chartWordMm * ratio;
    const QSize pixels = (size() * ratio).toSize();
    const QRectF areaMm = QRectF(QPointF(0, 0), QSizeF(pixels) / dotsPerMm).adjusted(0.2, 0.2, -0.2, -0.2);
    const bool isMap = m_kind == TrackPlan;
    const TrackMapContent map = isMap ? m_pictures->track() : TrackMapContent();
    TimeChart strip = isMap ? TimeChart() : chart();
    QThreadPool::globalInstance()->start([self = QPointer<DivePicture>(this), isMap, map,
                                          strip = std::move(strip), areaMm, pixels, dotsPerMm,
                                          columns = static_cast<int>(std::ceil(width())),
                                          ink = m_theme->ink(), ground = m_theme->raised()]() mutable {
        finish(strip, columns);
        const QImage drawn = pagePicture(isMap ? drawTrackMap(map, areaMm) : drawTimeChart(strip, areaMm),
                                         pixels, dotsPerMm, ink, ground);
        QMetaObject::invokeMethod(qApp, [self, drawn] {
            if (self)
                self->show(drawn);
        });
    });
}

void DivePicture::show(const QImage &drawn)
{
    m_drawn = drawn;
    m_busy = false;
    update();
    if (m_again)
        redraw();
}

void DivePicture::paint(QPainter *painter)
{
    if (m_drawn.isNull() && m_theme)
        painter->fillRect(boundingRect(), m_theme->raised());
    else
        painter->drawImage(boundingRect(), m_drawn);
}

} // namespace holdfast
