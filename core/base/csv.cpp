// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/csv.h"

#include "base/output_file.h"

#include <QFile>
#include <QFileInfo>
#include <QStringDecoder>
#include <array>
#include <charconv>
#include <cmath>

namespace holdfast
{

namespace
{

/// Splits text into rows of fields, one call a row.
class RowReader
{
public:
    explicit RowReader(const QString &text) : m_text(text) {}

    [[nodiscard]] bool atEnd() const { return m_at >= m_text.size(); }
    [[nodiscard]] int line() const { return m_line; }

    /// True when the line here is blank or (before the header) a comment; steps over it.
    bool skipLine(bool comments)
    {
        const QChar c = m_text.at(m_at);
        qsizetype end = m_text.indexOf(QLatin1Char('\n'), m_at);
        if (end < 0)
            end = m_text.size();
        const bool blank = QStringView(m_text).mid(m_at, end - m_at).trimmed().isEmpty();
        if (!blank && !(comments && c == QLatin1Char('#')))
            return false;
        m_at = end + 1;
        ++m_line;
        return true;
    }

    /// False when a quote is never closed.
    bool next(QStringList &fields)
    {
        fields.clear();
        QString field;
        while (true) {
            if (m_at < m_text.size() && m_text.at(m_at) == QLatin1Char('"')) {
                if (!quoted(field))
                    return false;
            }
            while (m_at < m_text.size() && m_text.at(m_at) != QLatin1Char(',') &&
                   m_text.at(m_at) != QLatin1Char('\n'))
                field += m_text.at(m_at++);
            const bool more = m_at < m_text.size() && m_text.at(m_at) == QLatin1Char(',');
            if (!more && field.endsWith(QLatin1Char('\r')))
                field.chop(1);
            fields << field;
            field.clear();
            ++m_at;
            if (!more) {
                ++m_line;
                return true;
            }
        }
    }

private:
    bool quoted(QString &field)
    {
        for (++m_at; m_at < m_text.size(); ++m_at) {
            const QChar c = m_text.at(m_at);
            if (c == QLatin1Char('"')) {
                if (m_at + 1 >= m_text.size() || m_text.at(m_at + 1) != QLatin1Char('"')) {
                    ++m_at;
                    return true;
                }
                ++m_at;
            } else if (c == QLatin1Char('\n')) {
                ++m_line;
            }
            field += c;
        }
        return false;
    }

    const QString &m_text;
    qsizetype m_at = 0;
    int m_line = 1;
};

Error at(const QString &source, int line, const QString &what)
{
    return fail(ErrorKind::Malformed, QStringLiteral("%1, line %2: %3").arg(source).arg(line).arg(what));
}

} // namespace

Result<int> CsvTable::needColumn(const QString &name) const
{
    const int i = column(name);
    if (i >= 0 && header.count(name) > 1)
        return fail(ErrorKind::Malformed,
                    QStringLiteral("%1 has %2 columns named \"%3\"; which one is meant can't be told.")
                        .arg(source)
                        .arg(header.count(name))
                        .arg(name));
    if (i >= 0)
        return i;
    return fail(ErrorKind::Malformed, QStringLiteral("%1 has no column \"%2\"; its columns are %3.")
                                          .arg(source, name, header.join(QStringLiteral(", "))));
}

Result<CsvTable> readCsv(const QByteArray &bytes, const QString &source)
{
    if (bytes.contains('\0'))
        return fail(ErrorKind::Malformed,
                    QStringLiteral("%1 is binary, not comma-separated text.").arg(source));
    QStringDecoder decoder(QStringDecoder::Utf8); // drops a byte order mark
    const QString text = decoder.decode(bytes);
    if (decoder.hasError())
        return fail(ErrorKind::Malformed, QStringLiteral("%1 is not UTF-8 text.").arg(source));
    CsvTable table;
    table.source = source;
    RowReader reader(text);
    while (!reader.atEnd()) {
        if (reader.skipLine(table.header.isEmpty()))
            continue;
        const int line = reader.line();
        QStringList fields;
        if (!reader.next(fields))
            return at(source, line, QStringLiteral("a quote is opened here and never closed."));
        if (table.header.isEmpty()) {
            for (QString &name : fields)
                name = name.trimmed();
            table.header = fields;
            continue;
        }
        if (fields.size() != table.header.size())
            return at(source, line,
                      QStringLiteral("%1 %2, but the header has %3.")
                          .arg(fields.size())
                          .arg(fields.size() == 1 ? QStringLiteral("field") : QStringLiteral("fields"))
                          .arg(table.header.size()));
        table.rows.push_back(fields);
        table.lineOf.push_back(line);
    }
    if (table.header.isEmpty())
        return fail(ErrorKind::Malformed,
                    QStringLiteral("%1 is empty; a header row was expected.").arg(source));
    return table;
}

Result<CsvTable> readCsvFile(const QString &path)
{
    const QFileInfo info(path);
    if (!info.exists())
        return fail(ErrorKind::NotFound, QStringLiteral("There is no file %1.").arg(path));
    if (info.isDir())
        return fail(ErrorKind::Unreadable, QStringLiteral("%1 is a folder, not a file.").arg(path));
    QFile file(path);
    if (!file.open(QIODevice::ReadOnly))
        return fail(ErrorKind::Unreadable,
                    QStringLiteral("%1 can't be read: %2.").arg(path, file.errorString()));
    return readCsv(file.readAll(), path);
}

QByteArray csvField(const QString &text)
{
    static const QString special = QStringLiteral(",\"\r\n");
    const bool quote = std::any_of(text.begin(), text.end(), [](QChar c) { return special.contains(c); });
    if (!quote)
        return text.toUtf8();
    QString doubled = text;
    doubled.replace(QLatin1Char('"'), QStringLiteral("\"\""));
    return '"' + doubled.toUtf8() + '"';
}

QByteArray csvNumber(double value)
{
    if (!std::isfinite(value))
        return {};
    std::array<char, 40> buffer{};
    const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value);
    return QByteArray(buffer.data(), end.ptr - buffer.data());
}

QByteArray csvFixed(double value, int decimals)
{
    if (!std::isfinite(value))
        return {};
    QByteArray text = QByteArray::number(value, 'f', decimals);
    // "-0.00" is a rounding, not a sign anybody measured.
    if (text.startsWith('-') && text.count('0') + text.count('.') == text.size() - 1)
        text.remove(0, 1);
    return text;
}

Done writeWhole(const QString &path, const QByteArray &bytes)
{
    return writeOutput(path, [&bytes](const TakePiece &take) { return take(bytes); });
}

} // namespace holdfast
