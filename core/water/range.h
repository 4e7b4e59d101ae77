// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>
#include <cstdint>

namespace holdfast
{

/// The formulas of this folder, by name, so that a stored value can say which one made it.
enum class SeawaterFormula : std::uint8_t {
    SalinityPss78,             ///< Practical Salinity Scale 1978, extended below 2 (Hill and others 1986)
    DepthTeos10,               ///< depth from the height of the TEOS-10 standard ocean
    DepthUnesco44,             ///< Saunders and Fofonoff 1976 with EOS-80
    DensityEos80,              ///< Millero and Poisson 1981
    PotentialTemperatureEos80, ///< Bryden 1973 lapse rate, Fofonoff 1977
    Sigma0Eos80,               ///< potential density anomaly from the two above
    DensityTeos10,             ///< Roquet and others 2015, 75 terms (density in place and sigma0)
    SoundSpeedChenMillero,     ///< Chen and Millero 1977
    SoundSpeedTeos10,          ///< from the Gibbs function of seawater, IAPWS R13-08 and SR7-09
    FreezingUnesco44,          ///< Millero 1978
    FreezingTeos10,            ///< chemical potentials of water in seawater and in ice, IAPWS R13-08, R10-06
    OxygenSolubility,          ///< Garcia and Gordon 1992, Benson and Krause fit
};

/// Whether the input of a formula lay within the range its authors state. Outside, the functions of this
/// folder still give what the formula gives (an extrapolation); this note is what tells a person so.
/// One byte, bit by bit, so that a column of notes stays small.
struct RangeNote {
    enum Bit : std::uint8_t {
        SalinityLow = 1,
        SalinityHigh = 2,
        TemperatureLow = 4,
        TemperatureHigh = 8,
        PressureLow = 16,
        PressureHigh = 32,
        LatitudeImpossible = 64,
        NotANumber = 128, ///< an input is missing or infinite: there is no value, not an extrapolated one
    };
    std::uint8_t bits = 0;

    [[nodiscard]] constexpr bool inside() const noexcept { return bits == 0; }
    [[nodiscard]] constexpr bool has(Bit bit) const noexcept { return (bits & bit) != 0; }
    friend constexpr bool operator==(RangeNote, RangeNote) noexcept = default;
    friend constexpr RangeNote operator|(RangeNote a, RangeNote b) noexcept
    {
        return RangeNote{static_cast<std::uint8_t>(a.bits | b.bits)};
    }
};

/// The stated range of a formula: practical salinity, temperature (degC, ITS-90) and sea pressure (dbar).
/// A quantity that the formula does not take has an infinite range.
struct FormulaRange {
    double salinityMin, salinityMax;
    double temperatureMin, temperatureMax;
    double pressureMin, pressureMax;
};

/// The range stated with the formula's source; see the header of each function.
[[nodiscard]] FormulaRange rangeOf(SeawaterFormula formula) noexcept;

/// Compares the input with the stated range; the limits themselves are inside. For SalinityPss78 pass the
/// salinity that came out. Arguments that a formula does not take are ignored.
[[nodiscard]] RangeNote noteFor(SeawaterFormula formula, double practicalSalinity, double temperatureDegC,
                                double pressureDbar) noexcept;

/// For the two depth formulas: pressure in dbar, latitude in degrees, -90 .. 90.
[[nodiscard]] RangeNote noteForDepth(SeawaterFormula formula, double pressureDbar,
                                     double latitudeDeg) noexcept;

/// A sentence for people, such as "outside the range of Chen and Millero 1977 (S 0 to 40, 0 to 40 degC,
/// 0 to 10000 dbar): temperature too low; the value is extrapolated". Empty when the note says inside.
[[nodiscard]] QString describe(RangeNote note, SeawaterFormula formula);

/// The short name kept with a value and shown beside it: "PSS-78", "TEOS-10 depth", "Chen-Millero 1977", …
[[nodiscard]] QString nameOf(SeawaterFormula formula);

} // namespace holdfast
