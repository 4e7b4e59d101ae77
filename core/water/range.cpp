// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/range.h"

#include <QStringList>
#include <cmath>
#include <limits>

namespace holdfast
{

namespace
{

constexpr double any = std::numeric_limits<double>::infinity();

/// Pressure above which sigma0 depends on the lapse rate enough for the lapse rate's own range to matter.
constexpr double thetaMattersBeyondDbar = 200.0;

std::uint8_t compare(double value, double min, double max, RangeNote::Bit low, RangeNote::Bit high) noexcept
{
    if (min == -any && max == any)
        return 0;
    if (!std::isfinite(value))
        return RangeNote::NotANumber;
    if (value < min)
        return low;
    return value > max ? static_cast<std::uint8_t>(high) : std::uint8_t{0};
}

QString limitText(double min, double max, const QString &name, const QString &unit)
{
    if (min == -any && max == any)
        return {};
    return QStringLiteral("%1%2 to %3%4").arg(name).arg(min).arg(max).arg(unit);
}

QStringList faults(RangeNote note)
{
    QStringList list;
    const auto add = [&](RangeNote::Bit bit, const char *text) {
        if (note.has(bit))
            list << QString::fromLatin1(text);
    };
    add(RangeNote::SalinityLow, "salinity too low");
    add(RangeNote::SalinityHigh, "salinity too high");
    add(RangeNote::TemperatureLow, "temperature too low");
    add(RangeNote::TemperatureHigh, "temperature too high");
    add(RangeNote::PressureLow, "pressure too low");
    add(RangeNote::PressureHigh, "pressure too high");
    return list;
}

} // namespace

FormulaRange rangeOf(SeawaterFormula formula) noexcept
{
    switch (formula) {
    case SeawaterFormula::SalinityPss78:
        return {0, 42, -2, 35, 0, 10000};
    case SeawaterFormula::DepthTeos10:
    case SeawaterFormula::DepthUnesco44:
        return {-any, any, -any, any, 0, 10000};
    case SeawaterFormula::PotentialTemperatureEos80:
        return {30, 40, -2, 30, 0, 10000};
    case SeawaterFormula::SoundSpeedChenMillero:
        return {0, 40, 0, 40, 0, 10000};
    case SeawaterFormula::FreezingUnesco44:
        return {4, 40, -any, any, 0, 500};
    case SeawaterFormula::FreezingTeos10:
        return {0, 42, -any, any, 0, 10000};
    case SeawaterFormula::OxygenSolubility:
        return {0, 42, -2, 40, -any, any};
    case SeawaterFormula::DensityEos80:
    case SeawaterFormula::Sigma0Eos80:
    case SeawaterFormula::DensityTeos10:
    case SeawaterFormula::SoundSpeedTeos10:
        break;
    }
    return {0, 42, -2, 40, 0, 10000};
}

RangeNote noteFor(SeawaterFormula formula, double practicalSalinity, double temperatureDegC,
                  double pressureDbar) noexcept
{
    const FormulaRange r = rangeOf(formula);
    RangeNote note;
    note.bits = static_cast<std::uint8_t>(
        compare(practicalSalinity, r.salinityMin, r.salinityMax, RangeNote::SalinityLow,
                RangeNote::SalinityHigh) |
        compare(temperatureDegC, r.temperatureMin, r.temperatureMax, RangeNote::TemperatureLow,
                RangeNote::TemperatureHigh) |
        compare(pressureDbar, r.pressureMin, r.pressureMax, RangeNote::PressureLow, RangeNote::PressureHigh));
    if (formula == SeawaterFormula::Sigma0Eos80 && pressureDbar > thetaMattersBeyondDbar)
        note = note | noteFor(SeawaterFormula::PotentialTemperatureEos80, practicalSalinity, temperatureDegC,
                              pressureDbar);
    return note;
}

RangeNote noteForDepth(SeawaterFormula formula, double pressureDbar, double latitudeDeg) noexcept
{
    RangeNote note = noteFor(formula, 0, 0, pressureDbar);
    if (!std::isfinite(latitudeDeg))
        return note | RangeNote{RangeNote::NotANumber};
    if (std::abs(latitudeDeg) > 90.0)
        return note | RangeNote{RangeNote::LatitudeImpossible};
    return note;
}

QString nameOf(SeawaterFormula formula)
{
    switch (formula) {
    case SeawaterFormula::SalinityPss78:
        return QStringLiteral("PSS-78");
    case SeawaterFormula::DepthTeos10:
        return QStringLiteral("TEOS-10 depth");
    case SeawaterFormula::DepthUnesco44:
        return QStringLiteral("UNESCO 44 depth");
    case SeawaterFormula::DensityEos80:
        return QStringLiteral("EOS-80 density");
    case SeawaterFormula::PotentialTemperatureEos80:
        return QStringLiteral("EOS-80 potential temperature");
    case SeawaterFormula::Sigma0Eos80:
        return QStringLiteral("EOS-80 sigma0");
    case SeawaterFormula::DensityTeos10:
        return QStringLiteral("TEOS-10 sigma0");
    case SeawaterFormula::SoundSpeedChenMillero:
        return QStringLiteral("Chen-Millero 1977");
    case SeawaterFormula::SoundSpeedTeos10:
        return QStringLiteral("TEOS-10 sound speed");
    case SeawaterFormula::FreezingUnesco44:
        return QStringLiteral("UNESCO 44 freezing point");
    case SeawaterFormula::FreezingTeos10:
        return QStringLiteral("TEOS-10 freezing point");
    case SeawaterFormula::OxygenSolubility:
        return QStringLiteral("Garcia-Gordon 1992");
    }
    return {};
}

QString describe(RangeNote note, SeawaterFormula formula)
{
    if (note.inside())
        return {};
    if (note.has(RangeNote::NotANumber))
        return QStringLiteral("%1: an input is missing or not a number").arg(nameOf(formula));
    if (note.has(RangeNote::LatitudeImpossible))
        return QStringLiteral("%1: latitude outside -90 to 90 degrees").arg(nameOf(formula));
    const FormulaRange r = rangeOf(formula);
    QStringList limits{limitText(r.salinityMin, r.salinityMax, QStringLiteral("S "), {}),
                       limitText(r.temperatureMin, r.temperatureMax, {}, QStringLiteral(" degC")),
                       limitText(r.pressureMin, r.pressureMax, {}, QStringLiteral(" dbar"))};
    limits.removeAll(QString());
    return QStringLiteral("outside the stated range of %1 (%2): %3; the value is extrapolated")
        .arg(nameOf(formula), limits.join(QStringLiteral(", ")), faults(note).join(QStringLiteral(", ")));
}

} // namespace holdfast
