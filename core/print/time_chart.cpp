// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/time_chart.h"

#include "print/label_placer.h"
#include "print/page_text.h"
#include "print/value_text.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace holdfast
{

namespace
{

constexpr double gutterMm = 13;
constexpr double titleMm = 4.5;
constexpr double timesMm = 4.5;
constexpr double columnMm = 0.15;
constexpr double signRadiusMm = 0.8;
constexpr double wordPt = 6.5;

/// Longest step of time that still counts as connected: 20 times the median.
double longestStep(const std::vector<ChartPoint> &points)
{
    std::vector<double> steps;
    for (std::size_t i = 1; i < points.size(); ++i)
        steps.push_back(secondsBetween(points[i - 1].time, points[i].time));
    if (steps.empty())
        return 0;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    return std::max(*middle * 20, 1.0);
}

class ChartDrawing
{
public:
    ChartDrawing(const TimeChart &chart, const QRectF &areaMm)
        : m_chart(chart), m_area(areaMm),
          m_plot(areaMm.adjusted(gutterMm, chart.compact ? 0.3 : titleMm, -2, chart.times ? -timesMm : -0.6))
    {
    }

    std::vector<PageMark> draw()
    {
        if (!m_chart.compact)
            put(title(), QRectF(m_area.left(), m_area.top(), m_area.width(), titleMm), 8, true,
                Qt::AlignLeft | Qt::AlignVCenter);
        if (!findRange() || m_chart.to <= m_chart.from) {
            put(QStringLiteral("no values"), m_plot, 8, false, Qt::AlignCenter);
            m_marks.push_back(BoxMark{.rectMm = m_plot, .lineMm = 0.15});
            return std::move(m_marks);
        }
        drawTimes();
        drawValues();
        drawLine();
        drawSigns();
        if (m_chart.compact)
            drawTitleInside();
        m_marks.push_back(BoxMark{.rectMm = m_plot, .lineMm = 0.2});
        return std::move(m_marks);
    }

private:
    void put(const QString &words, const QRectF &box, double size, bool bold, Qt::Alignment align)
    {
        auto mark = fitText(words, TextBox{.boxMm = box,
                                           .largestPt = size,
                                           .smallestPt = 4.5,
                                           .bold = bold,
                                           .wrap = false,
                                           .mayCut = true,
                                           .align = align});
        if (mark)
            m_marks.push_back(std::move(*mark));
    }

    [[nodiscard]] bool isProvisional(UtcTime time) const
    {
        return m_chart.provisionalFrom && time >= *m_chart.provisionalFrom;
    }
    [[nodiscard]] QString title() const
    {
        return isProvisional(m_chart.to) ? m_chart.title + QStringLiteral(", dashed: provisional")
                                         : m_chart.title;
    }

    bool findRange()
    {
        bool any = false;
        const auto take = [&](double v) {
            if (!std::isfinite(v))
                return;
            m_least = any ? std::min(m_least, v) : v;
            m_most = any ? std::max(m_most, v) : v;
            any = true;
        };
        for (const ChartPoint &p : m_chart.points)
            take(p.value);
        for (const TimeChart::Sign &s : m_chart.signs)
            take(s.value);
        if (const double lacking = m_chart.leastSpan - (m_most - m_least); any && lacking > 0) {
            m_least -= lacking / 2;
            m_most += lacking / 2;
        }
        const double room = std::max((m_most - m_least) * 0.06, std::abs(m_most) * 1e-6 + 1e-6);
        m_least -= room;
        m_most += room;
        return any;
    }

    [[nodiscard]] double x(UtcTime t) const
    {
        return m_plot.left() +
               m_plot.width() * secondsBetween(m_chart.from, t) / secondsBetween(m_chart.from, m_chart.to);
    }
    [[nodiscard]] double y(double v) const
    {
        const double share = (v - m_least) / (m_most - m_least);
        return m_chart.downwards ? m_plot.top() + m_plot.height() * share
                                 : m_plot.bottom() - m_plot.height() * share;
    }

    void grid(const QPointF &a, const QPointF &b)
    {
        m_marks.push_back(PathMark{.pointsMm = QPolygonF({a, b}), .lineMm = 0.1, .grey = 0.75});
    }

    void drawTimes()
    {
        static constexpr std::array<int, 12> minutes{1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440};
        const double total = secondsBetween(m_chart.from, m_chart.to) / 60;
        int step = minutes.back() * std::max(1, static_cast<int>(std::ceil(total / 1440 / 8)));
        for (const int m : minutes) {
            if (total / m <= 10) {
                step = std::min(step, m);
                break;
            }
        }
        const std::int64_t us = std::int64_t{step} * 60'000'000;
        const std::int64_t first = (microsecondsOf(m_chart.from) + us - 1) / us * us;
        for (std::int64_t t = first; t <= microsecondsOf(m_chart.to); t += us) {
            const double at = x(utcFromMicroseconds(t));
            grid({at, m_plot.top()}, {at, m_plot.bottom()});
            if (!m_chart.times)
                continue;
            put(clockText(utcFromMicroseconds(t)).left(5),
                QRectF(at - 5, m_plot.bottom() + 0.5, 10, timesMm - 0.6), wordPt, false,
                Qt::AlignHCenter | Qt::AlignVCenter);
        }
    }

    void drawValues()
    {
        // One tick alone tells neither the scale nor how many decimals it needs.
        int count = std::clamp(static_cast<int>(m_plot.height() / 6), 2, 8);
        auto ticks = roundTicks(m_least, m_most, count);
        for (; ticks.size() < 2 && count < 8; ++count)
            ticks = roundTicks(m_least, m_most, count + 1);
        const double step = ticks.size() > 1 ? ticks[1] - ticks[0] : 1;
        const int decimals = std::clamp(static_cast<int>(std::ceil(-std::log10(step) - 1e-9)), 0, 6);
        for (const double tick : ticks) {
            grid({m_plot.left(), y(tick)}, {m_plot.right(), y(tick)});
            put(numberText(tick, decimals), QRectF(m_area.left(), y(tick) - 1.6, gutterMm - 1, 3.2), wordPt,
                false, Qt::AlignRight | Qt::AlignVCenter);
        }
    }

    void drawLine()
    {
        const double longest =
            m_chart.broken ? std::numeric_limits<double>::infinity() : longestStep(m_chart.points);
        QPolygonF line;
        double columnStart = -1;
        double least = 0;
        double most = 0;
        UtcTime last{};
        bool dashed = false;
        const auto endColumn = [&] {
            if (columnStart < 0)
                return;
            line << QPointF(columnStart, y(least));
            if (most > least)
                line << QPointF(columnStart, y(most));
            columnStart = -1;
        };
        const auto endLine = [&] {
            endColumn();
            if (line.size() > 1)
                m_marks.push_back(PathMark{.pointsMm = line, .lineMm = 0.25, .dashed = dashed});
            else if (line.size() == 1)
                m_marks.push_back(BoxMark{.rectMm = QRectF(line[0] - QPointF(0.15, 0.15), QSizeF(0.3, 0.3)),
                                          .lineMm = 0,
                                          .grey = 0,
                                          .round = true});
            line.clear();
        };
        for (const ChartPoint &p : m_chart.points) {
            if (p.time < m_chart.from || p.time > m_chart.to)
                continue;
            if (!std::isfinite(p.value) || (last != UtcTime{} && secondsBetween(last, p.time) > longest))
                endLine();
            last = p.time;
            if (!std::isfinite(p.value))
                continue;
            const double at = x(p.time);
            if (!dashed && isProvisional(p.time)) { // goes on from the last point of the other line
                endColumn();
                const QPolygonF end = line.isEmpty() ? QPolygonF() : QPolygonF({line.last()});
                endLine();
                line = end;
                dashed = true;
            }
            if (columnStart >= 0 && at - columnStart < columnMm) {
                least = std::min(least, p.value);
                most = std::max(most, p.value);
                continue;
            }
            endColumn();
            columnStart = at;
            least = most = p.value;
        }
        endLine();
    }

    void drawSigns()
    {
        LabelPlacer placer(m_plot);
        for (const TimeChart::Sign &sign : m_chart.signs) {
            if (sign.time < m_chart.from || sign.time > m_chart.to)
                continue;
            if (!std::isfinite(sign.value)) {
                m_marks.push_back(PathMark{.pointsMm = QPolygonF({QPointF(x(sign.time), m_plot.top()),
                                                                  QPointF(x(sign.time), m_plot.top() + 1.6)}),
                                           .lineMm = 0.25});
                continue;
            }
            const QPointF at(x(sign.time), y(sign.value));
            const QRectF circle(at.x() - signRadiusMm, at.y() - signRadiusMm, 2 * signRadiusMm,
                                2 * signRadiusMm);
            drawLook(sign.look, circle);
            placer.keepFree(circle);
        }
        for (const TimeChart::Sign &sign : m_chart.signs) {
            if (sign.time < m_chart.from || sign.time > m_chart.to || !std::isfinite(sign.value) ||
                sign.label.isEmpty())
                continue;
            for (PageMark &mark : placer.place(sign.label, {x(sign.time), y(sign.value)}, signRadiusMm, 6,
                                               LabelPlacer::First::Above))
                m_marks.push_back(std::move(mark));
        }
        if (placer.leftOut() > 0)
            put(QStringLiteral("%1 numbers left out where it is crowded").arg(placer.leftOut()),
                QRectF(m_plot.center().x(), m_area.top(), m_plot.right() - m_plot.center().x(), titleMm), 6,
                false, Qt::AlignRight | Qt::AlignVCenter);
    }

    /// In the corner at the right, below for depth, where a dive's line comes last or never.
    void drawTitleInside()
    {
        const QRectF box(m_plot.left() + 1, m_chart.downwards ? m_plot.bottom() - 3.6 : m_plot.top() + 0.4,
                         m_plot.width() - 2, 3.2);
        const std::size_t before = m_marks.size();
        put(title(), box, 7, true, Qt::AlignRight | Qt::AlignVCenter);
        if (m_marks.size() == before)
            return;
        const QRectF ink = std::get<TextMark>(m_marks.back()).inkMm; // on a ground of its own, over the line
        m_marks.insert(m_marks.end() - 1,
                       BoxMark{.rectMm = ink.adjusted(-0.8, -0.2, 0.8, 0.2), .lineMm = 0, .grey = 1});
    }

    void drawLook(TimeChart::Sign::Look look, const QRectF &circle)
    {
        if (look == TimeChart::Sign::Look::Cross) {
            m_marks.push_back(
                LineMark{.fromMm = circle.topLeft(), .toMm = circle.bottomRight(), .widthMm = 0.3});
            m_marks.push_back(
                LineMark{.fromMm = circle.topRight(), .toMm = circle.bottomLeft(), .widthMm = 0.3});
            return;
        }
        const bool filled = look == TimeChart::Sign::Look::Filled;
        m_marks.push_back(
            BoxMark{.rectMm = circle, .lineMm = 0.25, .grey = filled ? 0.0 : 1.0, .round = true});
    }

    const TimeChart &m_chart;
    QRectF m_area;
    QRectF m_plot;
    double m_least = 0;
    double m_most = 0;
    std::vector<PageMark> m_marks;
};

} // namespace

double valueAt(const std::vector<ChartPoint> &points, UtcTime time)
{
    const auto after = std::lower_bound(points.begin(), points.end(), time,
                                        [](const ChartPoint &p, UtcTime t) { return p.time < t; });
    if (after == points.end())
        return std::numeric_limits<double>::quiet_NaN();
    if (after->time == time || after == points.begin())
        return after->time == time ? after->value : std::numeric_limits<double>::quiet_NaN();
    const ChartPoint &a = *(after - 1);
    return a.value +
           (after->value - a.value) * secondsBetween(a.time, time) / secondsBetween(a.time, after->time);
}

std::vector<double> roundTicks(double least, double most, int count)
{
    if (!(most > least) || count < 1)
        return {};
    const double raw = (most - least) / count;
    const double power = std::pow(10.0, std::floor(std::log10(raw)));
    double step = power * 10;
    for (const double factor : {1.0, 2.0, 5.0}) {
        if (power * factor >= raw * (1 - 1e-9)) {
            step = power * factor;
            break;
        }
    }
    std::vector<double> ticks;
    for (double k = std::ceil(least / step - 1e-9); k * step <= most + step * 1e-9; ++k)
        ticks.push_back(k * step);
    return ticks;
}

std::vector<PageMark> drawTimeChart(const TimeChart &chart, const QRectF &areaMm)
{
    return ChartDrawing(chart, areaMm).draw();
}

} // namespace holdfast
