// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/provenance.h"

#include "base/version.h"
#include "handoff/darwin_core.h"

#include <QJsonArray>
#include <QUrl>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

QString local(const QString &name)
{
    return QStringLiteral("hf:") + QString::fromLatin1(QUrl::toPercentEncoding(name, ":"));
}

QJsonObject typed(const QString &value, const char *type)
{
    return {{q("$"), value}, {q("type"), q(type)}};
}

/// Builds the document: entities, activities and agents by name, relations numbered.
class Provenance
{
public:
    explicit Provenance(const CruiseContent &content, const QMap<QString, LogPaths> &logs)
        : m_content(content), m_logs(logs)
    {
    }
    QJsonObject document();

private:
    QString person(const QString &name);
    QString program(const QString &name);
    void relate(const char *relation, const QJsonObject &ends);
    void activity(const QString &id, const QString &label, std::optional<UtcTime> from,
                  std::optional<UtcTime> to, const QString &agent);
    void addDive(const DiveRecord &dive);
    void addLogs(const DiveRecord &dive);
    void addValues(const DiveRecord &dive);
    void addSample(const DiveRecord &dive, const SampleRecord &s);
    void addRevisions(const DiveRecord &dive);
    void revision(const QString &later, const QString &earlier, const QString &activity);
    void addEnd(const ItemRecord &item, const QString &entity, const QString &id);
    /// `made`: the earliest moment at which it can have been there as a thing of its own.
    void addItem(const ItemRecord &item, const QString &entity, const QString &id, UtcTime made);

    const CruiseContent &m_content;
    const QMap<QString, LogPaths> &m_logs;
    QJsonObject m_entities, m_activities, m_agents;
    QMap<QString, QJsonObject> m_relations;
    int m_number = 0;
};

QString Provenance::person(const QString &name)
{
    const QString id = local(QStringLiteral("person:") + name);
    m_agents.insert(id, QJsonObject{{q("prov:type"), typed(q("prov:Person"), "prov:QUALIFIED_NAME")},
                                    {q("prov:label"), name}});
    return id;
}

QString Provenance::program(const QString &name)
{
    const QString id = local(QStringLiteral("program:") + name);
    m_agents.insert(id, QJsonObject{{q("prov:type"), typed(q("prov:SoftwareAgent"), "prov:QUALIFIED_NAME")},
                                    {q("prov:label"), name}});
    return id;
}

void Provenance::relate(const char *relation, const QJsonObject &ends)
{
    m_relations[q(relation)].insert(QStringLiteral("_:r%1").arg(++m_number), ends);
}

void Provenance::activity(const QString &id, const QString &label, std::optional<UtcTime> from,
                          std::optional<UtcTime> to, const QString &agent)
{
    QJsonObject o{{q("prov:label"), label}};
    if (from)
        o.insert(q("prov:startTime"), toIso(*from));
    if (to)
        o.insert(q("prov:endTime"), toIso(*to));
    m_activities.insert(id, o);
    if (!agent.isEmpty())
        relate("wasAssociatedWith", {{q("prov:activity"), id}, {q("prov:agent"), agent}});
}

void Provenance::addLogs(const DiveRecord &dive)
{
    for (const IntakeInfo &log : dive.logs) {
        const QString id = local(QStringLiteral("log:") + log.uuid);
        m_entities.insert(id, QJsonObject{{q("prov:label"), log.fileName},
                                          {q("prov:location"), m_logs.value(log.uuid).raw},
                                          {q("hf:sha256"), log.sha256},
                                          {q("hf:kind"), log.kind},
                                          {q("hf:profile"), log.profile},
                                          {q("hf:inUse"), !log.replaced}});
        const QString intake = local(QStringLiteral("intake:") + log.uuid);
        activity(intake, QStringLiteral("taking in %1").arg(log.fileName), log.taken, log.taken,
                 person(log.by));
        relate("used", {{q("prov:activity"), intake}, {q("prov:entity"), id}});
    }
}

void Provenance::addValues(const DiveRecord &dive)
{
    const QString computing = local(diveEventId(m_content.cruise.code, dive.info.number) + q(":computing"));
    activity(computing, QStringLiteral("computing fixes and water values of dive %1").arg(dive.info.number),
             std::nullopt, std::nullopt, program(dive.provenance.value(q("program")).toString()));
    QJsonObject computed = m_activities.value(computing).toObject();
    for (const char *key : {"method", "clockOffsetUs"})
        computed.insert(q("hf:") + q(key), dive.provenance.value(q(key)));
    for (const char *group : {"parameters", "waterMethods"}) {
        const QJsonObject values = dive.provenance.value(q(group)).toObject();
        for (auto it = values.begin(); it != values.end(); ++it)
            computed.insert(q("hf:") + q(group) + q(".") + it.key(), it.value());
    }
    m_activities.insert(computing, computed);
    for (const IntakeInfo &log : dive.logs) {
        if (!log.replaced)
            relate("used", {{q("prov:activity"), computing},
                            {q("prov:entity"), local(QStringLiteral("log:") + log.uuid)}});
    }
    for (const SampleRecord &s : dive.samples) {
        const QString values = local(s.info.id + q(":values"));
        QJsonObject o{{q("prov:label"), QStringLiteral("fix and water values of %1").arg(s.info.id)},
                      {q("hf:fixFlag"), static_cast<int>(s.fix.flag)},
                      {q("hf:waterFlag"), static_cast<int>(s.water.flag)},
                      {q("hf:accepted"), acceptanceWord(s.acceptance)}};
        if (s.fix.latitudeDeg) {
            o.insert(q("hf:latitudeDeg"), *s.fix.latitudeDeg);
            o.insert(q("hf:longitudeDeg"), *s.fix.longitudeDeg);
            o.insert(q("hf:positionsUsed"), static_cast<qint64>(s.fix.usedCount));
            o.insert(q("hf:positionsRejected"), static_cast<qint64>(s.fix.rejectedCount));
        }
        m_entities.insert(values, o);
        relate("wasGeneratedBy", {{q("prov:entity"), values}, {q("prov:activity"), computing}});
        relate("wasDerivedFrom",
               {{q("prov:generatedEntity"), values}, {q("prov:usedEntity"), local(s.info.id)}});
    }
}

/// PROV-DM 5.2.2: a revision is a derivation that says so.
void Provenance::revision(const QString &later, const QString &earlier, const QString &activity)
{
    QJsonObject ends{{q("prov:generatedEntity"), later},
                     {q("prov:usedEntity"), earlier},
                     {q("prov:type"), typed(q("prov:Revision"), "prov:QUALIFIED_NAME")}};
    if (!activity.isEmpty())
        ends.insert(q("prov:activity"), activity);
    relate("wasDerivedFrom", ends);
}

/// A log that took another's place, and each correction of what was written of a sample: the record is an
/// entity of its own, for the thing itself is not changed by it.
void Provenance::addRevisions(const DiveRecord &dive)
{
    for (auto it = dive.successors.begin(); it != dive.successors.end(); ++it)
        revision(local(QStringLiteral("log:") + it.value()), local(QStringLiteral("log:") + it.key()), {});
    QHash<QString, int> count;
    for (const AmendmentInfo &a : dive.amendments) {
        const auto record = [&](int n) {
            return local(QStringLiteral("%1:%2:record-%3").arg(a.sample, a.field).arg(n));
        };
        const auto entity = [&](int n, const QString &value) {
            m_entities.insert(
                record(n), QJsonObject{{q("prov:label"), QStringLiteral("%1 of %2: %3")
                                                             .arg(a.field, a.sample,
                                                                  value.isEmpty() ? q("nothing") : value)}});
            relate("wasDerivedFrom",
                   {{q("prov:generatedEntity"), record(n)}, {q("prov:usedEntity"), local(a.sample)}});
        };
        int &n = count[a.sample + QLatin1Char(':') + a.field];
        if (n == 0)
            entity(++n, a.oldValue);
        entity(++n, a.newValue);
        const QString correcting = record(n) + q(":correcting");
        activity(correcting, QStringLiteral("correcting %1 of %2: %3").arg(a.field, a.sample, a.reason),
                 a.time, a.time, person(a.by));
        relate("used", {{q("prov:activity"), correcting}, {q("prov:entity"), record(n - 1)}});
        relate("wasGeneratedBy", {{q("prov:entity"), record(n)}, {q("prov:activity"), correcting}});
        revision(record(n), record(n - 1), correcting);
    }
}

/// PROV-DM 5.1.8: consumed, destroyed or lost, it is there for nobody any more; at its final place it is.
void Provenance::addEnd(const ItemRecord &item, const QString &entity, const QString &id)
{
    const CustodyPeriod *const last = item.custody.last();
    if (!last || last->state != PeriodState::Ended || last->basis == QLatin1String("deposited"))
        return;
    const QString ending = local(id + q(":end"));
    activity(ending, QStringLiteral("%1: %2").arg(id, last->basis), last->from, last->from, {});
    relate("wasInvalidatedBy",
           {{q("prov:entity"), entity}, {q("prov:activity"), ending}, {q("prov:time"), toIso(last->from)}});
}

void Provenance::addItem(const ItemRecord &item, const QString &entity, const QString &id, UtcTime made)
{
    int n = 0;
    for (const PreservationInfo &p : item.preservations) {
        const QString a = local(QStringLiteral("%1:preserving-%2").arg(id).arg(++n));
        activity(a, QStringLiteral("putting %1 into %2").arg(id, p.preservative), p.time, p.time,
                 person(p.by));
        relate("used", {{q("prov:activity"), a}, {q("prov:entity"), entity}});
    }
    n = 0;
    for (const StorageInfo &s : item.storage) {
        const QString a = local(QStringLiteral("%1:storing-%2").arg(id).arg(++n));
        activity(a, QStringLiteral("putting %1 to %2").arg(id, s.place), s.time, s.time, person(s.by));
        relate("used", {{q("prov:activity"), a}, {q("prov:entity"), entity}});
    }
    n = 0;
    for (const CustodyPeriod &period : item.custody.periods) {
        // Before it was split off, a part was held as part of its parent, whose record says so: nothing uses
        // what is not yet made (PROV-CONSTRAINTS, W3C 2013, constraint 37).
        if (period.holder.isEmpty() || (period.to && *period.to < made))
            continue;
        const QString a = local(QStringLiteral("%1:custody-%2").arg(id).arg(++n));
        activity(a, QStringLiteral("%1: custody of %2").arg(id, period.holder), period.from, period.to,
                 person(period.holder));
        relate("used", {{q("prov:activity"), a}, {q("prov:entity"), entity}});
    }
    addEnd(item, entity, id);
    for (const Identification &name : item.names)
        relate("wasInfluencedBy",
               {{q("prov:influencee"), entity}, {q("prov:influencer"), person(name.identifiedBy)}});
    for (const Photograph &photo : item.photographs) {
        const QString e = local(QStringLiteral("photograph:") + photo.sha256);
        QJsonObject about{{q("prov:label"), photo.fileName}, {q("hf:sha256"), photo.sha256}};
        if (const QString file = item.packed.value(photo.sha256).file; !file.isEmpty())
            about.insert(q("prov:location"), file);
        m_entities.insert(e, about);
        relate("wasDerivedFrom", {{q("prov:generatedEntity"), e}, {q("prov:usedEntity"), entity}});
        relate("wasAttributedTo", {{q("prov:entity"), e}, {q("prov:agent"), person(photo.by)}});
    }
}

void Provenance::addSample(const DiveRecord &dive, const SampleRecord &s)
{
    const QString entity = local(s.info.id);
    m_entities.insert(entity, QJsonObject{{q("prov:label"), s.info.id},
                                          {q("hf:kind"), s.info.kind},
                                          {q("hf:state"), s.stateNow()}});
    const QString collecting = local(s.info.id + q(":collecting"));
    activity(collecting, QStringLiteral("collecting %1").arg(s.info.id), s.span ? s.span->from : s.info.time,
             s.span ? s.span->to : s.info.time, person(s.info.loggedBy));
    relate("wasGeneratedBy", {{q("prov:entity"), entity}, {q("prov:activity"), collecting}});
    const QString vehicle = local(QStringLiteral("vehicle:") + dive.info.vehicle);
    m_agents.insert(vehicle,
                    QJsonObject{{q("prov:type"), q("vehicle")}, {q("prov:label"), dive.info.vehicle}});
    relate("wasAssociatedWith", {{q("prov:activity"), collecting}, {q("prov:agent"), vehicle}});
    addItem(s.item, entity, s.info.id, s.span ? s.span->from : s.info.time);
    for (const SpecimenRecord &p : s.specimens) {
        const QString part = local(p.info.id);
        m_entities.insert(
            part, QJsonObject{{q("prov:label"), p.info.id}, {q("hf:material"), p.info.details.material}});
        const QString splitting = local(p.info.id + q(":splitting"));
        activity(splitting, QStringLiteral("splitting off %1").arg(p.info.id), p.info.time, p.info.time,
                 person(p.info.by));
        relate("wasGeneratedBy", {{q("prov:entity"), part}, {q("prov:activity"), splitting}});
        relate("wasDerivedFrom", {{q("prov:generatedEntity"), part},
                                  {q("prov:usedEntity"), local(p.info.parent)},
                                  {q("prov:activity"), splitting}});
        addItem(p.item, part, p.info.id, p.info.time);
    }
}

void Provenance::addDive(const DiveRecord &dive)
{
    addLogs(dive);
    for (const SampleRecord &s : dive.samples)
        addSample(dive, s);
    addRevisions(dive);
    addValues(dive);
}

QJsonObject Provenance::document()
{
    for (const DiveRecord &dive : m_content.dives)
        addDive(dive);
    QJsonObject out{
        {q("prefix"), QJsonObject{{q("hf"), QStringLiteral("urn:holdfast:%1:").arg(m_content.cruise.code)},
                                  {q("prov"), q("http://www.w3.org/ns/prov#")}}},
        {q("entity"), m_entities},
        {q("activity"), m_activities},
        {q("agent"), m_agents}};
    for (auto it = m_relations.begin(); it != m_relations.end(); ++it)
        out.insert(it.key(), it.value());
    return out;
}

} // namespace

QJsonObject provenanceJson(const CruiseContent &content, const QMap<QString, LogPaths> &logs)
{
    return Provenance(content, logs).document();
}

} // namespace holdfast
