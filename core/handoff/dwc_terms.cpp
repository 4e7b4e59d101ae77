// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/dwc_terms.h"

#include <QXmlStreamWriter>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

void describe(QXmlStreamWriter &xml, const DwcTable &table, bool core)
{
    xml.writeStartElement(core ? q("core") : q("extension"));
    xml.writeAttribute(q("encoding"), q("UTF-8"));
    xml.writeAttribute(q("fieldsTerminatedBy"), q("\\t")); // the two characters, as the guide asks
    xml.writeAttribute(q("linesTerminatedBy"), q("\\n"));
    xml.writeAttribute(q("fieldsEnclosedBy"), QString());
    xml.writeAttribute(q("ignoreHeaderLines"), q("1"));
    xml.writeAttribute(q("rowType"), table.rowType);
    xml.writeStartElement(q("files"));
    xml.writeTextElement(q("location"), table.file);
    xml.writeEndElement();
    xml.writeEmptyElement(core ? q("id") : q("coreid"));
    xml.writeAttribute(q("index"), q("0"));
    // The id is a column and no term: the core maps eventID a second time; in an extension the coreid is
    // enough.
    for (qsizetype i = core ? 0 : 1; i < table.terms.size(); ++i) {
        xml.writeEmptyElement(q("field"));
        xml.writeAttribute(q("index"), QString::number(i));
        xml.writeAttribute(q("term"), termUri(table.terms.at(i)));
    }
    xml.writeEndElement();
}

QStringList words(const char *text)
{
    return q(text).split(QLatin1Char(' '));
}

} // namespace

QString termUri(const QString &term)
{
    static const QStringList dublinCore = words("license rightsHolder modified");
    static const QStringList obis = words("measurementTypeID measurementValueID measurementUnitID");
    if (dublinCore.contains(term))
        return q("http://purl.org/dc/terms/") + term;
    if (obis.contains(term))
        return q("http://rs.iobis.org/obis/terms/") + term;
    return q("http://rs.tdwg.org/dwc/terms/") + term;
}

const DwcTable &eventTable()
{
    static const DwcTable table{
        q("event.txt"), q("http://rs.tdwg.org/dwc/terms/Event"),
        words("eventID parentEventID eventType eventDate fieldNumber samplingProtocol decimalLatitude "
              "decimalLongitude geodeticDatum coordinateUncertaintyInMeters georeferenceProtocol "
              "minimumDepthInMeters maximumDepthInMeters footprintWKT locationRemarks eventRemarks "
              "institutionCode "
              "datasetName license rightsHolder")};
    return table;
}

const DwcTable &occurrenceTable()
{
    static const DwcTable table{
        q("occurrence.txt"), q("http://rs.tdwg.org/dwc/terms/Occurrence"),
        words(
            "eventID occurrenceID occurrenceStatus basisOfRecord scientificName scientificNameID taxonRank "
            "identificationQualifier verbatimIdentification identifiedBy dateIdentified "
            "identificationRemarks "
            "recordedBy recordNumber individualCount materialSampleID preparations disposition catalogNumber "
            "institutionCode collectionCode associatedMedia associatedOccurrences occurrenceRemarks license "
            "rightsHolder")};
    return table;
}

const DwcTable &measurementTable()
{
    static const DwcTable table{
        q("extendedmeasurementorfact.txt"), q("http://rs.iobis.org/obis/terms/ExtendedMeasurementOrFact"),
        words("eventID occurrenceID measurementID measurementType measurementTypeID measurementValue "
              "measurementValueID measurementUnit measurementUnitID measurementAccuracy "
              "measurementDeterminedDate "
              "measurementMethod measurementRemarks")};
    return table;
}

QByteArray metaXml(const DwcTable &core, const std::vector<const DwcTable *> &extensions)
{
    QByteArray out;
    QXmlStreamWriter xml(&out);
    xml.setAutoFormatting(true);
    xml.setAutoFormattingIndent(2);
    xml.writeStartDocument();
    xml.writeStartElement(q("archive"));
    xml.writeDefaultNamespace(q("http://rs.tdwg.org/dwc/text/"));
    xml.writeAttribute(q("metadata"), q("eml.xml"));
    describe(xml, core, true);
    for (const DwcTable *extension : extensions)
        describe(xml, *extension, false);
    xml.writeEndElement();
    xml.writeEndDocument();
    return out;
}

} // namespace holdfast
