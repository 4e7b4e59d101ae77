// SPDX-License-Identifier: GPL-3.0-or-later
#include "theme.h"

#include <QFontDatabase>
#include <algorithm>
#include <cmath>

namespace holdfast
{

void Theme::setDay(bool day)
{
    if (day == m_day)
        return;
    m_day = day;
    emit changed();
}

void Theme::setFit(double fit)
{
    const double bounded = std::clamp(fit, 0.5, 4.0);
    if (std::abs(bounded - m_fit) < 0.005)
        return;
    m_fit = bounded;
    emit changed();
}

void Theme::setTextScale(double textScale)
{
    const double bounded = std::clamp(textScale, 0.7, 2.0);
    if (std::abs(bounded - m_textScale) < 0.005)
        return;
    m_textScale = bounded;
    emit changed();
}

QString Theme::family()
{
    static const QString found = [] {
        const QStringList there = QFontDatabase::families();
        for (const char *name : {"Noto Sans", "DejaVu Sans"}) {
            if (there.contains(QLatin1String(name)))
                return QString::fromLatin1(name);
        }
        return QFontDatabase::systemFont(QFontDatabase::GeneralFont).family();
    }();
    return found;
}

double Theme::ring() const
{
    return std::max(2.0, std::round(sized(2.5)));
}

double Theme::sized(double px) const
{
    return std::round(px * m_fit * m_textScale * 2) / 2;
}

} // namespace holdfast
