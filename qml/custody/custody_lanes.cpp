// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody_lanes.h"

#include <QPainter>
#include <QQmlEngine>
#include <algorithm>

namespace holdfast
{

namespace
{

/// The lane a period runs in.
QString laneOf(const CustodyPeriod &p)
{
    if (p.state == PeriodState::Ended)
        return p.basis;
    return p.holder.isEmpty() ? CustodyLanes::tr("nobody") : p.holder;
}

} // namespace

CustodyLanes::CustodyLanes(QQuickItem *parent) : QQuickPaintedItem(parent)
{
    setAntialiasing(true);
}

void CustodyLanes::setDesk(CustodyDesk *desk)
{
    if (desk == m_desk)
        return;
    m_desk = desk;
    connect(m_desk, &CustodyDesk::changed, this, &CustodyLanes::take);
    take();
    emit deskChanged();
}

const Theme *CustodyLanes::theme()
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

void CustodyLanes::take()
{
    m_lanes.clear();
    m_marks.clear();
    const CustodyView &view = m_desk->view();
    for (const CustodyThread &thread : view.threads) {
        for (const CustodyPeriod &p : thread.chain.periods) {
            m_marks.push_back(p.from);
            if (!m_lanes.contains(laneOf(p)))
                m_lanes << laneOf(p);
        }
    }
    std::sort(m_marks.begin(), m_marks.end());
    m_marks.erase(std::unique(m_marks.begin(), m_marks.end()), m_marks.end());
    m_from = m_marks.empty() ? view.now : m_marks.front();
    m_to = std::max(view.now, m_from);
    emit wordsChanged();
    update();
}

/// Half by the clock, half by the order of events: a hand-over within a minute stays visible beside weeks of
/// keeping.
double CustodyLanes::xOf(UtcTime t) const
{
    const double whole = std::max(1.0, secondsBetween(m_from, m_to));
    const double clock = secondsBetween(m_from, t) / whole;
    const auto rank = std::upper_bound(m_marks.begin(), m_marks.end(), t) - m_marks.begin();
    const double order =
        static_cast<double>(t >= m_to ? static_cast<std::ptrdiff_t>(m_marks.size()) + 1 : rank) /
        static_cast<double>(m_marks.size() + 1);
    return m_left + (width() - m_left - 12) * std::clamp(0.3 * clock + 0.7 * order, 0.0, 1.0);
}

void CustodyLanes::paintThread(QPainter &painter, const CustodyThread &thread, double offset) const
{
    const auto yOf = [&](const CustodyPeriod &p) {
        return m_laneHeight * (static_cast<double>(m_lanes.indexOf(laneOf(p))) + 0.12 + 0.76 * offset);
    };
    QPointF last;
    bool begun = false;
    for (const CustodyPeriod &p : thread.chain.periods) {
        const QPointF from(xOf(p.from), yOf(p));
        const QPointF to(xOf(p.to.value_or(m_to)), yOf(p));
        QPen pen(p.state == PeriodState::Nobody      ? m_theme->bad()
                 : p.state == PeriodState::InTransit ? m_theme->care()
                                                     : m_theme->good(),
                 1.6);
        if (p.state == PeriodState::InTransit)
            pen.setStyle(Qt::DashLine);
        if (p.state == PeriodState::Nobody)
            pen.setStyle(Qt::DotLine);
        if (p.state == PeriodState::Ended)
            pen.setColor(m_theme->soft());
        const bool torn = std::any_of(
            thread.chain.findings.begin(), thread.chain.findings.end(), [&p](const CustodyFinding &f) {
                return !f.explained && f.at == p.from &&
                       (f.what == CustodyFinding::What::Overlap || f.what == CustodyFinding::What::Mismatch ||
                        f.what == CustodyFinding::What::Gap || f.what == CustodyFinding::What::Order);
            });
        if (begun && !torn) {
            painter.setPen(QPen(m_theme->rule(), 1));
            painter.drawLine(last, from);
        }
        painter.setPen(pen);
        painter.drawLine(from, to);
        last = to;
        begun = true;
    }
    painter.setPen(m_theme->bad());
    for (const CustodyFinding &f : thread.chain.findings) {
        if (f.explained)
            continue;
        const CustodyPeriod *p = thread.chain.at(f.at);
        if (p)
            painter.drawText(QRectF(xOf(f.at) - 8, yOf(*p) - 12, 16, 24), Qt::AlignCenter,
                             QStringLiteral("!"));
    }
}

void CustodyLanes::paint(QPainter *painter)
{
    if (!m_desk || !theme() || m_lanes.isEmpty())
        return;
    QFont font(m_theme->family());
    font.setPixelSize(static_cast<int>(m_theme->small()));
    painter->setFont(font);
    const QFontMetricsF metrics(font);
    m_left = 0;
    for (const QString &lane : std::as_const(m_lanes))
        m_left = std::max(m_left, metrics.horizontalAdvance(lane));
    m_left = std::min(m_left, width() * 0.25) + m_theme->gap() * 2;
    const double foot = metrics.height() * 1.4;
    m_laneHeight = std::min((height() - foot) / static_cast<double>(m_lanes.size()), m_theme->body() * 7);
    for (int i = 0; i < m_lanes.size(); ++i) {
        const QRectF lane(0, m_laneHeight * i, width(), m_laneHeight);
        if (i % 2 == 0)
            painter->fillRect(lane, m_theme->ground());
        painter->setPen(m_theme->ink());
        painter->drawText(lane.adjusted(m_theme->gap(), 0, 0, 0)
                              .intersected(QRectF(0, lane.y(), m_left - m_theme->gap(), lane.height())),
                          Qt::AlignVCenter | Qt::AlignLeft,
                          metrics.elidedText(m_lanes.at(i), Qt::ElideRight, m_left - m_theme->gap() * 2));
    }
    const auto &threads = m_desk->view().threads;
    for (std::size_t i = 0; i < threads.size(); ++i)
        paintThread(*painter, threads[i],
                    threads.size() < 2 ? 0.5
                                       : static_cast<double>(i) / static_cast<double>(threads.size() - 1));
    painter->setPen(m_theme->soft());
    const double y = m_laneHeight * static_cast<double>(m_lanes.size());
    painter->drawText(QRectF(m_left, y, width() / 2, foot), Qt::AlignVCenter | Qt::AlignLeft,
                      dateText(m_from) + QLatin1Char(' ') + clockText(m_from));
    painter->drawText(QRectF(width() / 2, y, width() / 2 - 12, foot), Qt::AlignVCenter | Qt::AlignRight,
                      tr("now, ") + dateText(m_to) + QLatin1Char(' ') + clockText(m_to));
}

} // namespace holdfast
