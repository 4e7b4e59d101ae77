// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/dwca_check.h"

#include "handoff/dwc_rules.h"
#include "handoff/dwc_terms.h"
#include "handoff/dwca_table.h"
#include "handoff/reading_limits.h"

#include <QRegularExpression>
#include <QSet>
#include <QXmlStreamReader>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

const QString guide = QStringLiteral("Darwin Core text guide 2");
const QString obis = QStringLiteral("OBIS manual");
const QString dwc = QStringLiteral("Darwin Core terms");

class ArchiveCheck
{
public:
    ArchiveCheck(const BagSource &source, QString folder, UtcTime now, const JobControl &job,
                 PackageFindings &findings)
        : m_source(source), m_folder(std::move(folder)), m_now(now), m_job(job), m_findings(findings)
    {
    }
    Done run();

private:
    void readTable(const DescribedTable &about);
    void checkTerms(const ArchiveTable &t);
    void checkEml(const QString &name);
    void checkEvents(const ArchiveTable &t);
    void checkPlace(const ArchiveTable &t, const QStringList &row, const QString &id);
    void checkDates(const ArchiveTable &t, const QStringList &row, const QString &id);
    void checkParents(const ArchiveTable &t);
    void checkOccurrences(const ArchiveTable &t);
    void checkMeasurements(const ArchiveTable &t);
    void checkCoreIds(const ArchiveTable &t);
    void needTerms(const ArchiveTable &t, std::initializer_list<const char *> terms);

    const BagSource &m_source;
    QString m_folder;
    UtcTime m_now;
    const JobControl &m_job;
    PackageFindings &m_findings;
    std::vector<ArchiveTable> m_tables;
    qint64 m_cellsLeft = mostArchiveCells;
    QSet<QString> m_events, m_occurrences;
};

void ArchiveCheck::readTable(const DescribedTable &about)
{
    const QString path = m_folder + about.file;
    const auto bytes = m_source.readAll(path, mostTableBytes);
    if (!bytes) {
        m_findings.error(
            guide, m_folder + q("meta.xml"),
            QStringLiteral("describes %1, which can't be read: %2").arg(about.file, bytes.error().sentence));
        return;
    }
    m_tables.push_back(readArchiveTable(*bytes, about, path, m_cellsLeft, m_findings));
}

void ArchiveCheck::checkTerms(const ArchiveTable &t)
{
    // Darwin Core has no measurementTypeID and the like: they are OBIS' own, which no schema of meta.xml
    // finds.
    for (const char *term : {"measurementTypeID", "measurementValueID", "measurementUnitID"}) {
        if (t.about.columns.contains(q("http://rs.tdwg.org/dwc/terms/") + q(term)))
            m_findings.error(dwc, m_folder + q("meta.xml"),
                             QStringLiteral("maps %1 in Darwin Core's namespace; it is a term of OBIS (%2).")
                                 .arg(q(term), termUri(q(term))));
    }
    for (const char *term : {"license", "rightsHolder", "modified"}) {
        if (t.about.columns.contains(q("http://rs.tdwg.org/dwc/terms/") + q(term)))
            m_findings.error(
                dwc, m_folder + q("meta.xml"),
                QStringLiteral("maps %1 in Darwin Core's namespace; it is a term of Dublin Core (%2).")
                    .arg(q(term), termUri(q(term))));
    }
}

void ArchiveCheck::needTerms(const ArchiveTable &t, std::initializer_list<const char *> terms)
{
    for (const char *term : terms) {
        if (!t.has(term))
            m_findings.error(obis, t.path, QStringLiteral("has no %1, which is required.").arg(q(term)));
    }
}

void ArchiveCheck::checkPlace(const ArchiveTable &t, const QStringList &row, const QString &id)
{
    const QString lat = t.value(row, "decimalLatitude");
    const QString lon = t.value(row, "decimalLongitude");
    if (lat.isEmpty() || lon.isEmpty()) {
        m_findings.warning(obis, t.path,
                           QStringLiteral("%1 has no position; OBIS would not take its records.").arg(id));
    } else {
        bool good = false;
        bool goodToo = false;
        const double latitude = lat.toDouble(&good);
        const double longitude = lon.toDouble(&goodToo);
        if (!good || !goodToo || std::abs(latitude) > 90 || std::abs(longitude) > 180)
            m_findings.error(dwc, t.path,
                             QStringLiteral("%1 has the position %2, %3, which is none.").arg(id, lat, lon));
        else if (latitude == 0 && longitude == 0)
            m_findings.error(obis, t.path, QStringLiteral("%1 lies at 0, 0.").arg(id));
        if (t.value(row, "geodeticDatum").isEmpty())
            m_findings.warning(obis, t.path,
                               QStringLiteral("%1 has a position without geodeticDatum.").arg(id));
        if (t.value(row, "coordinateUncertaintyInMeters").isEmpty())
            m_findings.warning(obis, t.path,
                               QStringLiteral("%1 does not say how sure its position is.").arg(id));
    }
    const QString uncertainty = t.value(row, "coordinateUncertaintyInMeters");
    if (!uncertainty.isEmpty()) {
        bool good = false;
        const double metres = uncertainty.toDouble(&good);
        if (!good || metres <= 0 || metres > 1e7)
            m_findings.error(
                dwc, t.path,
                QStringLiteral("%1 has coordinateUncertaintyInMeters %2; it must be above 0 and at most "
                               "10000000.")
                    .arg(id, uncertainty));
    }
    const QString least = t.value(row, "minimumDepthInMeters");
    const QString most = t.value(row, "maximumDepthInMeters");
    bool goodLeast = true;
    bool goodMost = true;
    const double from = least.isEmpty() ? 0 : least.toDouble(&goodLeast);
    const double to = most.isEmpty() ? from : most.toDouble(&goodMost);
    if (!goodLeast || !goodMost || from > to || from < -100'000 || to > 11'000)
        m_findings.error(dwc, t.path, QStringLiteral("%1 has the depths %2 to %3.").arg(id, least, most));
}

void ArchiveCheck::checkDates(const ArchiveTable &t, const QStringList &row, const QString &id)
{
    const QString text = t.value(row, "eventDate");
    if (text.isEmpty()) {
        m_findings.error(obis, t.path, QStringLiteral("%1 has no eventDate.").arg(id));
        return;
    }
    const auto date = readEventDate(text);
    if (!date)
        m_findings.error(dwc, t.path,
                         QStringLiteral("%1 has the eventDate \"%2\", which is no ISO 8601 date or interval.")
                             .arg(id, text));
    else if (date->from > m_now)
        m_findings.error(obis, t.path, QStringLiteral("%1 lies in the future: %2.").arg(id, text));
    else if (!date->zoned)
        m_findings.warning(
            obis, t.path,
            QStringLiteral("%1 has a time without a zone, which would mean local time: %2.").arg(id, text));
}

void ArchiveCheck::checkParents(const ArchiveTable &t)
{
    QHash<QString, QString> parents;
    for (const QStringList &row : t.rows)
        parents.insert(t.value(row, "eventID"), t.value(row, "parentEventID"));
    QSet<QString> judged;
    for (auto it = parents.begin(); it != parents.end(); ++it) {
        if (!it.value().isEmpty() && !parents.contains(it.value()))
            m_findings.error(
                obis, t.path,
                QStringLiteral("%1 names the parent %2, which is not there.").arg(it.key(), it.value()));
        QSet<QString> above;
        for (QString id = it.key(); !id.isEmpty() && !judged.contains(id); id = parents.value(id)) {
            if (above.contains(id)) {
                m_findings.error(obis, t.path, QStringLiteral("%1 is its own ancestor.").arg(id));
                break;
            }
            above.insert(id);
        }
        judged += above; // each is climbed from once: a chain of all events would else take for ever
    }
}

void ArchiveCheck::checkEvents(const ArchiveTable &t)
{
    needTerms(t, {"eventID", "eventDate", "decimalLatitude", "decimalLongitude"});
    for (const QStringList &row : t.rows) {
        const QString id = t.value(row, "eventID");
        if (id.isEmpty() || id.contains(QLatin1Char(' ')))
            m_findings.error(obis, t.path,
                             QStringLiteral("has the eventID \"%1\": empty or with blanks.").arg(id));
        if (m_events.contains(id))
            m_findings.error(guide, t.path, QStringLiteral("has the eventID %1 twice.").arg(id));
        m_events.insert(id);
        if (t.about.idColumn >= 0 && t.id(row) != id)
            m_findings.error(guide, t.path,
                             QStringLiteral("gives %1 another id than eventID: %2.").arg(id, t.id(row)));
        checkDates(t, row, id);
        checkPlace(t, row, id);
    }
    checkParents(t);
}

void ArchiveCheck::checkCoreIds(const ArchiveTable &t)
{
    for (const QStringList &row : t.rows) {
        if (!m_events.contains(t.id(row)))
            m_findings.error(guide, t.path,
                             QStringLiteral("has a row for %1, which is not in the core.").arg(t.id(row)));
    }
}

void ArchiveCheck::checkOccurrences(const ArchiveTable &t)
{
    needTerms(t, {"occurrenceID", "occurrenceStatus", "basisOfRecord", "scientificName"});
    for (const QStringList &row : t.rows) {
        const QString id = t.value(row, "occurrenceID");
        if (id.isEmpty() || id.contains(QLatin1Char(' ')))
            m_findings.error(obis, t.path,
                             QStringLiteral("has the occurrenceID \"%1\": empty or with blanks.").arg(id));
        if (m_occurrences.contains(id))
            m_findings.error(obis, t.path, QStringLiteral("has the occurrenceID %1 twice.").arg(id));
        m_occurrences.insert(id);
    }
    static const QRegularExpression other(q("\":\\s*\"([^\"]+)\""));
    for (const QStringList &row : t.rows) {
        const QString id = t.value(row, "occurrenceID");
        const QString status = t.value(row, "occurrenceStatus");
        if (status != q("present") && status != q("absent"))
            m_findings.error(
                obis, t.path,
                QStringLiteral("%1 has the occurrenceStatus \"%2\", not present or absent.").arg(id, status));
        if (const QString why = wrongBasisOfRecord(t.value(row, "basisOfRecord")); !why.isEmpty())
            m_findings.error(obis, t.path, QStringLiteral("%1: %2.").arg(id, why));
        if (const QString why = wrongScientificName(t.value(row, "scientificName")); !why.isEmpty())
            m_findings.error(obis, t.path, QStringLiteral("%1: scientificName %2.").arg(id, why));
        if (t.value(row, "scientificNameID").isEmpty())
            m_findings.warning(obis, t.path, QStringLiteral("%1 has no scientificNameID.").arg(id));
        auto others = other.globalMatch(t.value(row, "associatedOccurrences"));
        while (others.hasNext()) {
            const QString named = others.next().captured(1);
            if (!m_occurrences.contains(named))
                m_findings.error(
                    dwc, t.path,
                    QStringLiteral("%1 is associated with %2, which is not there.").arg(id, named));
        }
    }
}

void ArchiveCheck::checkMeasurements(const ArchiveTable &t)
{
    needTerms(t, {"measurementType", "measurementValue", "measurementUnit"});
    QHash<QString, QString> unitOfType;
    for (const QStringList &row : t.rows) {
        const QString id = t.id(row) + QLatin1Char(' ') + t.value(row, "measurementType");
        const QString occurrence = t.value(row, "occurrenceID");
        if (!occurrence.isEmpty() && !m_occurrences.contains(occurrence))
            m_findings.error(obis, t.path,
                             QStringLiteral("%1 measures %2, which is not there.").arg(id, occurrence));
        const QString type = t.value(row, "measurementTypeID");
        const QString unit = t.value(row, "measurementUnitID");
        for (const QString &why : {wrongVocabularyUri(type, q("P01")), wrongVocabularyUri(unit, q("P06"))}) {
            if (!why.isEmpty())
                m_findings.warning(obis, t.path, QStringLiteral("%1: %2.").arg(id, why));
        }
        if (type.isEmpty() || unit.isEmpty())
            m_findings.warning(
                obis, t.path,
                QStringLiteral("%1 has no %2.")
                    .arg(id, type.isEmpty() ? q("measurementTypeID") : q("measurementUnitID")));
        if (!type.isEmpty() && unitOfType.contains(type) && unitOfType.value(type) != unit)
            m_findings.warning(obis, t.path,
                               QStringLiteral("%1 is in another unit than rows of its type before.").arg(id));
        unitOfType.insert(type, unit);
        const QString value = t.value(row, "measurementValue");
        bool number = false;
        static_cast<void>(value.toDouble(&number));
        if (value.isEmpty() || (!number && t.value(row, "measurementValueID").isEmpty() && !unit.isEmpty()))
            m_findings.error(obis, t.path,
                             QStringLiteral("%1 has the value \"%2\", which is no number.").arg(id, value));
    }
}

void ArchiveCheck::checkEml(const QString &name)
{
    const QString rule = q("OBIS manual, EML");
    if (name.isEmpty()) {
        m_findings.warning(rule, m_folder + q("meta.xml"), q("names no metadata document."));
        return;
    }
    const auto bytes = m_source.readAll(m_folder + name, mostDocumentBytes);
    if (!bytes) {
        m_findings.error(rule, m_folder + name, q("is named in meta.xml and missing."));
        return;
    }
    // EML lets these be without, the GBIF metadata profile (1.3) does not.
    static const QHash<QString, QString> needed{{q("keywordSet"), q("keywordThesaurus")},
                                                {q("gbif"), q("dateStamp")}};
    QXmlStreamReader xml(*bytes);
    QSet<QString> seen, inElement;
    QStringList path;
    while (!xml.atEnd()) {
        xml.readNext();
        if (xml.isStartElement()) {
            path << xml.name().toString();
            if (needed.contains(path.last()))
                inElement.clear();
            inElement.insert(path.last());
        } else if (xml.isEndElement()) {
            const QString child = needed.value(path.takeLast());
            if (!child.isEmpty() && !inElement.contains(child))
                m_findings.warning(q("GBIF metadata profile"), m_folder + name,
                                   QStringLiteral("has a %1 without %2; GBIF would not take it.")
                                       .arg(xml.name().toString(), child));
        } else if (xml.isCharacters() && !xml.isWhitespace() && path.size() >= 3 &&
                   path.at(1) == q("dataset"))
            seen.insert(path.at(2));
    }
    if (xml.hasError())
        m_findings.error(rule, m_folder + name,
                         QStringLiteral("is no sound XML: %1.").arg(xml.errorString()));
    for (const char *element : {"title", "creator", "contact", "abstract"}) {
        if (!seen.contains(q(element)))
            m_findings.error(rule, m_folder + name, QStringLiteral("has no %1.").arg(q(element)));
    }
    if (!seen.contains(q("intellectualRights")) || bytes->contains("No licence is stated"))
        m_findings.warning(rule, m_folder + name, q("states no licence."));
    if (!bytes->contains("<citation"))
        m_findings.warning(rule, m_folder + name, q("gives no citation."));
}

Done ArchiveCheck::run()
{
    const auto meta = m_source.readAll(m_folder + q("meta.xml"), mostTagBytes);
    if (!meta) {
        m_findings.error(guide, m_folder + q("meta.xml"), meta.error().sentence);
        return {};
    }
    QString eml;
    const auto described = readMetaXml(*meta, m_folder + q("meta.xml"), m_findings, eml);
    checkEml(eml);
    for (const DescribedTable &t : described) {
        if (auto on = m_job.goOn(); !on)
            return on;
        if (t.canBeSplit()) // otherwise meta.xml has been told what is wrong
            readTable(t);
    }
    const auto each = [this](const char *rowType, void (ArchiveCheck::*check)(const ArchiveTable &)) {
        for (const ArchiveTable &t : m_tables) {
            if (t.about.rowType == q(rowType))
                (this->*check)(t);
        }
    };
    for (const ArchiveTable &t : m_tables)
        checkTerms(t);
    each("http://rs.tdwg.org/dwc/terms/Event", &ArchiveCheck::checkEvents);
    for (const ArchiveTable &t : m_tables) {
        if (!t.about.core && t.about.idColumn >= 0 && !m_events.isEmpty())
            checkCoreIds(t);
    }
    each("http://rs.tdwg.org/dwc/terms/Occurrence", &ArchiveCheck::checkOccurrences);
    each("http://rs.iobis.org/obis/terms/ExtendedMeasurementOrFact", &ArchiveCheck::checkMeasurements);
    return {};
}

} // namespace

QStringList darwinCoreFolders(const BagSource &source)
{
    static constexpr const char *tableNames[] = {"event.txt", "occurrence.txt", "eml.xml"};
    QStringList folders;
    for (const BagEntry &e : source.entries()) {
        if (e.folder || e.path.section(QLatin1Char('/'), -1) != q("meta.xml"))
            continue;
        const QString folder = e.path.chopped(8);
        const auto bytes = source.readAll(e.path, mostTagBytes);
        const bool says = bytes && bytes->contains("http://rs.tdwg.org/dwc/text/");
        // A damaged one no longer says what it is; the tables beside it do.
        const bool beside = std::any_of(std::begin(tableNames), std::end(tableNames), [&](const char *name) {
            return source.find(folder + q(name)) != nullptr;
        });
        if (says || beside)
            folders << folder;
    }
    return folders;
}

Done checkDarwinCore(const BagSource &source, const QString &folder, UtcTime now, const JobControl &job,
                     PackageFindings &findings)
{
    return ArchiveCheck(source, folder, now, job, findings).run();
}

} // namespace holdfast
