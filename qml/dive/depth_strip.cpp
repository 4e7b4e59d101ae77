// SPDX-License-Identifier: GPL-3.0-or-later
#include "depth_strip.h"

#include "sample_model.h"

#include <QPainter>
#include <QQmlEngine>
#include <algorithm>
#include <cmath>

namespace holdfast
{

/// From time and depth to pixels.
struct DepthStrip::Scale {
    qint64 firstUs = 0, lastUs = 0;
    double deepestM = 0;
    QRectF area;

    [[nodiscard]] double x(qint64 us) const
    {
        return area.left() +
               area.width() * static_cast<double>(us - firstUs) / static_cast<double>(lastUs - firstUs);
    }
    [[nodiscard]] double y(double depthM) const { return area.top() + area.height() * depthM / deepestM; }
};

namespace
{

/// The depth at a time, on the line between the points about it; none outside them.
std::optional<double> depthAt(const std::vector<DepthPoint> &points, qint64 us)
{
    const auto after = std::lower_bound(points.begin(), points.end(), us,
                                        [](const DepthPoint &p, qint64 t) { return p.timeUs < t; });
    if (after == points.end() || (after == points.begin() && after->timeUs != us))
        return {};
    if (after == points.begin())
        return after->depthM;
    const DepthPoint &a = *(after - 1);
    const double part = static_cast<double>(us - a.timeUs) / static_cast<double>(after->timeUs - a.timeUs);
    return a.depthM + part * (after->depthM - a.depthM);
}

/// 1, 2 or 5 times a power of ten, so that `span` has about `parts` steps.
double niceStep(double span, int parts)
{
    const double rough = span / parts;
    const double power = std::pow(10.0, std::floor(std::log10(rough)));
    for (const double f : {1.0, 2.0, 5.0}) {
        if (rough <= f * power)
            return f * power;
    }
    return 10 * power;
}

} // namespace

DepthStrip::DepthStrip(QQuickItem *parent) : QQuickPaintedItem(parent)
{
    setAntialiasing(true);
}

void DepthStrip::setFeeds(FeedDesk *feeds)
{
    if (feeds == m_feeds)
        return;
    m_feeds = feeds;
    connect(feeds, &FeedDesk::depthsChanged, this, [this] { update(); });
    emit sourcesChanged();
}

void DepthStrip::setDesk(Desk *desk)
{
    if (desk == m_desk)
        return;
    m_desk = desk;
    connect(desk, &Desk::refreshed, this, [this] { update(); });
    emit sourcesChanged();
}

const Theme *DepthStrip::theme()
{
    if (!m_theme) {
        QQmlEngine *engine = qmlEngine(this);
        m_theme =
            engine ? engine->singletonInstance<Theme *>(qmlTypeId("Holdfast.Ui", 1, 0, "Theme")) : nullptr;
        if (m_theme)
            connect(m_theme, &Theme::changed, this, [this] { update(); });
    }
    return m_theme;
}

std::optional<DepthStrip::Scale> DepthStrip::scale() const
{
    const auto &points = m_feeds->depths();
    if (points.size() < 2)
        return {};
    Scale s;
    s.firstUs = points.front().timeUs;
    s.lastUs = points.back().timeUs;
    if (s.lastUs <= s.firstUs)
        return {};
    for (const DepthPoint &p : points)
        s.deepestM = std::max(s.deepestM, static_cast<double>(p.depthM));
    s.deepestM = std::max(10.0, s.deepestM * 1.12);
    const double text = m_theme->tiny();
    s.area = boundingRect().adjusted(text * 4.2, text * 0.5, -text, -text * 1.6);
    return s;
}

void DepthStrip::paint(QPainter *painter)
{
    if (!m_feeds || !m_desk || !theme())
        return;
    painter->setRenderHint(QPainter::Antialiasing);
    QFont font(Theme::family());
    font.setPixelSize(static_cast<int>(m_theme->tiny()));
    painter->setFont(font);
    const auto s = scale();
    if (!s) {
        painter->setPen(m_theme->soft());
        painter->drawText(boundingRect(), Qt::AlignCenter,
                          tr("Depth against time appears here as soon as a feed gives depths (F4 feeds)."));
        return;
    }
    paintAxes(*painter, *s);
    // Two points to a pixel are enough: depth changes little between them.
    const auto &points = m_feeds->depths();
    QPolygonF line;
    const auto step =
        std::max<std::size_t>(1, points.size() / static_cast<std::size_t>(std::max(1.0, width() * 2)));
    for (std::size_t i = 0; i < points.size(); i += step)
        line << QPointF(s->x(points[i].timeUs), s->y(static_cast<double>(points[i].depthM)));
    painter->setPen(QPen(m_theme->ink(), std::max(1.5, m_theme->ring() * 0.7)));
    painter->setBrush(Qt::NoBrush);
    painter->drawPolyline(line);
    paintMarks(*painter, *s);
}

void DepthStrip::paintAxes(QPainter &painter, const Scale &s) const
{
    const double text = m_theme->tiny();
    const double step = niceStep(s.deepestM, 3);
    for (double d = 0; d <= s.deepestM; d += step) {
        const double y = s.y(d);
        painter.setPen(QPen(m_theme->rule(), 1));
        painter.drawLine(QPointF(s.area.left(), y), QPointF(s.area.right(), y));
        painter.setPen(m_theme->soft());
        painter.drawText(QRectF(0, y - text, s.area.left() - text * 0.5, text * 2),
                         Qt::AlignRight | Qt::AlignVCenter, numberText(d, 0) + QStringLiteral(" m"));
    }
    const qint64 minutes = std::max<qint64>(
        1, static_cast<qint64>(niceStep(static_cast<double>(s.lastUs - s.firstUs) / 60e6, 6)));
    const qint64 stepUs = (minutes >= 50 ? (minutes + 59) / 60 * 60 : minutes) * 60'000'000;
    for (qint64 t = (s.firstUs / stepUs + 1) * stepUs; t <= s.lastUs; t += stepUs) {
        painter.setPen(QPen(m_theme->rule(), 1));
        painter.drawLine(QPointF(s.x(t), s.area.top()), QPointF(s.x(t), s.area.bottom()));
        painter.setPen(m_theme->soft());
        painter.drawText(QRectF(s.x(t) - text * 3, s.area.bottom() + text * 0.1, text * 6, text * 1.5),
                         Qt::AlignHCenter | Qt::AlignTop, clockText(utcFromMicroseconds(t)).left(5));
    }
}

void DepthStrip::paintMarks(QPainter &painter, const Scale &s) const
{
    const SnapshotPtr snapshot = m_desk->snapshot();
    if (!snapshot)
        return;
    const double r = m_theme->tiny() * 0.38;
    for (const SampleModel::Row &row : SampleModel::rowsOf(*snapshot)) {
        const auto depth = depthAt(m_feeds->depths(), row.timeUs);
        if (!depth)
            continue;
        const QPointF at(s.x(row.timeUs), s.y(*depth));
        if (row.state == QLatin1String("held")) {
            painter.setPen(QPen(m_theme->ground(), 1));
            painter.setBrush(m_theme->focus());
            painter.drawEllipse(at, r, r);
        } else {
            painter.setPen(QPen(m_theme->care(), m_theme->ring() * 0.7));
            painter.drawLine(at - QPointF(r, r), at + QPointF(r, r));
            painter.drawLine(at - QPointF(r, -r), at + QPointF(r, -r));
        }
    }
    painter.setPen(QPen(m_theme->focus(), m_theme->ring() * 0.7));
    painter.setBrush(m_theme->ground());
    for (const StampInfo &stamp : snapshot->stamps) { // waiting: an open ring
        const auto depth = depthAt(m_feeds->depths(), microsecondsOf(stamp.time));
        if (depth && stamp.state == QLatin1String("waiting"))
            painter.drawEllipse(QPointF(s.x(microsecondsOf(stamp.time)), s.y(*depth)), r, r);
    }
}

} // namespace holdfast
