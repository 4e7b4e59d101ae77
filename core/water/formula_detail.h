// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// The polynomials behind salinity.h, depth.h, density.h and sound_speed.h, written once, so that the
// functions of one value and those of a whole column give the same bits. Sources and units stand in those
// headers; here temperatures are IPTS-68 unless the name says otherwise. Private to this folder.

#include <cmath>

#define HOLDFAST_INLINE [[gnu::always_inline]] inline

namespace holdfast::detail
{

/// a0 + a1 x + a2 x2 + …, by Horner's rule.
template <typename... Rest>
HOLDFAST_INLINE constexpr double poly(double x, double a0, Rest... rest) noexcept
{
    if constexpr (sizeof...(rest) == 0)
        return a0;
    else
        return a0 + x * poly(x, rest...);
}

// ---- Practical Salinity Scale 1978

/// The temperature factor of the scale, (t - 15) / (1 + k (t - 15)).
HOLDFAST_INLINE double pssTemperatureFactor(double t68) noexcept
{
    return (t68 - 15.0) / (1.0 + 0.0162 * (t68 - 15.0));
}

/// r_t: conductivity of standard seawater at t and 0 dbar over that at 15.
HOLDFAST_INLINE double pssTemperatureRatio(double t68) noexcept
{
    return poly(t68, 0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9);
}

/// Numerator and the two parts of the denominator of R_p = 1 + numerator / (b + a R).
HOLDFAST_INLINE double pssPressureNumerator(double p) noexcept
{
    return p * poly(p, 2.070e-5, -6.370e-10, 3.989e-15);
}
HOLDFAST_INLINE double pssPressureB(double t68) noexcept
{
    return poly(t68, 1.0, 3.426e-2, 4.464e-4);
}
HOLDFAST_INLINE double pssPressureA(double t68) noexcept
{
    return 4.215e-1 - 3.107e-3 * t68;
}

/// R_t, the conductivity ratio freed of pressure and of temperature's main effect.
HOLDFAST_INLINE double pssRt(double ratio, double t68, double p) noexcept
{
    const double pressureRatio =
        1.0 + pssPressureNumerator(p) / (pssPressureB(t68) + pssPressureA(t68) * ratio);
    return ratio / (pressureRatio * pssTemperatureRatio(t68));
}

/// The scale itself: salinity from the root of R_t and the temperature factor.
HOLDFAST_INLINE double pssFromRootRt(double rootRt, double factor) noexcept
{
    return poly(rootRt, 0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081) +
           factor * poly(rootRt, 0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144);
}

// ---- EOS-80

/// Density at the sea surface, kg/m3; rootS is the root of salinity.
HOLDFAST_INLINE double eos80SurfaceDensity(double s, double rootS, double t) noexcept
{
    const double water =
        poly(t, 999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9);
    const double a = poly(t, 8.24493e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9);
    const double b = poly(t, -5.72466e-3, 1.0227e-4, -1.6546e-6);
    return water + s * (a + rootS * b + s * 4.8314e-4);
}

/// Secant bulk modulus, bar; pressure in bar.
HOLDFAST_INLINE double eos80BulkModulus(double s, double rootS, double t, double bar) noexcept
{
    const double water = poly(t, 19652.21, 148.4206, -2.327105, 1.360477e-2, -5.155288e-5);
    const double k0 = water + s * (poly(t, 54.6746, -0.603459, 1.09987e-2, -6.1670e-5) +
                                   rootS * poly(t, 7.944e-2, 1.6483e-2, -5.3009e-4));
    const double a = poly(t, 3.239908, 1.43713e-3, 1.16092e-4, -5.77905e-7) +
                     s * (poly(t, 2.2838e-3, -1.0981e-5, -1.6078e-6) + rootS * 1.91075e-4);
    const double b =
        poly(t, 8.50935e-5, -6.12293e-6, 5.2787e-8) + s * poly(t, -9.9348e-7, 2.0816e-8, 9.1697e-10);
    return k0 + bar * (a + bar * b);
}

/// Adiabatic lapse rate, degC per dbar; s35 is salinity less 35.
HOLDFAST_INLINE double lapseRate(double s35, double t, double p) noexcept
{
    const double atSurface =
        poly(t, 3.5803e-5, 8.5258e-6, -6.836e-8, 6.6228e-10) + s35 * poly(t, 1.8932e-6, -4.2393e-8);
    const double perPressure =
        poly(t, 1.8741e-8, -6.7795e-10, 8.733e-12, -5.4481e-14) + s35 * poly(t, -1.1351e-10, 2.7759e-12);
    return atSurface + p * (perPressure + p * poly(t, -4.6206e-13, 1.8676e-14, -2.1687e-16));
}

/// Potential temperature: one Runge-Kutta step with Gill's coefficients, 1 - 1/sqrt(2) and so on.
HOLDFAST_INLINE double potentialTemperature68(double s, double t, double p, double reference) noexcept
{
    const double s35 = s - 35.0;
    const double h = reference - p;
    const double middle = p + 0.5 * h;
    double k = h * lapseRate(s35, t, p);
    double theta = t + 0.5 * k;
    double q = k;
    k = h * lapseRate(s35, theta, middle);
    theta += 0.29289322 * (k - q);
    q = 0.58578644 * k + 0.121320344 * q;
    k = h * lapseRate(s35, theta, middle);
    theta += 1.707106781 * (k - q);
    q = 3.414213562 * k - 4.121320344 * q;
    k = h * lapseRate(s35, theta, reference);
    return theta + (k - 2.0 * q) / 6.0;
}

HOLDFAST_INLINE double sigma0Eos80(double s, double rootS, double t68, double p) noexcept
{
    return eos80SurfaceDensity(s, rootS, potentialTemperature68(s, t68, p, 0.0)) - 1000.0;
}

// ---- sound speed

/// Chen and Millero 1977, m/s; pressure in bar.
HOLDFAST_INLINE double chenMillero(double s, double rootS, double t, double bar) noexcept
{
    const double water0 = poly(t, 1402.388, 5.03711, -5.80852e-2, 3.3420e-4, -1.47800e-6, 3.1464e-9);
    const double water1 = poly(t, 0.153563, 6.8982e-4, -8.1788e-6, 1.3621e-7, -6.1185e-10);
    const double water2 = poly(t, 3.1260e-5, -1.7107e-6, 2.5974e-8, -2.5335e-10, 1.0405e-12);
    const double water3 = poly(t, -9.7729e-9, 3.8504e-10, -2.3643e-12);
    const double a0 = poly(t, 1.389, -1.262e-2, 7.164e-5, 2.006e-6, -3.21e-8);
    const double a1 = poly(t, 9.4742e-5, -1.2580e-5, -6.4885e-8, 1.0507e-8, -2.0122e-10);
    const double a2 = poly(t, -3.9064e-7, 9.1041e-9, -1.6002e-10, 7.988e-12);
    const double a3 = poly(t, 1.100e-10, 6.649e-12, -3.389e-13);
    const double b = poly(t, -1.922e-2, -4.42e-5) + bar * poly(t, 7.3637e-5, 1.7945e-7);
    const double d = 1.727e-3 - 7.9836e-6 * bar;
    return poly(bar, water0, water1, water2, water3) + s * (poly(bar, a0, a1, a2, a3) + rootS * b + s * d);
}

// ---- depth

/// Geopotential difference of the UNESCO 44 standard ocean, m2/s2.
HOLDFAST_INLINE double unescoGeopotential(double p) noexcept
{
    return p * poly(p, 9.72659, -2.2512e-5, 2.279e-10, -1.82e-15);
}
HOLDFAST_INLINE double unescoSurfaceGravity(double sinSquared) noexcept
{
    return 9.780318 * (1.0 + (5.2788e-3 + 2.36e-5 * sinSquared) * sinSquared);
}
HOLDFAST_INLINE double depthUnesco(double p, double surfaceGravity) noexcept
{
    return unescoGeopotential(p) / (surfaceGravity + 1.092e-6 * p);
}

/// Enthalpy of the TEOS-10 standard ocean less that at the surface, J/kg: the 75-term specific volume at
/// 35.16504 g/kg and 0 degC, integrated over pressure. The first five numbers are sums over the powers of
/// root salinity of the published coefficients (teos10_test.cpp sums them again), divided by the power of
/// pressure; the last two have one term each.
HOLDFAST_INLINE double standardOceanEnthalpy(double p) noexcept
{
    const double z = p * 1e-4;
    return 1e8 * z *
           poly(z, 9.726613854843870e-4, -2.252956605630465e-5, 2.376909655387404e-6, -1.664294869986011e-7,
                -5.988108894465758e-9, -2.1078768810e-9, 2.8019291329e-10);
}
HOLDFAST_INLINE double teosSurfaceGravity(double sinSquared) noexcept
{
    return 9.780327 * (1.0 + (5.2792e-3 + 2.32e-5 * sinSquared) * sinSquared);
}
/// Growth of gravity with depth, 1/m, relative to its surface value (TEOS-10 manual, D.3).
inline constexpr double gravityGrowth = 2.26e-7;

/// Depth from enthalpy c with gravity g (1 + gamma d): the positive root of g d + g gamma d2 / 2 = c.
HOLDFAST_INLINE double depthTeos(double p, double surfaceGravity) noexcept
{
    const double c = standardOceanEnthalpy(p);
    const double g = surfaceGravity;
    return 2.0 * c / (g + std::sqrt(g * g + 2.0 * gravityGrowth * g * c));
}

} // namespace holdfast::detail
