// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/value_text.h"

#include <cmath>

namespace holdfast
{

namespace
{

QString angleText(double degrees, int digits, QChar positive, QChar negative)
{
    if (!std::isfinite(degrees))
        return missingText();
    // Round the whole angle first, so that 59.9997' becomes the next degree and not 60.000'.
    const auto thousandths = std::llround(std::abs(degrees) * 60000);
    const auto whole = thousandths / 60000;
    const double minutes = static_cast<double>(thousandths % 60000) / 1000;
    return QStringLiteral("%1\u00B0%2' %3")
        .arg(whole, digits, 10, QLatin1Char('0'))
        .arg(minutes, 6, 'f', 3, QLatin1Char('0'))
        .arg(degrees < 0 && thousandths > 0 ? negative : positive);
}

} // namespace

QString missingText()
{
    return QStringLiteral("\u2014");
}

QString numberText(std::optional<double> value, int decimals)
{
    if (!value || !std::isfinite(*value))
        return missingText();
    const double scale = std::pow(10.0, decimals);
    const double rounded = std::round(*value * scale) / scale;
    return QString::number(rounded == 0 ? 0.0 : rounded, 'f', decimals);
}

QString uncertaintyText(std::optional<double> metres)
{
    if (!metres || !std::isfinite(*metres))
        return missingText();
    const int decimals = *metres < 10 ? 1 : 0;
    const double scale = decimals == 1 ? 10 : 1;
    // What is a tenth but for the last bit of its binary form is that tenth.
    return numberText(std::ceil(*metres * scale - 1e-9) / scale, decimals);
}

QString latitudeText(double degrees)
{
    return angleText(degrees, 2, QLatin1Char('N'), QLatin1Char('S'));
}

QString longitudeText(double degrees)
{
    return angleText(degrees, 3, QLatin1Char('E'), QLatin1Char('W'));
}

QString dateTimeText(const std::optional<UtcTime> &time)
{
    if (!time)
        return missingText();
    return dateText(*time) + QLatin1Char(' ') + clockText(*time) + QStringLiteral(" UTC");
}

} // namespace holdfast
