// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/dwca_check.h"

#include <QXmlStreamReader>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

const QString rule = QStringLiteral("Darwin Core text guide 2");
const QString nameSpace = QStringLiteral("http://rs.tdwg.org/dwc/text/");

/// The two characters backslash and letter stand for a control character.
QString unescaped(QString text)
{
    return text.replace(q("\\t"), q("\t")).replace(q("\\n"), q("\n")).replace(q("\\r"), q("\r"));
}

/// Reads one meta.xml; the order of elements is that of the guide's schema.
class MetaReader
{
public:
    MetaReader(const QByteArray &xml, QString path, PackageFindings &findings)
        : m_xml(xml), m_path(std::move(path)), m_findings(findings)
    {
    }
    std::vector<DescribedTable> read(QString &emlName);

private:
    void wrong(const QString &sentence) { m_findings.error(rule, m_path, sentence); }
    void readTable(bool core);
    void readFiles(DescribedTable &table);
    void readField(DescribedTable &table);
    std::optional<int> index(const DescribedTable &table);

    QXmlStreamReader m_xml;
    QString m_path;
    PackageFindings &m_findings;
    std::vector<DescribedTable> m_tables;
};

std::optional<int> MetaReader::index(const DescribedTable &table)
{
    const auto text = m_xml.attributes().value(q("index"));
    if (text.isNull())
        return std::nullopt;
    bool good = false;
    const int column = text.toInt(&good);
    if (good && column >= 0)
        return column;
    wrong(
        QStringLiteral("gives %1 the index \"%2\"; it must be a whole number from 0.").arg(table.file, text));
    return std::nullopt;
}

void MetaReader::readFiles(DescribedTable &table)
{
    int locations = 0;
    while (m_xml.readNextStartElement()) {
        if (m_xml.name() == q("location")) {
            table.file = m_xml.readElementText().trimmed();
            ++locations;
        } else {
            wrong(QStringLiteral("has an element %1 in files.").arg(m_xml.name()));
            m_xml.skipCurrentElement();
        }
    }
    if (locations != 1)
        wrong(QStringLiteral("names %1 files for one table; one is read here.").arg(locations));
}

void MetaReader::readField(DescribedTable &table)
{
    const QString term = m_xml.attributes().value(q("term")).toString();
    if (term.isEmpty())
        wrong(QStringLiteral("has a field of %1 without a term.").arg(table.file));
    else if (!term.startsWith(q("http://")) && !term.startsWith(q("https://")))
        wrong(QStringLiteral("has the term \"%1\" in %2, which is no full URI.").arg(term, table.file));
    else if (table.columns.contains(term) || table.defaults.contains(term))
        wrong(QStringLiteral("maps the term %1 twice in %2.").arg(term, table.file));
    const auto column = index(table);
    const auto fallback = m_xml.attributes().value(q("default"));
    if (column)
        table.columns.insert(term, *column);
    else if (!fallback.isNull())
        table.defaults.insert(term, fallback.toString());
    else if (!term.isEmpty())
        wrong(QStringLiteral("gives the term %1 neither an index nor a default.").arg(term));
    m_xml.skipCurrentElement();
}

void MetaReader::readTable(bool core)
{
    DescribedTable table;
    table.core = core;
    const QXmlStreamAttributes a = m_xml.attributes();
    const auto take = [&a](const char *name, QString &into) {
        if (a.hasAttribute(q(name)))
            into = unescaped(a.value(q(name)).toString());
    };
    take("rowType", table.rowType);
    take("fieldsTerminatedBy", table.fieldEnd);
    take("linesTerminatedBy", table.lineEnd);
    take("fieldsEnclosedBy", table.quote);
    table.headerLines = a.value(q("ignoreHeaderLines")).toInt();
    for (const auto &[name, end] :
         {std::pair("fieldsTerminatedBy", &table.fieldEnd), std::pair("linesTerminatedBy", &table.lineEnd)}) {
        if (end->isEmpty())
            wrong(QStringLiteral("gives an empty %1; nothing can be told apart by it.").arg(q(name)));
    }
    if (table.rowType.isEmpty())
        wrong(q("has a table without rowType."));
    const auto encoding = a.value(q("encoding"));
    if (!encoding.isNull() && encoding.compare(q("UTF-8"), Qt::CaseInsensitive) != 0)
        wrong(QStringLiteral("declares the encoding %1; only UTF-8 is read here.").arg(encoding));
    int stage = 0; // files, then id or coreid, then fields
    while (m_xml.readNextStartElement()) {
        const QString name = m_xml.name().toString();
        const int now = name == q("files")                       ? 1
                        : name == (core ? q("id") : q("coreid")) ? 2
                        : name == q("field")                     ? 3
                                                                 : 0;
        if (now == 0)
            wrong(QStringLiteral("has an element %1 where only files, %2 and field may stand.")
                      .arg(name, core ? q("id") : q("coreid")));
        else if (now < stage || (now == stage && now != 3))
            wrong(QStringLiteral("has %1 out of order: files, then %2, then the fields.")
                      .arg(name, core ? q("id") : q("coreid")));
        stage = std::max(stage, now);
        if (now == 1) {
            readFiles(table);
        } else if (now == 2) {
            table.idColumn = index(table).value_or(-1);
            m_xml.skipCurrentElement();
        } else if (now == 3) {
            readField(table);
        } else {
            m_xml.skipCurrentElement();
        }
    }
    if (table.columns.isEmpty() && table.defaults.isEmpty())
        wrong(QStringLiteral("describes no field of %1.").arg(table.file));
    m_tables.push_back(std::move(table));
}

std::vector<DescribedTable> MetaReader::read(QString &emlName)
{
    if (!m_xml.readNextStartElement() || m_xml.name() != q("archive")) {
        wrong(m_xml.hasError() ? QStringLiteral("is no sound XML: %1 (line %2).")
                                     .arg(m_xml.errorString())
                                     .arg(m_xml.lineNumber())
                               : q("does not begin with the element archive."));
        return {};
    }
    if (m_xml.namespaceUri() != nameSpace)
        wrong(QStringLiteral("is in the namespace \"%1\", not %2.").arg(m_xml.namespaceUri(), nameSpace));
    emlName = m_xml.attributes().value(q("metadata")).toString();
    while (m_xml.readNextStartElement()) {
        const bool core = m_xml.name() == q("core");
        if (core || m_xml.name() == q("extension")) {
            readTable(core);
        } else {
            wrong(QStringLiteral("has an element %1 where only core and extension may stand.")
                      .arg(m_xml.name()));
            m_xml.skipCurrentElement();
        }
    }
    if (m_xml.hasError())
        wrong(QStringLiteral("is no sound XML: %1 (line %2).")
                  .arg(m_xml.errorString())
                  .arg(m_xml.lineNumber()));
    const auto cores =
        std::count_if(m_tables.begin(), m_tables.end(), [](const DescribedTable &t) { return t.core; });
    if (cores != 1 || (!m_tables.empty() && !m_tables.front().core))
        wrong(QStringLiteral("must have exactly one core, before all extensions; it has %1.").arg(cores));
    for (const DescribedTable &t : m_tables) {
        if (t.idColumn < 0 && m_tables.size() > 1)
            wrong(QStringLiteral("gives %1 no %2, which is needed as soon as there is an extension (2.1.2).")
                      .arg(t.file, t.core ? q("id") : q("coreid")));
    }
    return std::move(m_tables);
}

} // namespace

std::vector<DescribedTable> readMetaXml(const QByteArray &xml, const QString &path, PackageFindings &findings,
                                        QString &emlName)
{
    return MetaReader(xml, path, findings).read(emlName);
}

} // namespace holdfast
