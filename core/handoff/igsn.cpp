// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/igsn.h"

#include "handoff/darwin_core.h"

#include <QJsonArray>

#include <algorithm>
#include <cmath>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// Words of the ODM2 vocabularies as the kernel's lists (sampleType.xsd, materialType.xsd) spell them.
QString specimenType(const char *type)
{
    return QStringLiteral("http://vocabulary.odm2.org/specimentype/%1/").arg(q(type));
}

QString medium(const QString &family)
{
    return QStringLiteral("http://vocabulary.odm2.org/medium/%1").arg(family);
}

double hundredths(double value)
{
    return std::round(value * 100) / 100;
}

bool isCore(const QString &kind)
{
    return kind.contains(q("core"), Qt::CaseInsensitive);
}

QJsonObject related(const QString &id, const char *relation, const char *what)
{
    return {{q("identifier"), id}, {q("relationType"), q(relation)}, {q("what"), q(what)}};
}

QJsonValue geolocation(const QString &cruise, const SampleRecord &s)
{
    if (!s.fix.latitudeDeg)
        return {};
    QJsonObject o{{q("srid"), q("EPSG:4326")},
                  {q("geometry"), QStringLiteral("POINT (%1 %2)")
                                      .arg(*s.fix.longitudeDeg, 0, 'f', 6)
                                      .arg(*s.fix.latitudeDeg, 0, 'f', 6)},
                  {q("placeName"), QStringLiteral("cruise %1, dive %2").arg(cruise).arg(s.info.dive)}};
    if (s.fix.uncertainty95M)
        o.insert(q("uncertainty95M"), std::max(0.01, hundredths(*s.fix.uncertainty95M)));
    return o;
}

QJsonObject recordOf(const CruiseContent &content, const DatasetAbout &about, const DiveRecord &dive,
                     const SampleRecord &s)
{
    QJsonObject o{
        {q("igsn"), QString()},
        {q("name"), s.info.id},
        {q("alternateIdentifiers"), QJsonArray{QStringLiteral("urn:uuid:") + s.info.uuid}},
        {q("relatedIdentifiers"),
         QJsonArray{related(content.cruise.code, "IsPartOf", "cruise"),
                    related(diveEventId(content.cruise.code, dive.info.number), "IsPartOf", "dive")}},
        {q("description"), s.info.description},
        {q("registrant"), about.rightsHolder},
        {q("collector"), s.info.loggedBy},
        {q("geolocation"), geolocation(content.cruise.code, s)},
        {q("resourceType"), specimenType(isCore(s.info.kind) ? "core" : "individualSample")},
        {q("material"), medium(s.info.family)},
        {q("fieldName"), s.info.kind},
        {q("pieces"), s.info.count},
        {q("collectionMethod"), isCore(s.info.kind) ? q("Corer") : q("Other")},
        {q("alternateCollectionMethod"),
         QStringLiteral("remotely operated vehicle %1").arg(dive.info.vehicle)},
        {q("collectionTime"), s.span ? Interval{s.span->from, s.span->to}.iso() : toIso(s.info.time)},
        {q("storedAt"), s.item.storage.empty() ? QString() : s.item.storage.back().place}};
    if (!s.info.tool.isEmpty())
        o.insert(q("tool"), s.info.tool);
    if (const auto depth = s.depthM())
        o.insert(q("waterDepthOfSampleM"), hundredths(*depth));
    return o;
}

QJsonObject partOf(QJsonObject parent, const SpecimenRecord &p)
{
    parent.insert(q("name"), p.info.id);
    parent.insert(q("alternateIdentifiers"), QJsonArray{QStringLiteral("urn:uuid:") + p.info.uuid});
    QJsonArray relations = parent.value(q("relatedIdentifiers")).toArray();
    relations.append(related(p.info.parent, "IsDerivedFrom", "parent"));
    parent.insert(q("relatedIdentifiers"), relations);
    parent.insert(q("description"), p.info.details.description);
    parent.insert(q("fieldName"), p.info.details.material);
    parent.insert(q("material"), medium(p.family));
    parent.insert(q("purpose"), p.info.details.purpose);
    parent.insert(q("massG"), p.info.details.massG);
    parent.insert(q("sizeMm"), p.info.details.sizeMm);
    parent.remove(q("pieces"));
    if (parent.value(q("resourceType")).toString() == specimenType("core"))
        parent.insert(q("resourceType"), specimenType("coreSection"));
    parent.insert(q("storedAt"), p.item.storage.empty() ? QString() : p.item.storage.back().place);
    return parent;
}

} // namespace

QJsonObject igsnJson(const CruiseContent &content, const DatasetAbout &about)
{
    QJsonArray records;
    for (const DiveRecord &dive : content.dives) {
        for (const SampleRecord &s : dive.samples) {
            const bool geological =
                s.info.family == QLatin1String("rock") || s.info.family == QLatin1String("sediment");
            if (!geological || s.info.state == QLatin1String("void"))
                continue;
            const QJsonObject sample = recordOf(content, about, dive, s);
            records.append(sample);
            for (const SpecimenRecord &p : s.specimens) {
                if (p.family == QLatin1String("rock") || p.family == QLatin1String("sediment"))
                    records.append(partOf(sample, p));
            }
        }
    }
    return {
        {q("kernel"),
         q("elements of the IGSN metadata kernel, description schema 1.1 (3 July 2017); relation types "
           "of DataCite")},
        {q("note"),
         q("igsn is empty until a registry gives one; name is the field id on the label; who registers adds "
           "sampleAccess (Public or Private), which the kernel asks for and no cruise can know")},
        {q("samples"), records}};
}

} // namespace holdfast
