// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QObject>
#include <QString>
#include <QtQml/qqmlregistration.h>
#include <optional>

namespace holdfast
{

/// A live value as the screen shows it, ready in words: nothing is left for the screen to decide.
class Reading
{
    Q_GADGET
    QML_VALUE_TYPE(reading)
    Q_PROPERTY(QString value MEMBER value FINAL)
    Q_PROPERTY(QString unit MEMBER unit FINAL)
    Q_PROPERTY(QString note MEMBER note FINAL) ///< source and age; empty when there is nothing to say
    Q_PROPERTY(bool there MEMBER there FINAL)  ///< false: no value has come yet
    Q_PROPERTY(bool old MEMBER old FINAL)      ///< older than its feed should let it be

public:
    QString value = QStringLiteral("—");
    QString unit;
    QString note;
    bool there = false;
    bool old = false;

    friend bool operator==(const Reading &, const Reading &) = default;
};

/// "1 432.6": digits in threes apart by a narrow no-break space, with `decimals` decimals and a true minus.
[[nodiscard]] QString numberText(double value, int decimals);
/// How this program shows positions, wherever it does.
enum class PositionStyle { DegreesMinutes, DecimalDegrees };
void setPositionStyle(PositionStyle style);
/// "21° 04.5521′ S": degrees and decimal minutes, four decimals (0.2 m); or "21.075868° S",
/// six decimals (0.1 m), as setPositionStyle() says.
[[nodiscard]] QString shownLatitude(double degrees);
[[nodiscard]] QString shownLongitude(double degrees);
/// "0.4 s", "12 s", "3 min 05 s", "2 h 10 min".
[[nodiscard]] QString spanText(double seconds);

} // namespace holdfast
