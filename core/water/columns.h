// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/records.h"
#include "water/range.h"

#include <cstdint>
#include <span>
#include <vector>

namespace holdfast
{

/// Which formula gives each derived value. The choice is kept with the values, as the methods differ (0.27 m
/// of depth at 6500 dbar, 0.6 m/s of sound speed from 4000 to 6500 dbar).
struct WaterMethods {
    SeawaterFormula depth = SeawaterFormula::DepthTeos10;                ///< or DepthUnesco44
    SeawaterFormula sigma0 = SeawaterFormula::Sigma0Eos80;               ///< or DensityTeos10
    SeawaterFormula soundSpeed = SeawaterFormula::SoundSpeedChenMillero; ///< or SoundSpeedTeos10
    friend bool operator==(const WaterMethods &, const WaterMethods &) = default;
};

/// Values computed by the methods above for one scan or one sample. Units as in DerivedColumns.
[[nodiscard]] double depthBy(SeawaterFormula formula, double pressureDbar, double latitudeDeg) noexcept;
[[nodiscard]] double sigma0By(SeawaterFormula formula, double practicalSalinity, double temperatureDegC,
                              double pressureDbar) noexcept;
[[nodiscard]] double soundSpeedBy(SeawaterFormula formula, double practicalSalinity, double temperatureDegC,
                                  double pressureDbar) noexcept;

/// One bit for each derived value whose formula was fed outside its stated range: the value is there, but
/// extrapolated. No bit for a missing value (NaN).
enum DerivedBit : std::uint8_t {
    SalinityOutside = 1,
    DepthOutside = 2,
    Sigma0Outside = 4,
    SoundSpeedOutside = 8,
};

/// What is computed from conductivity, temperature and pressure of each scan; NaN where an input is missing.
struct DerivedColumns {
    std::vector<double> practicalSalinity; ///< PSS-78
    std::vector<double> depthM;            ///< m, positive down
    std::vector<double> sigma0KgM3;        ///< kg/m3, reference pressure 0
    std::vector<double> soundSpeedMs;      ///< m/s
    std::vector<std::uint8_t> outside;     ///< DerivedBit
    WaterMethods methods;
    double latitudeDeg = missingValue; ///< used for depth

    [[nodiscard]] std::size_t size() const { return practicalSalinity.size(); }
};

/// Inputs and outputs of deriveColumns(), all of one length. `outside` may be empty.
struct CtdSpans {
    std::span<const double> conductivityMsCm;
    std::span<const double> temperatureDegC;
    std::span<const double> pressureDbar;
};
struct DerivedSpans {
    std::span<double> practicalSalinity;
    std::span<double> depthM;
    std::span<double> sigma0KgM3;
    std::span<double> soundSpeedMs;
    std::span<std::uint8_t> outside;
};

/// Computes the derived columns in one pass, about 30 ns a scan with the default methods; the TEOS-10 sound
/// speed and sigma0 are iterative and take some 50 times longer. A NaN in gives NaN in what depends on it.
/// The numbers are bit for bit those of the one-value functions. One latitude (degrees, NaN when not known:
/// depth is then NaN) serves a whole dive: 0.01 degree moves a depth of 6000 m by 5 mm at most. Pure: any
/// thread; allocates nothing, so that a reader can call it for each block of a stream.
void deriveColumns(const CtdSpans &in, double latitudeDeg, const WaterMethods &methods,
                   const DerivedSpans &out) noexcept;

/// The same for a whole log. Columns that are shorter than timeUs (absent in the log) count as missing.
[[nodiscard]] DerivedColumns derive(const CtdColumns &ctd, double latitudeDeg,
                                    const WaterMethods &methods = {});

} // namespace holdfast
