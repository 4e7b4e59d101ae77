// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/geo.h"

#include <QStringList>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdfast
{

namespace
{

QString pair(const GeoPoint &p)
{
    return QStringLiteral("%1 %2").arg(p.longitudeDeg, 0, 'f', 6).arg(p.latitudeDeg, 0, 'f', 6);
}

} // namespace

std::vector<std::vector<CutPoint>> cutAtAntimeridian(std::span<const GeoPoint> line)
{
    std::vector<std::vector<CutPoint>> parts;
    std::vector<CutPoint> part;
    for (std::size_t i = 0; i < line.size(); ++i) {
        const GeoPoint &here = line[i];
        if (!part.empty()) {
            const GeoPoint &before = line[i - 1];
            const double step = here.longitudeDeg - before.longitudeDeg;
            if (std::abs(step) > 180) {
                // Eastwards the longitude jumps down by 360, westwards up.
                const double side = step < 0 ? 180 : -180;
                const double whole = step < 0 ? step + 360 : step - 360;
                const double share = whole == 0 ? 0.5 : (side - before.longitudeDeg) / whole;
                const double latitude = before.latitudeDeg + share * (here.latitudeDeg - before.latitudeDeg);
                part.push_back({{latitude, side}, std::nullopt});
                parts.push_back(std::move(part));
                part = {{{latitude, -side}, std::nullopt}};
            }
        }
        part.push_back({here, i});
    }
    if (part.size() > 1)
        parts.push_back(std::move(part));
    return parts;
}

std::optional<Surrounding> surrounding(std::span<const GeoPoint> points)
{
    if (points.empty())
        return std::nullopt;
    constexpr double degree = std::numbers::pi / 180;
    double x = 0;
    double y = 0;
    double z = 0;
    for (const GeoPoint &p : points) {
        x += std::cos(p.latitudeDeg * degree) * std::cos(p.longitudeDeg * degree);
        y += std::cos(p.latitudeDeg * degree) * std::sin(p.longitudeDeg * degree);
        z += std::sin(p.latitudeDeg * degree);
    }
    if (std::hypot(x, y, z) < 1e-9)
        return std::nullopt; // points all around the earth surround nothing
    Surrounding s{{std::atan2(z, std::hypot(x, y)) / degree, std::atan2(y, x) / degree}, 0};
    for (const GeoPoint &p : points) {
        if (const auto line = geodesicBetween(s.middle, p))
            s.radiusM = std::max(s.radiusM, line->lengthM);
    }
    return s;
}

std::optional<BoundingBox> boundingBox(std::span<const GeoPoint> points)
{
    if (points.empty())
        return std::nullopt;
    std::vector<double> longitudes;
    BoundingBox box{0, 90, 0, -90};
    for (const GeoPoint &p : points) {
        longitudes.push_back(p.longitudeDeg);
        box.south = std::min(box.south, p.latitudeDeg);
        box.north = std::max(box.north, p.latitudeDeg);
    }
    std::sort(longitudes.begin(), longitudes.end());
    // The gap over ±180 degrees is one of the gaps; when another is wider, the box goes across the
    // antimeridian.
    double widest = longitudes.front() + 360 - longitudes.back();
    box.west = longitudes.front();
    box.east = longitudes.back();
    for (std::size_t i = 1; i < longitudes.size(); ++i) {
        if (longitudes[i] - longitudes[i - 1] > widest) {
            widest = longitudes[i] - longitudes[i - 1];
            box.west = longitudes[i];
            box.east = longitudes[i - 1];
        }
    }
    return box;
}

QString wktOf(std::span<const GeoPoint> line, std::size_t most)
{
    if (line.size() < 2 || most < 2)
        return {};
    std::vector<GeoPoint> chosen;
    const std::size_t count = std::min(most, line.size());
    for (std::size_t i = 0; i < count; ++i)
        chosen.push_back(line[i * (line.size() - 1) / (count - 1)]);
    QStringList parts;
    for (const std::vector<CutPoint> &part : cutAtAntimeridian(chosen)) {
        QStringList pairs;
        for (const CutPoint &p : part)
            pairs << pair(p.at);
        parts << QLatin1Char('(') + pairs.join(QStringLiteral(", ")) + QLatin1Char(')');
    }
    if (parts.size() == 1)
        return QStringLiteral("LINESTRING ") + parts.front();
    return QStringLiteral("MULTILINESTRING (") + parts.join(QStringLiteral(", ")) + QLatin1Char(')');
}

} // namespace holdfast
