// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/darwin_core.h"

#include "base/csv.h"
#include "handoff/dwc_names.h"
#include "handoff/dwc_spans.h"
#include "handoff/dwc_writer.h"
#include "handoff/geo.h"
#include "handoff/sample_tables.h"

#include <QSet>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

const QString listJoint = QStringLiteral(" | "); // Darwin Core: space, vertical bar, space

QString number(double value, int decimals)
{
    return QString::fromLatin1(csvFixed(value, decimals));
}

using Row = DwcRow;

struct Relations;

class DarwinCore
{
public:
    DarwinCore(const CruiseContent &content, const DatasetAbout &about,
               const std::vector<VocabularyTerm> &vocabulary)
        : m_content(content), m_about(about), m_vocabulary(vocabulary)
    {
    }
    Done events(DwcWriter &out) const;
    Done occurrences(DwcWriter &out) const;
    Done measurements(DwcWriter &out) const;

private:
    [[nodiscard]] Row common() const;
    [[nodiscard]] Row cruiseEvent() const;
    [[nodiscard]] Row diveEvent(const DiveRecord &dive) const;
    [[nodiscard]] Row sampleEvent(const DiveRecord &dive, const SampleRecord &s) const;
    [[nodiscard]] Row occurrence(const SampleRecord &s, const ItemRecord &item, const QString &id) const;
    [[nodiscard]] Row sampleOccurrence(const SampleRecord &s, const QStringList &others) const;
    [[nodiscard]] Row specimenOccurrence(const SampleRecord &s, const SpecimenRecord &p,
                                         const Relations &relations) const;
    [[nodiscard]] QString disposition(const SampleRecord &s, const ItemRecord &item) const;

    const CruiseContent &m_content;
    const DatasetAbout &m_about;
    const std::vector<VocabularyTerm> &m_vocabulary;
};

bool left(const SampleRecord &s)
{
    return s.info.state != QLatin1String("void");
}

double largestUncertainty(const DiveRecord &dive)
{
    double most = 0;
    for (const NavFix &f : dive.track)
        most = std::max(most, f.uncertainty95M.value_or(0));
    return most;
}

Row DarwinCore::common() const
{
    return {{q("institutionCode"), m_about.institutionCode},
            {q("datasetName"), datasetTitle(m_content, m_about)},
            {q("license"), m_about.licence},
            {q("rightsHolder"), m_about.rightsHolder}};
}

Row DarwinCore::cruiseEvent() const
{
    Row row = common();
    row[q("eventID")] = m_content.cruise.code;
    row[q("eventType")] = q("Expedition");
    row[q("eventDate")] = cruiseInterval(m_content).iso();
    row[q("eventRemarks")] = m_content.cruise.title;
    std::vector<GeoPoint> all;
    double uncertainty = 0;
    for (const DiveRecord &dive : m_content.dives) {
        const auto places = placesOf(dive);
        all.insert(all.end(), places.begin(), places.end());
        uncertainty = std::max(uncertainty, largestUncertainty(dive));
    }
    placeInto(row, all, uncertainty);
    row.remove(q("footprintWKT")); // a line through several dives was never travelled
    if (row.contains(q("decimalLatitude")))
        row[q("georeferenceProtocol")] = q("middle of the tracks of all dives");
    return row;
}

Row DarwinCore::diveEvent(const DiveRecord &dive) const
{
    Row row = common();
    row[q("eventID")] = diveEventId(m_content.cruise.code, dive.info.number);
    row[q("parentEventID")] = m_content.cruise.code;
    row[q("eventType")] = q("SiteVisit");
    row[q("eventDate")] = diveInterval(dive).iso();
    row[q("fieldNumber")] = QStringLiteral("dive %1").arg(dive.info.number);
    row[q("samplingProtocol")] =
        QStringLiteral("dive of the remotely operated vehicle %1").arg(dive.info.vehicle);
    placeInto(row, placesOf(dive), largestUncertainty(dive));
    depthInto(row, dive);
    row[q("eventRemarks")] = spanRemark(dive);
    return row;
}

Row DarwinCore::sampleEvent(const DiveRecord &dive, const SampleRecord &s) const
{
    Row row = common();
    row[q("eventID")] = s.info.id;
    row[q("parentEventID")] = diveEventId(m_content.cruise.code, dive.info.number);
    row[q("eventType")] = q("Sample");
    row[q("eventDate")] = s.span ? Interval{s.span->from, s.span->to}.iso() : toIso(s.info.time);
    row[q("fieldNumber")] = s.info.id;
    row[q("samplingProtocol")] =
        QStringLiteral("taken by the remotely operated vehicle %1%2")
            .arg(dive.info.vehicle,
                 s.info.tool.isEmpty() ? QString() : QStringLiteral(" with %1").arg(s.info.tool));
    if (s.fix.latitudeDeg) {
        row[q("decimalLatitude")] = number(*s.fix.latitudeDeg, 6);
        row[q("decimalLongitude")] = number(*s.fix.longitudeDeg, 6);
        row[q("geodeticDatum")] = q("EPSG:4326");
        if (s.fix.uncertainty95M)
            row[q("coordinateUncertaintyInMeters")] = number(std::max(0.1, *s.fix.uncertainty95M), 1);
        row[q("georeferenceProtocol")] =
            QStringLiteral("position log of the vehicle, %1 track, 95 % radius").arg(textOf(s.fix.method));
        row[q("locationRemarks")] = s.fix.reason;
    }
    const auto recorded = s.depthM();
    const auto depth = recorded ? belowSurface(*recorded) : std::nullopt;
    if (depth) {
        row[q("minimumDepthInMeters")] = number(*depth, 1);
        row[q("maximumDepthInMeters")] = row[q("minimumDepthInMeters")];
    }
    QStringList remarks{QStringLiteral("%1 x %2").arg(s.info.count).arg(s.info.kind)};
    if (!s.info.description.isEmpty())
        remarks << s.info.description;
    if (recorded && !depth)
        remarks << QStringLiteral("the depth as logged, %1 m, lies above the surface and is no depth")
                       .arg(number(*recorded, 2));
    if (!s.info.momentKnown)
        remarks << q("found at recovery: the moment of taking is not known");
    if (s.info.state == QLatin1String("lost"))
        remarks << q("lost after it was taken");
    if (!s.notFound.isEmpty())
        remarks << q("not found on deck: it ") + s.notFound;
    row[q("eventRemarks")] = remarks.join(q("; "));
    return row;
}

/// The event of a part is at the place and time of its sample, under the event of what it was split from.
Row partEvent(Row row, const SpecimenRecord &p)
{
    row[q("parentEventID")] = p.info.parent;
    row[q("eventID")] = p.info.id;
    row[q("fieldNumber")] = p.info.id;
    row[q("eventRemarks")] =
        QStringLiteral("part of %1: %2%3, split off %4")
            .arg(p.info.parent, p.info.details.material,
                 p.info.details.purpose.isEmpty() ? QString()
                                                  : QStringLiteral(" for %1").arg(p.info.details.purpose),
                 toIso(p.info.time));
    return row;
}

Done DarwinCore::events(DwcWriter &out) const
{
    // A dive that was only planned is no event yet; without any dive there is nothing to tell.
    if (!cruiseInterval(m_content).iso().isEmpty()) {
        if (auto done = out.row(cruiseEvent()); !done)
            return done;
    }
    for (const DiveRecord &dive : m_content.dives) {
        if (diveInterval(dive).iso().isEmpty() && dive.samples.empty())
            continue;
        if (auto done = out.row(diveEvent(dive)); !done)
            return done;
        for (const SampleRecord &s : dive.samples) {
            if (!left(s))
                continue;
            const Row event = sampleEvent(dive, s);
            if (auto done = out.row(event); !done)
                return done;
            for (const SpecimenRecord &p : s.specimens) {
                // An associate is another organism of the same event; only a part is a sample of its own.
                if (!p.info.details.foundOn.isEmpty())
                    continue;
                if (auto done = out.row(partEvent(event, p)); !done)
                    return done;
            }
        }
    }
    return out.end();
}

QString DarwinCore::disposition(const SampleRecord &s, const ItemRecord &item) const
{
    if (s.info.state == QLatin1String("lost") || !s.notFound.isEmpty())
        return q("missing");
    const CustodyPeriod *const last = item.custody.last();
    if (last && last->state == PeriodState::Ended) {
        // The examples that Darwin Core gives for disposition.
        static const QHash<QString, QString> words{{q("consumed"), q("used up")},
                                                   {q("destroyed"), q("destroyed")},
                                                   {q("discarded"), q("destroyed")},
                                                   {q("lost"), q("missing")},
                                                   {q("deposited"), q("in collection")}};
        return words.value(last->basis, last->basis);
    }
    return item.storage.empty() ? QString() : q("in collection");
}

/// That it was not on deck is said where the words about it are.
QString withNotFound(const SampleRecord &s, const QString &words)
{
    if (s.notFound.isEmpty())
        return words;
    const QString said = q("not found on deck: it ") + s.notFound;
    return words.isEmpty() ? said : said + q("; ") + words;
}

QString preparations(const QString &material, const ItemRecord &item)
{
    if (!item.preserved)
        return {};
    const PreservationInfo &p = *item.preserved;
    return QStringLiteral("%1 (%2%3)")
        .arg(material, p.preservative,
             p.percent.isEmpty() ? QString() : QStringLiteral(" %1 %").arg(p.percent));
}

Row DarwinCore::occurrence(const SampleRecord &s, const ItemRecord &item, const QString &id) const
{
    Row row = common();
    row[q("occurrenceID")] = id;
    row[q("materialSampleID")] = id;
    row[q("recordNumber")] = id;
    row[q("occurrenceStatus")] = q("present");
    row[q("basisOfRecord")] = q("MaterialSample");
    row[q("recordedBy")] = s.info.loggedBy;
    row[q("collectionCode")] = m_about.collectionCode;
    row[q("disposition")] = disposition(s, item);
    if (!item.names.empty()) {
        const Identification &last = item.names.back();
        const CertainName name = certainName(last.name, last.qualifier);
        row[q("scientificName")] = name.scientificName;
        row[q("scientificNameID")] = name.scientificNameId;
        row[q("identificationQualifier")] = name.identificationQualifier;
        row[q("verbatimIdentification")] = name.verbatimIdentification;
        // The rank is that of the whole name; of a name cut down to what is certain it is not known.
        row[q("taxonRank")] = name.identificationQualifier.isEmpty() ? last.rank : QString();
        row[q("identifiedBy")] = last.identifiedBy;
        row[q("dateIdentified")] = last.date;
        row[q("identificationRemarks")] = last.remark;
    } else {
        const CertainName nothing = certainName({});
        row[q("scientificName")] = nothing.scientificName;
        row[q("scientificNameID")] = nothing.scientificNameId;
    }
    // What a reader of the archive can open: the files in the package, not the names they had aboard.
    QStringList media;
    for (const Photograph &photo : item.photographs) {
        if (const QString file = item.packed.value(photo.sha256).file; !file.isEmpty())
            media << file;
    }
    row[q("associatedMedia")] = media.join(listJoint);
    return row;
}

QString relation(const QString &how, const QString &id)
{
    return QStringLiteral("\"%1\":\"%2\"").arg(how, id);
}

/// Which things of a sample live, and what each is told of the others: a host of what sat on it, a whole of
/// its parts.
struct Relations {
    QSet<QString> alive;
    QHash<QString, QStringList> reverse;
};

Relations relationsOf(const SampleRecord &s)
{
    Relations r;
    if (s.info.family == QLatin1String("biology"))
        r.alive.insert(s.info.id);
    for (const SpecimenRecord &p : s.specimens) {
        if (p.family == QLatin1String("biology"))
            r.alive.insert(p.info.id);
    }
    for (const SpecimenRecord &p : s.specimens) {
        const bool associate = !p.info.details.foundOn.isEmpty();
        const QString other = associate ? p.info.details.foundOn : p.info.parent;
        if (r.alive.contains(p.info.id) && r.alive.contains(other))
            r.reverse[other] << relation(associate ? q("host of") : q("source of part"), p.info.id);
    }
    return r;
}

/// What was logged when nobody has given a name.
QString fieldName(const QString &what, const QString &description)
{
    return description.isEmpty() ? what : what + q(": ") + description;
}

Row DarwinCore::sampleOccurrence(const SampleRecord &s, const QStringList &others) const
{
    Row row = occurrence(s, s.item, s.info.id);
    row[q("eventID")] = s.info.id;
    row[q("individualCount")] = QString::number(s.info.count);
    row[q("preparations")] = preparations(s.info.kind, s.item);
    if (row.value(q("verbatimIdentification")).isEmpty())
        row[q("verbatimIdentification")] = fieldName(s.info.kind, s.info.description);
    row[q("occurrenceRemarks")] = withNotFound(s, s.info.description);
    row[q("associatedOccurrences")] = others.join(listJoint);
    return row;
}

Row DarwinCore::specimenOccurrence(const SampleRecord &s, const SpecimenRecord &p,
                                   const Relations &relations) const
{
    const SpecimenDetails &d = p.info.details;
    const bool associate = !d.foundOn.isEmpty();
    Row row = occurrence(s, p.item, p.info.id);
    // A part that has no name of its own has that of what it was taken from.
    if (p.item.names.empty() && !associate && !s.item.names.empty()) {
        const Row whole = occurrence(s, s.item, s.info.id);
        for (const char *term : {"scientificName", "scientificNameID", "identificationQualifier",
                                 "verbatimIdentification", "taxonRank", "identifiedBy", "dateIdentified"})
            row[q(term)] = whole.value(q(term));
    }
    row[q("eventID")] = associate ? s.info.id : p.info.id;
    row[q("recordedBy")] = p.info.by;
    row[q("individualCount")] = d.count ? QString::number(*d.count) : QString();
    row[q("preparations")] = preparations(d.material, p.item);
    if (row.value(q("verbatimIdentification")).isEmpty())
        row[q("verbatimIdentification")] = fieldName(d.material, d.description);
    row[q("occurrenceRemarks")] = withNotFound(s, d.description);
    QStringList others = relations.reverse.value(p.info.id);
    const QString other = associate ? d.foundOn : p.info.parent;
    if (relations.alive.contains(other))
        others.prepend(relation(!associate             ? q("part of")
                                : d.relation.isEmpty() ? q("found on")
                                                       : d.relation,
                                other));
    row[q("associatedOccurrences")] = others.join(listJoint);
    return row;
}

Done DarwinCore::occurrences(DwcWriter &out) const
{
    for (const DiveRecord &dive : m_content.dives) {
        for (const SampleRecord &s : dive.samples) {
            if (!left(s))
                continue;
            const Relations relations = relationsOf(s);
            if (relations.alive.contains(s.info.id)) {
                if (auto done = out.row(sampleOccurrence(s, relations.reverse.value(s.info.id))); !done)
                    return done;
            }
            for (const SpecimenRecord &p : s.specimens) {
                if (!relations.alive.contains(p.info.id))
                    continue;
                if (auto done = out.row(specimenOccurrence(s, p, relations)); !done)
                    return done;
            }
        }
    }
    return out.end();
}

Done DarwinCore::measurements(DwcWriter &out) const
{
    for (const DiveRecord &dive : m_content.dives) {
        for (const SampleRecord &s : dive.samples) {
            if (!left(s))
                continue;
            for (const WaterQuantity &quantity : quantitiesOf(s.water)) {
                const auto kind =
                    std::find_if(m_vocabulary.begin(), m_vocabulary.end(),
                                 [&](const VocabularyTerm &t) { return t.quantity == q(quantity.name); });
                if (kind == m_vocabulary.end() || !quantity.value->has())
                    continue;
                const int decimals = quantity.decimals + (kind->factor == 1 ? 0 : 1);
                const auto flag = static_cast<int>(quantity.value->flag);
                Row row{
                    {q("eventID"), s.info.id},
                    {q("measurementID"), s.info.id + QLatin1Char(':') + kind->quantity},
                    {q("measurementType"), kind->type},
                    {q("measurementTypeID"), kind->p01Uri()},
                    {q("measurementValue"), number(quantity.value->value * kind->factor, decimals)},
                    {q("measurementUnit"), kind->unit},
                    {q("measurementUnitID"), kind->p06Uri()},
                    {q("measurementAccuracy"), number(quantity.value->spread * kind->factor, decimals + 1)},
                    {q("measurementDeterminedDate"), toIso(s.info.time)},
                    {q("measurementMethod"), QStringLiteral("%1; median of %2 scans within %3 s")
                                                 .arg(kind->method)
                                                 .arg(quantity.value->used)
                                                 .arg(quantity.value->halfWidthS)},
                    {q("measurementRemarks"),
                     QStringLiteral("QARTOD flag %1 (%2)").arg(flag).arg(flagWord(flag))}};
                if (auto done = out.row(row); !done)
                    return done;
            }
        }
    }
    return out.end();
}

} // namespace

Done writeDarwinCore(PackageWriter &package, const CruiseContent &content, const DatasetAbout &about,
                     const std::vector<VocabularyTerm> &vocabulary, const QString &packageName, UtcTime now)
{
    const DarwinCore core(content, about, vocabulary);
    const auto table = [&](const DwcTable &spec, Done (DarwinCore::*fill)(DwcWriter &) const) -> Done {
        auto out = DwcWriter::begin(package, spec);
        if (!out)
            return out.error();
        return (core.*fill)(*out);
    };
    if (auto done = table(eventTable(), &DarwinCore::events); !done)
        return done;
    if (auto done = table(occurrenceTable(), &DarwinCore::occurrences); !done)
        return done;
    if (auto done = table(measurementTable(), &DarwinCore::measurements); !done)
        return done;
    if (auto done = package.add(dwcaFolder + q("meta.xml"),
                                metaXml(eventTable(), {&occurrenceTable(), &measurementTable()}));
        !done)
        return done;
    return package.add(dwcaFolder + q("eml.xml"), emlXml(content, about, packageName, now));
}

} // namespace holdfast
