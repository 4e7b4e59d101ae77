// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/track_map.h"

#include "print/label_placer.h"
#include "print/page_text.h"
#include "print/time_chart.h"
#include "print/value_text.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace holdfast
{

namespace
{

using Vector = std::array<double, 3>;

double radians(double degrees)
{
    return degrees * std::numbers::pi / 180;
}

/// Earth-centred coordinates of a point on the ellipsoid, metres (WGS 84: a 6378137 m, 1/f 298.257223563).
Vector earthCentred(double latitudeDeg, double longitudeDeg)
{
    constexpr double a = 6378137;
    constexpr double f = 1 / 298.257223563;
    constexpr double e2 = f * (2 - f);
    const double s = std::sin(radians(latitudeDeg));
    const double n = a / std::sqrt(1 - e2 * s * s);
    const double ring = n * std::cos(radians(latitudeDeg));
    return {ring * std::cos(radians(longitudeDeg)), ring * std::sin(radians(longitudeDeg)), n * (1 - e2) * s};
}

class MapDrawing
{
public:
    MapDrawing(const TrackMapContent &map, const QRectF &areaMm) : m_map(map), m_area(areaMm) {}

    std::vector<PageMark> draw()
    {
        m_marks.push_back(BoxMark{.rectMm = m_area, .lineMm = 0.2});
        if (!project()) {
            put(QStringLiteral("no positions"), m_area, 8, Qt::AlignCenter);
            return std::move(m_marks);
        }
        drawTrack();
        LabelPlacer placer(m_area.adjusted(1, 1, -1, -6));
        drawSamples(placer);
        drawEnds(placer);
        drawLegend(placer.leftOut());
        return std::move(m_marks);
    }

private:
    void put(const QString &words, const QRectF &box, double size, Qt::Alignment align)
    {
        auto mark = fitText(words, TextBox{.boxMm = box,
                                           .largestPt = size,
                                           .smallestPt = 4.5,
                                           .wrap = false,
                                           .mayCut = true,
                                           .align = align});
        if (mark)
            m_marks.push_back(std::move(*mark));
    }

    bool project()
    {
        const bool fromTrack = !m_map.track.empty();
        if (!fromTrack && m_map.samples.empty())
            return false;
        // The first position is as good an origin as any: the middle is found in the plane.
        const double lat = fromTrack ? m_map.track.front().latitudeDeg : m_map.samples.front().latitudeDeg;
        const double lon = fromTrack ? m_map.track.front().longitudeDeg : m_map.samples.front().longitudeDeg;
        m_originLatitude = lat;
        m_originLongitude = lon;
        double west = 0;
        double east = 0;
        double south = 0;
        double north = 0;
        const auto take = [&](const EastNorth &p, double around) {
            west = std::min(west, p.eastM - around);
            east = std::max(east, p.eastM + around);
            south = std::min(south, p.northM - around);
            north = std::max(north, p.northM + around);
        };
        for (const auto &p : m_map.track)
            take(eastNorthOf(p.latitudeDeg, p.longitudeDeg, lat, lon),
                 p.provisional ? p.uncertainty95M.value_or(0) : 0);
        for (const auto &s : m_map.samples)
            take(eastNorthOf(s.latitudeDeg, s.longitudeDeg, lat, lon), s.uncertainty95M.value_or(0));
        const double widthM = std::max(east - west, 20.0);
        const double heightM = std::max(north - south, 20.0);
        const QRectF inner = m_area.adjusted(6, 5, -6, -9);
        m_mmPerM = std::min(inner.width() / widthM, inner.height() / heightM);
        m_middleM = {(west + east) / 2, (south + north) / 2};
        m_middleMm = inner.center();
        return true;
    }

    [[nodiscard]] QPointF at(double latitudeDeg, double longitudeDeg) const
    {
        const EastNorth p = eastNorthOf(latitudeDeg, longitudeDeg, m_originLatitude, m_originLongitude);
        return {m_middleMm.x() + (p.eastM - m_middleM.eastM) * m_mmPerM,
                m_middleMm.y() - (p.northM - m_middleM.northM) * m_mmPerM};
    }

    [[nodiscard]] double longestStep() const
    {
        std::vector<double> steps;
        for (std::size_t i = 1; i < m_map.track.size(); ++i)
            steps.push_back(secondsBetween(m_map.track[i - 1].time, m_map.track[i].time));
        if (steps.empty())
            return 0;
        const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
        std::nth_element(steps.begin(), middle, steps.end());
        return std::max(*middle * 20, 1.0);
    }

    void drawTrack()
    {
        const double longest = longestStep();
        QPolygonF line;
        for (std::size_t i = 0; i < m_map.track.size(); ++i) {
            const QPointF p = at(m_map.track[i].latitudeDeg, m_map.track[i].longitudeDeg);
            const bool gap = i > 0 && secondsBetween(m_map.track[i - 1].time, m_map.track[i].time) > longest;
            if (m_map.track[i].provisional) {
                endLine(line);
                addDot(m_map.track[i], p, i + 1 == m_map.track.size());
                continue;
            }
            if (gap && !line.isEmpty()) {
                m_marks.push_back(
                    LineMark{.fromMm = line.last(), .toMm = p, .widthMm = 0.15, .dashed = true});
                endLine(line);
            }
            // What is nearer than the printer can show is left out.
            const bool last = i + 1 == m_map.track.size();
            if (line.isEmpty() || last || std::hypot(p.x() - line.last().x(), p.y() - line.last().y()) > 0.15)
                line << p;
        }
        endLine(line);
    }

    void addDot(const TrackMapContent::Point &point, const QPointF &p, bool last)
    {
        constexpr double dotMm = 0.22;
        const auto far = [&p](const std::optional<QPointF> &from, double mm) {
            return !from || std::hypot(p.x() - from->x(), p.y() - from->y()) > mm;
        };
        if (last || far(m_lastDot, 1.0)) {
            m_marks.push_back(BoxMark{.rectMm = QRectF(p.x() - dotMm, p.y() - dotMm, 2 * dotMm, 2 * dotMm),
                                      .lineMm = 0,
                                      .grey = 0.35,
                                      .round = true});
            m_lastDot = p;
        }
        const double radius = point.uncertainty95M.value_or(0) * m_mmPerM;
        if (radius > 2 * dotMm && (last || far(m_lastCircle, std::max(10.0, 2 * radius)))) {
            m_marks.push_back(
                BoxMark{.rectMm = QRectF(p.x() - radius, p.y() - radius, 2 * radius, 2 * radius),
                        .lineMm = 0.08,
                        .round = true,
                        .dashed = true});
            m_lastCircle = p;
        }
        m_hasDots = true;
    }

    void endLine(QPolygonF &line)
    {
        if (line.size() > 1)
            m_marks.push_back(PathMark{.pointsMm = line, .lineMm = 0.2, .grey = 0.35});
        line.clear();
    }

    void drawSamples(LabelPlacer &placer)
    {
        constexpr double dotMm = 0.7;
        for (const auto &s : m_map.samples) {
            const QPointF p = at(s.latitudeDeg, s.longitudeDeg);
            const double radius = s.uncertainty95M.value_or(0) * m_mmPerM;
            if (radius > dotMm)
                m_marks.push_back(
                    BoxMark{.rectMm = QRectF(p.x() - radius, p.y() - radius, 2 * radius, 2 * radius),
                            .lineMm = 0.12,
                            .round = true});
            const QRectF dot(p.x() - dotMm, p.y() - dotMm, 2 * dotMm, 2 * dotMm);
            m_marks.push_back(
                BoxMark{.rectMm = dot, .lineMm = 0.2, .grey = s.uncertainty95M ? 0.0 : 1.0, .round = true});
            placer.keepFree(dot);
        }
        for (const auto &s : m_map.samples) {
            for (PageMark &mark : placer.place(s.label, at(s.latitudeDeg, s.longitudeDeg), dotMm, 6))
                m_marks.push_back(std::move(mark));
        }
    }

    void drawEnds(LabelPlacer &placer)
    {
        if (m_map.track.size() < 2)
            return;
        const auto end = [&](const TrackMapContent::Point &point, const QString &word) {
            const QPointF p = at(point.latitudeDeg, point.longitudeDeg);
            m_marks.push_back(
                BoxMark{.rectMm = QRectF(p.x() - 0.8, p.y() - 0.8, 1.6, 1.6), .lineMm = 0.3, .grey = 1});
            for (PageMark &mark : placer.place(word, p, 0.8, 6))
                m_marks.push_back(std::move(mark));
        };
        end(m_map.track.front(), QStringLiteral("start"));
        end(m_map.track.back(), m_map.endWord);
    }

    void drawLegend(int leftOut)
    {
        // A round length that takes a sixth to a third of the width.
        const double mostM = m_area.width() / 3 / m_mmPerM;
        const double power = std::pow(10.0, std::floor(std::log10(mostM)));
        double barM = power;
        for (const double factor : {2.0, 5.0}) {
            if (power * factor <= mostM)
                barM = power * factor;
        }
        const double y = m_area.bottom() - 2.5;
        const double x = m_area.left() + 2;
        m_marks.push_back(LineMark{.fromMm = {x, y}, .toMm = {x + barM * m_mmPerM, y}, .widthMm = 0.5});
        put(barM >= 1000 ? QStringLiteral("%1 km").arg(barM / 1000) : QStringLiteral("%1 m").arg(barM),
            QRectF(x, y - 3.6, 30, 3.2), 6.5, Qt::AlignLeft | Qt::AlignBottom);
        const QPointF c = m_middleMm;
        m_marks.push_back(
            LineMark{.fromMm = {c.x() - 1.5, c.y()}, .toMm = {c.x() + 1.5, c.y()}, .widthMm = 0.12});
        m_marks.push_back(
            LineMark{.fromMm = {c.x(), c.y() - 1.5}, .toMm = {c.x(), c.y() + 1.5}, .widthMm = 0.12});
        put(QStringLiteral("north \u25B2"), QRectF(m_area.right() - 22, m_area.top() + 1, 21, 3.5), 7,
            Qt::AlignRight | Qt::AlignVCenter);
        QString words = m_hasDots ? QStringLiteral("dots: provisional; ") : QString();
        words += QStringLiteral("circles: 95 % uncertainty, to scale; cross: ") + middleText();
        if (leftOut > 0)
            words += QStringLiteral("; %1 numbers left out where it is crowded").arg(leftOut);
        const double barMm = std::max(barM * m_mmPerM, 12.0);
        put(words, QRectF(x + barMm + 3, y - 2, m_area.right() - x - barMm - 5, 3.4), 6.5,
            Qt::AlignRight | Qt::AlignVCenter);
    }

    /// Position of the cross: the origin moved by the middle, by the lengths of a degree there.
    [[nodiscard]] QString middleText() const
    {
        const EastNorth perDegree =
            eastNorthOf(m_originLatitude + 1e-4, m_originLongitude, m_originLatitude, m_originLongitude);
        const double latitude = m_originLatitude + m_middleM.northM / (perDegree.northM * 1e4);
        const EastNorth alongParallel =
            eastNorthOf(m_originLatitude, m_originLongitude + 1e-4, m_originLatitude, m_originLongitude);
        if (std::abs(latitude) > 89.9 || std::abs(alongParallel.eastM) < 1e-6)
            return missingText();
        const double longitude = m_originLongitude + m_middleM.eastM / (alongParallel.eastM * 1e4);
        return latitudeText(latitude) + QLatin1Char(' ') + longitudeText(std::remainder(longitude, 360));
    }

    const TrackMapContent &m_map;
    QRectF m_area;
    double m_originLatitude = 0;
    double m_originLongitude = 0;
    double m_mmPerM = 1;
    EastNorth m_middleM;
    QPointF m_middleMm;
    bool m_hasDots = false;
    std::optional<QPointF> m_lastDot, m_lastCircle;
    std::vector<PageMark> m_marks;
};

} // namespace

EastNorth eastNorthOf(double latitudeDeg, double longitudeDeg, double originLatitudeDeg,
                      double originLongitudeDeg)
{
    const Vector o = earthCentred(originLatitudeDeg, originLongitudeDeg);
    const Vector p = earthCentred(latitudeDeg, longitudeDeg);
    const Vector d{p[0] - o[0], p[1] - o[1], p[2] - o[2]};
    const double sinLat = std::sin(radians(originLatitudeDeg));
    const double cosLat = std::cos(radians(originLatitudeDeg));
    const double sinLon = std::sin(radians(originLongitudeDeg));
    const double cosLon = std::cos(radians(originLongitudeDeg));
    return {-sinLon * d[0] + cosLon * d[1], -sinLat * cosLon * d[0] - sinLat * sinLon * d[1] + cosLat * d[2]};
}

std::vector<PageMark> drawTrackMap(const TrackMapContent &map, const QRectF &areaMm)
{
    return MapDrawing(map, areaMm).draw();
}

} // namespace holdfast
