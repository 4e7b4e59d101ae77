// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/columns.h"

#include "water/column_kernels_detail.h"
#include "water/density.h"
#include "water/depth.h"
#include "water/salinity.h"
#include "water/sound_speed.h"
#include "water/teos10.h"

#include <algorithm>

namespace holdfast
{

double depthBy(SeawaterFormula formula, double pressureDbar, double latitudeDeg) noexcept
{
    return formula == SeawaterFormula::DepthUnesco44 ? depthUnesco44(pressureDbar, latitudeDeg)
                                                     : depthTeos10(pressureDbar, latitudeDeg);
}

double sigma0By(SeawaterFormula formula, double practicalSalinity, double temperatureDegC,
                double pressureDbar) noexcept
{
    return formula == SeawaterFormula::DensityTeos10
               ? sigma0Teos10(practicalSalinity, temperatureDegC, pressureDbar)
               : sigma0Eos80(practicalSalinity, temperatureDegC, pressureDbar);
}

double soundSpeedBy(SeawaterFormula formula, double practicalSalinity, double temperatureDegC,
                    double pressureDbar) noexcept
{
    return formula == SeawaterFormula::SoundSpeedTeos10
               ? soundSpeedTeos10(practicalSalinity, temperatureDegC, pressureDbar)
               : soundSpeedChenMillero(practicalSalinity, temperatureDegC, pressureDbar);
}

namespace
{

/// One block of scans: small enough to stay in the first-level cache between the kernels.
constexpr std::size_t blockSize = 512;

void deriveBlock(const detail::KernelBlock &block, const WaterMethods &methods) noexcept
{
    detail::salinityKernel(block);
    // Fresh and brackish water is rare at sea: those few scans are done one by one.
    for (std::size_t i = 0; i < block.count; ++i) {
        if (block.salinity[i] < 2.0)
            block.salinity[i] =
                practicalSalinity(block.conductivity[i], block.temperature[i], block.pressure[i]);
    }
    if (methods.depth == SeawaterFormula::DepthUnesco44)
        detail::depthUnescoKernel(block);
    else
        detail::depthTeosKernel(block);

    if (methods.sigma0 == SeawaterFormula::DensityTeos10)
        detail::sigma0TeosKernel(block);
    else
        detail::sigma0EosKernel(block);
    if (methods.soundSpeed == SeawaterFormula::SoundSpeedTeos10)
        detail::soundSpeedTeosKernel(block);
    else
        detail::soundSpeedChenMilleroKernel(block);
}

detail::Box boxOf(SeawaterFormula formula) noexcept
{
    const FormulaRange r = rangeOf(formula);
    return {r.salinityMin, r.salinityMax, r.temperatureMin, r.temperatureMax, r.pressureMin, r.pressureMax};
}

} // namespace

void deriveColumns(const CtdSpans &in, double latitudeDeg, const WaterMethods &methods,
                   const DerivedSpans &out) noexcept
{
    const std::size_t count = in.pressureDbar.size();
    const double gravity = methods.depth == SeawaterFormula::DepthUnesco44
                               ? detail::surfaceGravityUnesco44(latitudeDeg)
                               : surfaceGravity(latitudeDeg);
    const detail::Box salinityBox = boxOf(SeawaterFormula::SalinityPss78);
    const detail::Box depthBox = boxOf(methods.depth);
    const detail::Box sigma0Box = boxOf(methods.sigma0);
    const detail::Box thetaBox = methods.sigma0 == SeawaterFormula::Sigma0Eos80
                                     ? boxOf(SeawaterFormula::PotentialTemperatureEos80)
                                     : sigma0Box;
    const detail::Box soundBox = boxOf(methods.soundSpeed);
    for (std::size_t start = 0; start < count; start += blockSize) {
        const detail::KernelBlock block{
            .count = std::min(blockSize, count - start),
            .gravity = gravity,
            .conductivity = in.conductivityMsCm.data() + start,
            .temperature = in.temperatureDegC.data() + start,
            .pressure = in.pressureDbar.data() + start,
            .salinity = out.practicalSalinity.data() + start,
            .depth = out.depthM.data() + start,
            .sigma0 = out.sigma0KgM3.data() + start,
            .soundSpeed = out.soundSpeedMs.data() + start,
        };
        deriveBlock(block, methods);
        if (!out.outside.empty())
            detail::rangeKernel(block, salinityBox, depthBox, sigma0Box, thetaBox, soundBox,
                                out.outside.data() + start);
    }
}

DerivedColumns derive(const CtdColumns &ctd, double latitudeDeg, const WaterMethods &methods)
{
    const std::size_t count = ctd.size();
    DerivedColumns result;
    result.methods = methods;
    result.latitudeDeg = latitudeDeg;
    result.practicalSalinity.resize(count);
    result.depthM.resize(count);
    result.sigma0KgM3.resize(count);
    result.soundSpeedMs.resize(count);
    result.outside.resize(count);
    // A column that the log does not have stands in as missing values, without touching the log.
    std::vector<double> absent;
    const auto whole = [&](const std::vector<double> &column) -> std::span<const double> {
        if (column.size() >= count)
            return std::span(column).first(count);
        absent.resize(count, missingValue);
        return absent;
    };
    deriveColumns(
        {whole(ctd.conductivityMsCm), whole(ctd.temperatureDegC), whole(ctd.pressureDbar)}, latitudeDeg,
        methods,
        {result.practicalSalinity, result.depthM, result.sigma0KgM3, result.soundSpeedMs, result.outside});
    return result;
}

} // namespace holdfast
