// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/column_kernels_detail.h"

#include "water/columns.h"
#include "water/formula_detail.h"
#include "water/salinity.h"
#include "water/teos10_detail.h"

// One copy of each loop for processors with 256-bit vectors, chosen when the program starts. The sanitizers
// cannot stand in before that choice, so they get the plain copy. No fused multiply-add: see CMakeLists.txt.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
#define HOLDFAST_VECTOR_CLONES __attribute__((target_clones("avx2", "default")))
#else
#define HOLDFAST_VECTOR_CLONES
#endif

namespace holdfast::detail
{

HOLDFAST_VECTOR_CLONES void salinityKernel(const KernelBlock &block) noexcept
{
    const double *__restrict c = block.conductivity;
    const double *__restrict t = block.temperature;
    const double *__restrict p = block.pressure;
    double *__restrict s = block.salinity;
    for (std::size_t i = 0; i < block.count; ++i) {
        const double t68 = t[i] * t68PerT90;
        const double rt = pssRt(c[i] / standardConductivityMsCm, t68, p[i]);
        s[i] = pssFromRootRt(std::sqrt(rt), pssTemperatureFactor(t68));
    }
}

HOLDFAST_VECTOR_CLONES void depthTeosKernel(const KernelBlock &block) noexcept
{
    const double *__restrict p = block.pressure;
    double *__restrict depth = block.depth;
    const double gravity = block.gravity;
    for (std::size_t i = 0; i < block.count; ++i)
        depth[i] = depthTeos(p[i], gravity);
}

HOLDFAST_VECTOR_CLONES void depthUnescoKernel(const KernelBlock &block) noexcept
{
    const double *__restrict p = block.pressure;
    double *__restrict depth = block.depth;
    const double gravity = block.gravity;
    for (std::size_t i = 0; i < block.count; ++i)
        depth[i] = depthUnesco(p[i], gravity);
}

HOLDFAST_VECTOR_CLONES void sigma0EosKernel(const KernelBlock &block) noexcept
{
    const double *__restrict s = block.salinity;
    const double *__restrict t = block.temperature;
    const double *__restrict p = block.pressure;
    double *__restrict sigma0 = block.sigma0;
    for (std::size_t i = 0; i < block.count; ++i)
        sigma0[i] = sigma0Eos80(s[i], std::sqrt(s[i]), t[i] * t68PerT90, p[i]);
}

HOLDFAST_VECTOR_CLONES void soundSpeedChenMilleroKernel(const KernelBlock &block) noexcept
{
    const double *__restrict s = block.salinity;
    const double *__restrict t = block.temperature;
    const double *__restrict p = block.pressure;
    double *__restrict speed = block.soundSpeed;
    for (std::size_t i = 0; i < block.count; ++i)
        speed[i] = chenMillero(s[i], std::sqrt(s[i]), t[i] * t68PerT90, p[i] / 10.0);
}

HOLDFAST_VECTOR_CLONES void sigma0TeosKernel(const KernelBlock &block) noexcept
{
    const double *__restrict s = block.salinity;
    const double *__restrict t = block.temperature;
    const double *__restrict p = block.pressure;
    double *__restrict sigma0 = block.sigma0;
    for (std::size_t i = 0; i < block.count; ++i)
        sigma0[i] = sigma0Teos(s[i], t[i], p[i]);
}

HOLDFAST_VECTOR_CLONES void soundSpeedTeosKernel(const KernelBlock &block) noexcept
{
    const double *__restrict s = block.salinity;
    const double *__restrict t = block.temperature;
    const double *__restrict p = block.pressure;
    double *__restrict speed = block.soundSpeed;
    for (std::size_t i = 0; i < block.count; ++i)
        speed[i] = soundSpeedTeos(s[i], t[i], p[i]);
}

namespace
{

/// 1 when any of the three lies outside; a missing value compares false and so counts as inside. Bitwise or
/// keeps the loop free of branches.
HOLDFAST_INLINE int isOutside(const Box &box, double s, double t, double p) noexcept
{
    return int(s < box.salinityMin) | int(s > box.salinityMax) | int(t < box.temperatureMin) |
           int(t > box.temperatureMax) | int(p < box.pressureMin) | int(p > box.pressureMax);
}

} // namespace

HOLDFAST_VECTOR_CLONES void rangeKernel(const KernelBlock &block, const Box &salinity, const Box &depth,
                                        const Box &sigma0, const Box &theta, const Box &sound,
                                        std::uint8_t *outside) noexcept
{
    constexpr double thetaMattersBeyondDbar = 200.0; // as in noteFor()
    for (std::size_t i = 0; i < block.count; ++i) {
        const double s = block.salinity[i];
        const double t = block.temperature[i];
        const double p = block.pressure[i];
        // A value that is missing has no bit: the salinity is missing whenever one of its three inputs is.
        const int have = int(s == s);
        const int deep = int(p > thetaMattersBeyondDbar);
        const int bits =
            have * (SalinityOutside * isOutside(salinity, s, t, p) |
                    Sigma0Outside * (isOutside(sigma0, s, t, p) | (deep & isOutside(theta, s, t, p))) |
                    SoundSpeedOutside * isOutside(sound, s, t, p)) |
            DepthOutside * isOutside(depth, s, t, p);
        outside[i] = static_cast<std::uint8_t>(bits);
    }
}

} // namespace holdfast::detail
