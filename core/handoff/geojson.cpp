// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/geojson.h"

#include "handoff/darwin_core.h"
#include "handoff/geo.h"
#include "handoff/sample_tables.h"

#include <QJsonArray>
#include <cmath>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// Seven decimals are a centimetre; more would be invented.
double rounded(double value, int decimals)
{
    const double scale = std::pow(10, decimals);
    return std::round(value * scale) / scale;
}

QJsonValue valueOf(const std::optional<double> &value, int decimals)
{
    return value ? QJsonValue(rounded(*value, decimals)) : QJsonValue();
}

QJsonArray position(const GeoPoint &p)
{
    return {rounded(p.longitudeDeg, 7), rounded(p.latitudeDeg, 7)};
}

void addBox(QJsonObject &object, const std::vector<GeoPoint> &places)
{
    if (const auto box = boundingBox(places))
        object.insert(q("bbox"), QJsonArray{rounded(box->west, 7), rounded(box->south, 7),
                                            rounded(box->east, 7), rounded(box->north, 7)});
}

QJsonObject trackFeature(const QString &cruise, const DiveRecord &dive)
{
    std::vector<GeoPoint> line;
    for (const NavFix &f : dive.track)
        line.push_back({*f.latitudeDeg, *f.longitudeDeg});
    QJsonArray coordinates, times, uncertainties, depths;
    const auto parts = cutAtAntimeridian(line);
    for (const auto &part : parts) {
        QJsonArray where, when, sure, deep;
        for (const CutPoint &p : part) {
            where.append(position(p.at));
            const NavFix *fix = p.source ? &dive.track[*p.source] : nullptr;
            when.append(fix ? QJsonValue(toIso(fix->time)) : QJsonValue());
            sure.append(fix ? valueOf(fix->uncertainty95M, 1) : QJsonValue());
            deep.append(fix ? valueOf(fix->depthM, 1) : QJsonValue());
        }
        coordinates.append(where);
        times.append(when);
        uncertainties.append(sure);
        depths.append(deep);
    }
    const bool one = parts.size() == 1;
    const auto shaped = [one](const QJsonArray &a) { return one ? a.at(0) : QJsonValue(a); };
    QJsonObject feature{{q("type"), q("Feature")},
                        {q("id"), diveEventId(cruise, dive.info.number)},
                        {q("geometry"), QJsonObject{{q("type"), one ? q("LineString") : q("MultiLineString")},
                                                    {q("coordinates"), shaped(coordinates)}}},
                        {q("properties"), QJsonObject{{q("cruise"), cruise},
                                                      {q("dive"), dive.info.number},
                                                      {q("vehicle"), dive.info.vehicle},
                                                      {q("times"), shaped(times)},
                                                      {q("uncertainty95M"), shaped(uncertainties)},
                                                      {q("depthM"), shaped(depths)}}}};
    addBox(feature, line);
    return feature;
}

QJsonObject sampleFeature(const QString &cruise, const SampleRecord &s)
{
    QJsonValue geometry;
    if (s.fix.latitudeDeg)
        geometry = QJsonObject{{q("type"), q("Point")},
                               {q("coordinates"), position({*s.fix.latitudeDeg, *s.fix.longitudeDeg})}};
    return {{q("type"), q("Feature")},
            {q("id"), s.info.id},
            {q("geometry"), geometry},
            {q("properties"), QJsonObject{{q("cruise"), cruise},
                                          {q("dive"), s.info.dive},
                                          {q("kind"), s.info.kind},
                                          {q("family"), s.info.family},
                                          {q("description"), s.info.description},
                                          {q("time"), toIso(s.info.time)},
                                          {q("momentKnown"), s.info.momentKnown},
                                          {q("state"), s.stateNow()},
                                          {q("depthM"), valueOf(s.depthM(), 2)},
                                          {q("uncertainty95M"), valueOf(s.fix.uncertainty95M, 1)},
                                          {q("fixFlag"), static_cast<int>(s.fix.flag)},
                                          {q("waterFlag"), static_cast<int>(s.water.flag)}}}};
}

} // namespace

QJsonObject tracksGeoJson(const CruiseContent &content)
{
    QJsonArray features;
    std::vector<GeoPoint> all;
    for (const DiveRecord &dive : content.dives) {
        if (dive.track.size() < 2)
            continue;
        features.append(trackFeature(content.cruise.code, dive));
        for (const NavFix &f : dive.track)
            all.push_back({*f.latitudeDeg, *f.longitudeDeg});
    }
    QJsonObject collection{{q("type"), q("FeatureCollection")}, {q("features"), features}};
    addBox(collection, all);
    return collection;
}

QJsonObject samplesGeoJson(const CruiseContent &content)
{
    QJsonArray features;
    std::vector<GeoPoint> all;
    for (const DiveRecord &dive : content.dives) {
        for (const SampleRecord &s : dive.samples) {
            if (s.info.state == QLatin1String("void"))
                continue;
            features.append(sampleFeature(content.cruise.code, s));
            if (s.fix.latitudeDeg)
                all.push_back({*s.fix.latitudeDeg, *s.fix.longitudeDeg});
        }
    }
    QJsonObject collection{{q("type"), q("FeatureCollection")}, {q("features"), features}};
    addBox(collection, all);
    return collection;
}

} // namespace holdfast
