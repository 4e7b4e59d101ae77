// SPDX-License-Identifier: GPL-3.0-or-later
#include "shown_units.h"

#include <QRegularExpression>
#include <QSettings>
#include <cstdlib>

namespace holdfast
{

namespace
{

const QString positionsKey = QStringLiteral("decimal degrees");

QString offsetKey(const Desk &desk)
{
    return QStringLiteral("local time/%1").arg(desk.cruiseCode());
}

} // namespace

Result<int> parseUtcOffset(const QString &text)
{
    static const QRegularExpression form(
        QStringLiteral("^(?:UTC)?([+\\-\u2212])?(\\d{1,2})(?::([0-5]\\d))?$"),
        QRegularExpression::CaseInsensitiveOption);
    const auto match = form.match(text.trimmed());
    const int minutes = match.captured(2).toInt() * 60 + match.captured(3).toInt();
    const bool west = match.captured(1) == QLatin1String("-") || match.captured(1) == QChar(0x2212);
    const int ahead = west ? -minutes : minutes;
    if (!match.hasMatch() || ahead < -12 * 60 || ahead > 14 * 60)
        return fail(ErrorKind::Usage,
                    QStringLiteral("Local time is UTC\u221212 to UTC+14, as in +12, -3:30 or +12:45; "
                                   "\"%1\" is none.")
                        .arg(text.trimmed()));
    return ahead;
}

QString utcOffsetText(int minutes)
{
    const int hours = std::abs(minutes) / 60;
    const int rest = std::abs(minutes) % 60;
    QString text = QStringLiteral("UTC%1%2").arg(minutes < 0 ? QChar(0x2212) : QLatin1Char('+')).arg(hours);
    if (rest != 0)
        text += QStringLiteral(":%1").arg(rest, 2, 10, QLatin1Char('0'));
    return text;
}

ShownUnits::ShownUnits(Desk &desk, FeedDesk &feeds, QObject *parent)
    : QObject(parent), m_desk(&desk), m_feeds(&feeds)
{
    setPositionStyle(decimalDegrees() ? PositionStyle::DecimalDegrees : PositionStyle::DegreesMinutes);
    connect(m_desk, &Desk::refreshed, this, &ShownUnits::load);
    connect(m_feeds, &FeedDesk::ticked, this, &ShownUnits::ticked);
}

void ShownUnits::load()
{
    const QVariant kept = QSettings().value(offsetKey(*m_desk));
    const std::optional<int> minutes = kept.isValid() ? kept.toInt() : std::optional<int>();
    if (minutes == m_minutes)
        return;
    m_minutes = minutes;
    emit changed();
    emit ticked();
}

bool ShownUnits::decimalDegrees()
{
    return QSettings().value(positionsKey, false).toBool();
}

void ShownUnits::setDecimalDegrees(bool decimal)
{
    QSettings().setValue(positionsKey, decimal);
    setPositionStyle(decimal ? PositionStyle::DecimalDegrees : PositionStyle::DegreesMinutes);
    emit changed();
}

bool ShownUnits::setOffset(const QString &text)
{
    m_trouble.clear();
    if (text.trimmed().isEmpty()) {
        QSettings().remove(offsetKey(*m_desk));
    } else {
        const auto minutes = parseUtcOffset(text);
        if (!minutes) {
            m_trouble = minutes.error().sentence;
            emit changed();
            return false;
        }
        QSettings().setValue(offsetKey(*m_desk), *minutes);
    }
    load();
    emit changed();
    return true;
}

QString ShownUnits::offset() const
{
    return m_minutes ? utcOffsetText(*m_minutes) : QString();
}

QString ShownUnits::localClock() const
{
    if (!m_minutes)
        return {};
    const UtcTime now = m_feeds->now();
    const UtcTime local = now + std::chrono::minutes(*m_minutes);
    const QString clock = holdfast::clockText(local).left(5);
    const bool sameDay = dateText(local) == dateText(now);
    return sameDay ? tr("%1 local").arg(clock) : tr("%1 local, %2").arg(clock, dateText(local));
}

} // namespace holdfast
