// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/dwc_spans.h"

#include "base/csv.h"
#include "handoff/geo.h"

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

QString number(double value, int decimals)
{
    return QString::fromLatin1(csvFixed(value, decimals));
}

} // namespace

QString diveEventId(const QString &cruise, int dive)
{
    return QStringLiteral("%1:dive-%2").arg(cruise).arg(dive, 2, 10, QLatin1Char('0'));
}

QString Interval::iso() const
{
    if (from && to && *to > *from)
        return toIso(*from) + QLatin1Char('/') + toIso(*to);
    if (from)
        return toIso(*from);
    return to ? toIso(*to) : QString();
}

Interval diveInterval(const DiveRecord &dive)
{
    Interval i{dive.info.launched, dive.info.onDeck};
    for (const SampleRecord &s : dive.samples) {
        if (!s.info.momentKnown)
            continue;
        if (!dive.info.launched && (!i.from || s.info.time < *i.from))
            i.from = s.info.time;
        if (!dive.info.onDeck && (!i.to || s.info.time > *i.to))
            i.to = s.info.time;
    }
    // Where launch or recovery were not logged, the track says how long the vehicle was at least away.
    if (!dive.track.empty()) {
        if (!dive.info.launched && (!i.from || dive.track.front().time < *i.from))
            i.from = dive.track.front().time;
        if (!dive.info.onDeck && (!i.to || dive.track.back().time > *i.to))
            i.to = dive.track.back().time;
    }
    return i;
}

Interval cruiseInterval(const CruiseContent &content)
{
    Interval all;
    for (const DiveRecord &dive : content.dives) {
        const Interval i = diveInterval(dive);
        if (i.from && (!all.from || *i.from < *all.from))
            all.from = i.from;
        if (i.to && (!all.to || *i.to > *all.to))
            all.to = i.to;
    }
    return all;
}

std::vector<GeoPoint> placesOf(const DiveRecord &dive)
{
    std::vector<GeoPoint> places;
    for (const NavFix &f : dive.track)
        places.push_back({*f.latitudeDeg, *f.longitudeDeg});
    if (!places.empty())
        return places;
    for (const SampleRecord &s : dive.samples) {
        if (s.fix.latitudeDeg)
            places.push_back({*s.fix.latitudeDeg, *s.fix.longitudeDeg});
    }
    return places;
}

void placeInto(DwcRow &row, const std::vector<GeoPoint> &places, double uncertaintyM)
{
    const auto around = surrounding(places);
    if (!around)
        return;
    // No radius beyond this is taken for one (it is the way from the equator to a pole): such places have no
    // middle that would mean anything.
    if (around->radiusM + uncertaintyM > 1e7) {
        row[q("locationRemarks")] = q("no one place: the positions lie over more than half of the earth");
        return;
    }
    row[q("decimalLatitude")] = number(around->middle.latitudeDeg, 5);
    row[q("decimalLongitude")] = number(around->middle.longitudeDeg, 5);
    row[q("geodeticDatum")] = q("EPSG:4326");
    row[q("coordinateUncertaintyInMeters")] = number(std::max(1.0, around->radiusM + uncertaintyM), 0);
    row[q("footprintWKT")] = wktOf(places, 200);
    row[q("georeferenceProtocol")] = q("middle of the smoothed track; the uncertainty covers all of it");
}

std::optional<double> belowSurface(double depthM)
{
    if (depthM <= -0.05)
        return std::nullopt;
    return std::max(0.0, depthM);
}

void depthInto(DwcRow &row, const DiveRecord &dive)
{
    double least = std::numeric_limits<double>::infinity();
    double most = -least;
    const auto take = [&](double depthM) {
        const auto depth = belowSurface(depthM);
        least = std::min(least, depth.value_or(least));
        most = std::max(most, depth.value_or(most));
    };
    // The event is the whole dive, and so is its range of depths, not that of its samples alone.
    if (dive.depthRangeM) {
        // What a log counts above the surface on deck does not end its range there.
        take(dive.depthRangeM->first <= 0 && dive.depthRangeM->second >= 0 ? 0 : dive.depthRangeM->first);
        take(dive.depthRangeM->second);
    }
    for (const SampleRecord &s : dive.samples) {
        if (const auto depth = s.depthM(); depth && s.info.state != QLatin1String("void"))
            take(*depth);
    }
    if (least <= most) {
        row[q("minimumDepthInMeters")] = number(least, 1);
        row[q("maximumDepthInMeters")] = number(most, 1);
    }
}

QString spanRemark(const DiveRecord &dive)
{
    QStringList missing;
    if (!dive.info.launched)
        missing << q("launch");
    if (!dive.info.onDeck)
        missing << q("recovery");
    if (missing.isEmpty())
        return {};
    return QStringLiteral("%1 not logged: the interval is that of track and samples")
        .arg(missing.join(q(" and ")));
}

} // namespace holdfast
