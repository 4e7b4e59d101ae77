// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/safe_cell.h"

#include "base/csv.h"

#include <QRegularExpression>

namespace holdfast
{

bool isPlainNumber(QStringView text)
{
    static const QRegularExpression number(
        QStringLiteral("\\A-?(?:0|[1-9][0-9]*)(?:\\.[0-9]+)?(?:[eE][-+]?[0-9]+)?\\z"));
    return number.match(text).hasMatch();
}

QString safeCell(const QString &text)
{
    static const QString dangerous = QStringLiteral("=+-@\t\r'\uFF1D\uFF0B\uFF0D\uFF20");
    if (text.isEmpty() || !dangerous.contains(text.front()) || isPlainNumber(text))
        return text;
    return QLatin1Char('\'') + text;
}

QString fromSafeCell(const QString &cell)
{
    return cell.startsWith(QLatin1Char('\'')) ? cell.mid(1) : cell;
}

QByteArray safeCsvField(const QString &text)
{
    return csvField(safeCell(text));
}

QString safeOneLine(const QString &text)
{
    static const QRegularExpression breaks(
        QStringLiteral("[\\x{00}-\\x{1F}\\x{7F}-\\x{9F}\\x{2028}\\x{2029}\\x{FFFE}\\x{FFFF}]+"));
    QString line = text;
    line.replace(breaks, QStringLiteral(" "));
    return safeCell(line.trimmed());
}

QString visibleText(const QString &text)
{
    QString out;
    for (const QChar c : text) {
        const ushort code = c.unicode();
        const bool control = code < 0x20 || (code >= 0x7F && code < 0xA0);
        const bool turns = code == 0x200E || code == 0x200F || (code >= 0x2028 && code <= 0x202E) ||
                           (code >= 0x2066 && code <= 0x2069);
        if (control)
            out += QStringLiteral("\\x%1").arg(
                QString::number(code, 16).toUpper().rightJustified(2, QLatin1Char('0')));
        else if (turns)
            out += QStringLiteral("\\u%1").arg(QString::number(code, 16).toUpper());
        else
            out += c;
    }
    return out;
}

} // namespace holdfast
