// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/version.h"
#include "handoff/darwin_core.h"
#include "handoff/dwc_names.h"
#include "handoff/geo.h"

#include <QSet>
#include <QUrl>
#include <QXmlStreamWriter>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

class Eml
{
public:
    Eml(const CruiseContent &content, const DatasetAbout &about) : m_content(content), m_about(about)
    {
        m_xml.setAutoFormatting(true);
        m_xml.setAutoFormattingIndent(2);
    }
    QByteArray write(const QString &packageName, UtcTime now);

private:
    void text(const char *element, const QString &value)
    {
        if (!value.isEmpty())
            m_xml.writeTextElement(q(element), value);
    }
    void para(const char *element, const QString &value)
    {
        if (value.isEmpty())
            return;
        m_xml.writeStartElement(q(element));
        m_xml.writeTextElement(q("para"), value);
        m_xml.writeEndElement();
    }
    void person(const char *element, const DatasetAbout::Person &person, const char *role = nullptr);
    void keywords();
    void project();
    void additionalMetadata(UtcTime now);
    void rights();
    void coverage();
    void taxa();
    void methods();

    const CruiseContent &m_content;
    const DatasetAbout &m_about;
    QByteArray m_out;
    QXmlStreamWriter m_xml{&m_out};
};

/// A person or, without a name, an organisation: EML wants one of them.
void Eml::person(const char *element, const DatasetAbout::Person &person, const char *role)
{
    m_xml.writeStartElement(q(element));
    if (!person.name.isEmpty()) {
        m_xml.writeStartElement(q("individualName"));
        const QString given = person.name.section(QLatin1Char(' '), 0, -2);
        text("givenName", given);
        m_xml.writeTextElement(q("surName"), person.name.section(QLatin1Char(' '), -1));
        m_xml.writeEndElement();
    }
    if (!person.organisation.isEmpty())
        m_xml.writeTextElement(q("organizationName"), person.organisation);
    if (person.name.isEmpty() && person.organisation.isEmpty())
        m_xml.writeTextElement(q("organizationName"), q("not stated"));
    text("electronicMailAddress", person.email);
    if (role)
        m_xml.writeTextElement(q("role"), q(role));
    m_xml.writeEndElement();
}

/// The GBIF profile wants a thesaurus named even where the words are of none.
void Eml::keywords()
{
    m_xml.writeStartElement(q("keywordSet"));
    for (const char *word : {"samples", "specimens", "remotely operated vehicle", "deep sea"})
        m_xml.writeTextElement(q("keyword"), q(word));
    m_xml.writeTextElement(q("keywordThesaurus"), q("none (free words)"));
    m_xml.writeEndElement();
}

void Eml::rights()
{
    m_xml.writeStartElement(q("intellectualRights"));
    m_xml.writeStartElement(q("para"));
    if (m_about.licence.isEmpty()) {
        m_xml.writeCharacters(q("No licence is stated."));
    } else {
        m_xml.writeCharacters(q("This work is licensed under "));
        // Only an address of the web is a link: what a reader's program would do at any other is not ours to
        // say.
        const QUrl address(m_about.licence, QUrl::StrictMode);
        const bool web =
            (address.scheme() == q("https") || address.scheme() == q("http")) && !address.host().isEmpty();
        if (web) {
            m_xml.writeStartElement(q("ulink"));
            m_xml.writeAttribute(q("url"), m_about.licence);
            m_xml.writeTextElement(q("citetitle"), m_about.licence);
            m_xml.writeEndElement();
        } else {
            m_xml.writeCharacters(m_about.licence);
        }
        m_xml.writeCharacters(q("."));
    }
    if (!m_about.rightsHolder.isEmpty())
        m_xml.writeCharacters(QStringLiteral(" Rights holder: %1.").arg(m_about.rightsHolder));
    if (!m_about.embargoUntil.isEmpty())
        m_xml.writeCharacters(QStringLiteral(" Embargo until %1.").arg(m_about.embargoUntil));
    m_xml.writeEndElement();
    m_xml.writeEndElement();
}

void Eml::taxa()
{
    QSet<QString> names;
    const auto take = [&names](const ItemRecord &item) {
        if (!item.names.empty())
            names.insert(certainName(item.names.back().name, item.names.back().qualifier).scientificName);
    };
    for (const DiveRecord &dive : m_content.dives) {
        for (const SampleRecord &s : dive.samples) {
            take(s.item);
            for (const SpecimenRecord &p : s.specimens)
                take(p.item);
        }
    }
    if (names.isEmpty())
        return;
    QStringList sorted = names.values();
    sorted.sort();
    m_xml.writeStartElement(q("taxonomicCoverage"));
    for (const QString &name : std::as_const(sorted)) {
        m_xml.writeStartElement(q("taxonomicClassification"));
        m_xml.writeTextElement(q("taxonRankValue"), name);
        m_xml.writeEndElement();
    }
    m_xml.writeEndElement();
}

void Eml::coverage()
{
    std::vector<GeoPoint> places;
    for (const DiveRecord &dive : m_content.dives) {
        const auto more = placesOf(dive);
        places.insert(places.end(), more.begin(), more.end());
    }
    const auto box = boundingBox(places);
    const Interval when = cruiseInterval(m_content);
    if (!box && !when.from)
        return;
    const auto degrees = [](double value) { return QString::number(value, 'f', 6); };
    m_xml.writeStartElement(q("coverage"));
    if (box) {
        m_xml.writeStartElement(q("geographicCoverage"));
        m_xml.writeTextElement(q("geographicDescription"),
                               QStringLiteral("Dives of cruise %1").arg(m_content.cruise.code));
        m_xml.writeStartElement(q("boundingCoordinates"));
        m_xml.writeTextElement(q("westBoundingCoordinate"), degrees(box->west));
        m_xml.writeTextElement(q("eastBoundingCoordinate"), degrees(box->east));
        m_xml.writeTextElement(q("northBoundingCoordinate"), degrees(box->north));
        m_xml.writeTextElement(q("southBoundingCoordinate"), degrees(box->south));
        m_xml.writeEndElement();
        m_xml.writeEndElement();
    }
    if (when.from) {
        const auto date = [this](const char *element, UtcTime t) {
            m_xml.writeStartElement(q(element));
            m_xml.writeTextElement(q("calendarDate"), dateText(t));
            m_xml.writeEndElement();
        };
        m_xml.writeStartElement(q("temporalCoverage"));
        m_xml.writeStartElement(q("rangeOfDates"));
        date("beginDate", *when.from);
        date("endDate", when.to.value_or(*when.from));
        m_xml.writeEndElement();
        m_xml.writeEndElement();
    }
    taxa();
    m_xml.writeEndElement();
}

void Eml::methods()
{
    m_xml.writeStartElement(q("methods"));
    for (const QString &step : {q("Positions are posterior means of the vehicle's track estimated from the "
                                  "whole position log of a dive; the "
                                  "uncertainty is the radius that holds the true position 95 times in 100. "
                                  "Where the log says nothing, no "
                                  "position is given."),
                                q("Water values are medians over the CTD scans about the moment of sampling "
                                  "that passed their quality tests, "
                                  "with flags after QARTOD. Logs, methods and parameters are kept with the "
                                  "values (provenance of the "
                                  "package).")}) {
        m_xml.writeStartElement(q("methodStep"));
        para("description", step);
        m_xml.writeEndElement();
    }
    m_xml.writeEndElement();
}

void Eml::project()
{
    if (m_about.project.isEmpty() || m_about.creators.empty())
        return;
    m_xml.writeStartElement(q("project"));
    m_xml.writeTextElement(q("title"), m_about.project);
    person("personnel", m_about.creators.front(), "principalInvestigator");
    m_xml.writeEndElement();
}

/// What the GBIF profile keeps beside EML: when this was written, and the citation.
void Eml::additionalMetadata(UtcTime now)
{
    for (const char *element : {"additionalMetadata", "metadata", "gbif"})
        m_xml.writeStartElement(q(element));
    m_xml.writeTextElement(q("dateStamp"), toIso(now));
    text("citation", m_about.citation);
    for (int i = 0; i < 3; ++i)
        m_xml.writeEndElement();
}

QByteArray Eml::write(const QString &packageName, UtcTime now)
{
    m_xml.writeStartDocument();
    m_xml.writeNamespace(q("https://eml.ecoinformatics.org/eml-2.2.0"), q("eml"));
    m_xml.writeNamespace(q("http://www.w3.org/2001/XMLSchema-instance"), q("xsi"));
    m_xml.writeStartElement(q("https://eml.ecoinformatics.org/eml-2.2.0"), q("eml"));
    // Which of the schemas of this namespace is meant: the profile that biodiversity archives judge by.
    m_xml.writeAttribute(q("http://www.w3.org/2001/XMLSchema-instance"), q("schemaLocation"),
                         q("https://eml.ecoinformatics.org/eml-2.2.0 "
                           "https://rs.gbif.org/schema/eml-gbif-profile/1.3/eml.xsd"));
    m_xml.writeAttribute(q("packageId"), packageName);
    m_xml.writeAttribute(q("system"), QStringLiteral("holdfast %1").arg(programVersion()));
    m_xml.writeAttribute(q("scope"), q("system"));
    m_xml.writeAttribute(q("http://www.w3.org/XML/1998/namespace"), q("lang"), q("en"));
    m_xml.writeStartElement(q("dataset"));
    text("alternateIdentifier", packageName);
    m_xml.writeTextElement(q("title"), datasetTitle(m_content, m_about));
    if (m_about.creators.empty())
        person("creator", m_about.contact);
    for (const DatasetAbout::Person &creator : m_about.creators)
        person("creator", creator);
    person("metadataProvider", m_about.contact);
    m_xml.writeTextElement(q("pubDate"), dateText(now));
    m_xml.writeTextElement(q("language"), q("en"));
    para("abstract",
         m_about.abstract.isEmpty()
             ? QStringLiteral("Samples and specimens collected on cruise %1 by remotely operated vehicle, "
                              "with positions, water values and chain of custody.")
                   .arg(m_content.cruise.code)
             : m_about.abstract);
    keywords();
    para("additionalInfo", q("A cell of the text files that would begin with = + - @ or an apostrophe, and "
                             "is no number, has one "
                             "apostrophe put before it so that no spreadsheet takes it for a formula; taking "
                             "one leading apostrophe off "
                             "gives the text back."));
    rights();
    coverage();
    para("purpose", m_about.purpose);
    person("contact", m_about.contact);
    methods();
    project();
    m_xml.writeEndElement();
    additionalMetadata(now);
    m_xml.writeEndElement();
    m_xml.writeEndDocument();
    return m_out;
}

} // namespace

QString datasetTitle(const CruiseContent &content, const DatasetAbout &about)
{
    if (!about.title.isEmpty())
        return about.title;
    return content.cruise.title.isEmpty()
               ? QStringLiteral("Samples and specimens of cruise %1").arg(content.cruise.code)
               : content.cruise.title;
}

QByteArray emlXml(const CruiseContent &content, const DatasetAbout &about, const QString &packageName,
                  UtcTime now)
{
    return Eml(content, about).write(packageName, now);
}

} // namespace holdfast
