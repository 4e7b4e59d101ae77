// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/dwca_table.h"

#include "handoff/reading_limits.h"

#include <QRegularExpression>
#include <QSet>

namespace holdfast
{

namespace
{

const QString guide = QStringLiteral("Darwin Core text guide 2");

/// Splits one line by the description, into `most` fields and one more at most; quotes as in RFC 4180.
QStringList fieldsOf(QStringView line, const DescribedTable &t, qint64 most)
{
    QStringList out;
    QString field;
    bool quoted = false;
    for (qsizetype i = 0; i < line.size() && out.size() < most; ++i) {
        const QStringView rest = line.mid(i);
        if (!t.quote.isEmpty() && rest.startsWith(t.quote)) {
            if (quoted && line.mid(i + 1).startsWith(t.quote)) {
                field += t.quote;
                ++i;
            } else {
                quoted = !quoted;
            }
        } else if (!quoted && rest.startsWith(t.fieldEnd)) {
            out << field;
            field.clear();
            i += t.fieldEnd.size() - 1;
        } else {
            field += line.at(i);
        }
    }
    return out << field;
}

/// What meta.xml says of the columns against those that are there.
void checkColumns(const ArchiveTable &table, const QStringList &head, qsizetype width,
                  PackageFindings &findings)
{
    static const QRegularExpression separator(QStringLiteral("[/#]"));
    const DescribedTable &about = table.about;
    QSet<int> mapped{about.idColumn};
    for (auto it = about.columns.begin(); it != about.columns.end(); ++it) {
        mapped.insert(it.value());
        if (width >= 0 && it.value() >= width)
            findings.error(
                guide, table.path,
                QStringLiteral("has no column %1, which meta.xml maps to %2.").arg(it.value()).arg(it.key()));
        // A header that names another term than its column is mapped to tells of columns that were moved.
        const QString name = about.headerLines == 1 ? head.value(it.value()) : QString();
        if (!name.isEmpty() && name != it.key().section(separator, -1))
            findings.warning(guide, table.path,
                             QStringLiteral("heads column %1 \"%2\"; meta.xml maps it to %3.")
                                 .arg(it.value())
                                 .arg(name, it.key()));
    }
    for (int c = 0; c < width; ++c) {
        if (!mapped.contains(c))
            findings.warning(guide, table.path,
                             QStringLiteral("has a column %1 that meta.xml does not map.").arg(c));
    }
}

} // namespace

ArchiveTable readArchiveTable(const QByteArray &bytes, const DescribedTable &about, const QString &path,
                              qint64 &cellsLeft, PackageFindings &findings)
{
    ArchiveTable table{about, path, {}};
    if (bytes.startsWith("\xEF\xBB\xBF"))
        findings.error(guide, path,
                       QStringLiteral("begins with a byte order mark, which importers take for part of the "
                                      "first name."));
    const QByteArray lineEnd = about.lineEnd.toUtf8();
    QStringList head;
    qsizetype width = -1;
    qint64 number = 0;
    for (qsizetype at = 0; at < bytes.size();) {
        if (++number > mostTableRows || cellsLeft <= 0) {
            findings.error(guide, path,
                           QStringLiteral("holds more than is read of one archive (%1 lines of a table, %2 "
                                          "fields in all); what follows line %3 was not read.")
                               .arg(mostTableRows)
                               .arg(mostArchiveCells)
                               .arg(number - 1));
            break;
        }
        qsizetype end = bytes.indexOf(lineEnd, at);
        if (end < 0)
            end = bytes.size();
        const QString line = QString::fromUtf8(QByteArrayView(bytes).sliced(at, end - at));
        at = end + lineEnd.size();
        const QStringList fields = fieldsOf(line, about, cellsLeft);
        cellsLeft -= fields.size();
        if (width < 0) {
            width = fields.size();
            head = fields;
        }
        if (fields.size() != width)
            findings.error(
                guide, path,
                QStringLiteral("line %1 has %2 fields, not %3.").arg(number).arg(fields.size()).arg(width));
        if (line.contains(QLatin1Char('\r')))
            findings.error(
                guide, path,
                QStringLiteral("line %1 holds a carriage return; line ends are not those of meta.xml.")
                    .arg(number));
        if (number > about.headerLines)
            table.rows.push_back(fields);
    }
    checkColumns(table, head, width, findings);
    return table;
}

} // namespace holdfast
