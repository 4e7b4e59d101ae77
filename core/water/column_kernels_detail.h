// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// The loops behind deriveColumns(), apart from it so that the compiler may make one copy of each for
// processors with wider vectors and choose at run time. Private to this folder.

#include <cstddef>
#include <cstdint>

namespace holdfast::detail
{

/// Gravity at the surface as UNESCO 44 has it, m/s2; NaN for a latitude that does not exist.
double surfaceGravityUnesco44(double latitudeDeg) noexcept;

/// A block of scans; columns of `count` values, inputs and outputs do not overlap.
struct KernelBlock {
    std::size_t count;
    double gravity; ///< surface gravity by the depth method, m/s2
    const double *conductivity;
    const double *temperature;
    const double *pressure;
    double *salinity;
    double *depth;
    double *sigma0;
    double *soundSpeed;
};

/// The stated range of a formula.
struct Box {
    double salinityMin, salinityMax, temperatureMin, temperatureMax, pressureMin, pressureMax;
};

void salinityKernel(const KernelBlock &block) noexcept; ///< the bare scale of 1978, good above 2
void depthTeosKernel(const KernelBlock &block) noexcept;
void depthUnescoKernel(const KernelBlock &block) noexcept;
// From the block's own salinity, temperature and pressure:
void sigma0EosKernel(const KernelBlock &block) noexcept;
void sigma0TeosKernel(const KernelBlock &block) noexcept;
void soundSpeedChenMilleroKernel(const KernelBlock &block) noexcept;
void soundSpeedTeosKernel(const KernelBlock &block) noexcept;
/// DerivedBit of each scan, from the block's salinity, temperature and pressure.
void rangeKernel(const KernelBlock &block, const Box &salinityBox, const Box &depthBox, const Box &sigma0Box,
                 const Box &thetaBox, const Box &soundBox, std::uint8_t *outside) noexcept;

} // namespace holdfast::detail
