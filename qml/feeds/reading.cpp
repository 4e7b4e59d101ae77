// SPDX-License-Identifier: GPL-3.0-or-later
#include "reading.h"

#include <algorithm>
#include <atomic>
#include <cmath>

namespace holdfast
{

namespace
{

std::atomic<PositionStyle> positionStyle = PositionStyle::DegreesMinutes;

QString angleText(double degrees, int width, QChar positive, QChar negative)
{
    if (positionStyle == PositionStyle::DecimalDegrees)
        return QStringLiteral("%1°\u202f%2")
            .arg(std::abs(degrees), width + 7, 'f', 6, QLatin1Char('0'))
            .arg(degrees < 0 ? negative : positive);
    // Rounded as a whole number of 1/10 000 minutes first, so that 59.99996 minutes never shows as 60.
    const auto units = static_cast<qint64>(std::llround(std::abs(degrees) * 60.0 * 10000.0));
    return QStringLiteral("%1°\u202f%2.%3′\u202f%4")
        .arg(units / 600000, width, 10, QLatin1Char('0'))
        .arg(units % 600000 / 10000, 2, 10, QLatin1Char('0'))
        .arg(units % 10000, 4, 10, QLatin1Char('0'))
        .arg(degrees < 0 ? negative : positive);
}

} // namespace

void setPositionStyle(PositionStyle style)
{
    positionStyle = style;
}

QString numberText(double value, int decimals)
{
    QString text = QString::number(std::abs(value), 'f', decimals);
    const bool zero = std::all_of(text.begin(), text.end(), [](QChar c) { return c == u'0' || c == u'.'; });
    const qsizetype point = text.indexOf(u'.');
    for (qsizetype i = (point < 0 ? text.size() : point) - 3; i > 0; i -= 3)
        text.insert(i, QChar(0x202f));
    return value < 0 && !zero ? QChar(0x2212) + text : text;
}

QString shownLatitude(double degrees)
{
    return angleText(degrees, 2, u'N', u'S');
}

QString shownLongitude(double degrees)
{
    return angleText(degrees, 3, u'E', u'W');
}

QString spanText(double seconds)
{
    const double s = std::max(0.0, seconds);
    if (s < 9.95)
        return QStringLiteral("%1 s").arg(s, 0, 'f', 1);
    const auto whole = static_cast<qint64>(s);
    if (whole < 60)
        return QStringLiteral("%1 s").arg(whole);
    if (whole < 3600)
        return QStringLiteral("%1 min %2 s").arg(whole / 60).arg(whole % 60, 2, 10, QLatin1Char('0'));
    return QStringLiteral("%1 h %2 min").arg(whole / 3600).arg(whole % 3600 / 60, 2, 10, QLatin1Char('0'));
}

} // namespace holdfast
