// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/darwin_core.h"

namespace holdfast
{

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

} // namespace holdfast
