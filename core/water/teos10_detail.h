// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// The Gibbs function of seawater (IAPWS R13-08 with SR7-09) as polynomials whose derivatives are worked out
// by the compiler, so that the one-value functions and the column loops share them and the loops can use
// vectors. Private to this folder.

#include "water/formula_detail.h"

#include <array>
#include <cstddef>

namespace holdfast::detail::gibbs
{

inline constexpr double reducedSalinity = 40.0 * 35.16504 / 35.0; // g/kg
inline constexpr double reducedTemperature = 40.0;                // K
inline constexpr double reducedPressure = 1e8;                    // Pa

inline constexpr std::size_t pressurePowers = 7;
inline constexpr std::size_t temperaturePowers = 8;
using Row = std::array<double, pressurePowers>;
using Table = std::array<Row, temperaturePowers>;

/// Table 0 is water: row j, column k is the coefficient of y^j z^k, J/kg, with y the reduced temperature and
/// z the reduced pressure. IAPWS SR7-09, table 2 (Feistel 2003, Progr. Oceanogr. 58, 43-114). Table i from 1
/// to 6 is salt: the coefficients of x^(i+1) y^j z^k with x the root of reduced salinity. IAPWS R13-08, table
/// 2 (Feistel 2008, Deep-Sea Res. I 55, 1639-1671). The logarithmic terms stand below.
inline constexpr std::array<Table, 7> tables{{
    {{
        {101.342743139674, 100015.695367145, -2544.5765420363, 284.517778446287, -33.3146754253611,
         4.20263108803084, -0.546428511471039},
        {5.90578347909402, -270.983805184062, 776.153611613101, -196.51255088122, 28.9796526294175,
         -2.13290083518327},
        {-12357.785933039, 1455.0364540468, -756.558385769359, 273.479662323528, -55.5604063817218,
         4.34420671917197},
        {736.741204151612, -672.50778314507, 499.360390819152, -239.545330654412, 48.8012518593872,
         -1.66307106208905},
        {-148.185936433658, 397.968445406972, -301.815380621876, 152.196371733841, -26.3748377232802},
        {58.0259125842571, -194.618310617595, 120.520654902025, -55.2723052340152, 6.48190668077221},
        {-18.9843846514172, 63.5113936641785, -22.2897317140459, 8.17060541818112},
        {3.05081646487967, -9.63108119393062},
    }},
    {{
        {1416.27648484197, -3310.49154044839, 384.794152978599, -96.5324320107458, 15.8408172766824,
         -2.62480156590992},
        {168.072408311545, 729.116529735046, -343.956902961561, 124.687671116248, -31.656964386073,
         7.04658803315449},
        {880.031352997204, -860.764303783977, 337.409530269367, -178.314556207638, 44.2040358308,
         -7.92001547211682},
        {-225.267649263401, 694.244814133268, -204.889641964903, 113.561697840594, -11.1282734326413},
        {91.4260447751259, -297.728741987187, 74.726141138756, -36.4872919001588},
        {-21.6603240875311},
        {2.13016970847183},
    }},
    {{
        {-2432.14662381794, 199.459603073901, -52.2940909281335, 68.0444942726459, -3.41251932441282},
        {-493.407510141682, -175.292041186547, 83.1923927801819, -29.483064349429},
        {-43.0664675978042, 383.058066002476, -54.1917262517112, 25.6398487389914},
        {-10.0227370861875, -460.319931801257},
        {0.875600661808945, 234.565187611355},
    }},
    {{
        {2025.80115603697, -54.7919133532887, -4.08193978912261, -30.1755111971161},
        {543.835333000098, -22.6683558512829},
        {-68.5572509204491},
        {49.3667694856254},
        {-17.1397577419788},
        {2.49697009569508},
    }},
    {{
        {-1091.66841042967, 36.0284195611086},
        {-196.028306689776},
    }},
    {{
        {374.60123787784},
        {36.7571622995805},
    }},
    {{
        {-48.5891069025409},
    }},
}};
inline constexpr double logTerm = 5812.81456626732;    // times x2 ln x
inline constexpr double logTermByY = 851.226734946706; // times x2 y ln x

/// Length of a row without its trailing zeros, and of a table without its trailing empty rows.
consteval std::size_t rowLength(std::size_t table, std::size_t row)
{
    std::size_t length = pressurePowers;
    while (length > 0 && tables[table][row][length - 1] == 0.0)
        --length;
    return length;
}
consteval std::size_t tableLength(std::size_t table)
{
    std::size_t length = temperaturePowers;
    while (length > 0 && rowLength(table, length - 1) == 0)
        --length;
    return length;
}
/// Power times (power - 1) …, `order` factors: what differentiating leaves.
consteval double falling(std::size_t power, std::size_t order)
{
    double product = 1.0;
    for (std::size_t i = 0; i < order; ++i)
        product *= static_cast<double>(power) - static_cast<double>(i);
    return product;
}

/// The part of a row from power K on, differentiated DZ times, divided by z^(K - DZ).
template <std::size_t I, std::size_t J, std::size_t DZ, std::size_t K>
HOLDFAST_INLINE double rowFrom(double z) noexcept
{
    constexpr double coefficient = tables[I][J][K] * falling(K, DZ);
    if constexpr (K + 1 < rowLength(I, J))
        return coefficient + z * rowFrom<I, J, DZ, K + 1>(z);
    else
        return coefficient;
}
template <std::size_t I, std::size_t J, std::size_t DZ>
HOLDFAST_INLINE double row(double z) noexcept
{
    if constexpr (DZ < rowLength(I, J))
        return rowFrom<I, J, DZ, DZ>(z);
    else
        return 0.0;
}

/// A table as a polynomial in y and z, differentiated DY and DZ times; rows from J on, over y^(J - DY).
template <std::size_t I, std::size_t DY, std::size_t DZ, std::size_t J>
HOLDFAST_INLINE double tableFrom(double y, double z) noexcept
{
    constexpr double factor = falling(J, DY);
    if constexpr (J + 1 < tableLength(I))
        return factor * row<I, J, DZ>(z) + y * tableFrom<I, DY, DZ, J + 1>(y, z);
    else
        return factor * row<I, J, DZ>(z);
}
template <std::size_t I, std::size_t DY, std::size_t DZ>
HOLDFAST_INLINE double table(double y, double z) noexcept
{
    if constexpr (DY < tableLength(I))
        return tableFrom<I, DY, DZ, DY>(y, z);
    else
        return 0.0;
}

/// The polynomial part of the Gibbs energy, differentiated: water + x2 (salt 1 + x (salt 2 + …)). x may be 0.
template <std::size_t DY, std::size_t DZ>
HOLDFAST_INLINE double energy(double x, double y, double z) noexcept
{
    const double salt = poly(x, table<1, DY, DZ>(y, z), table<2, DY, DZ>(y, z), table<3, DY, DZ>(y, z),
                             table<4, DY, DZ>(y, z), table<5, DY, DZ>(y, z), table<6, DY, DZ>(y, z));
    return table<0, DY, DZ>(y, z) + x * x * salt;
}

/// Sound speed, m/s: g_p sqrt(g_tt / (g_tp2 - g_tt g_pp)), TEOS-10 manual equation (2.17.1). The logarithmic
/// terms are linear in y and free of z, so they drop out.
HOLDFAST_INLINE double soundSpeed(double x, double y, double z) noexcept
{
    constexpr double perT = 1.0 / reducedTemperature;
    constexpr double perP = 1.0 / reducedPressure;
    const double p = energy<0, 1>(x, y, z) * perP;
    const double pp = energy<0, 2>(x, y, z) * (perP * perP);
    const double tt = energy<2, 0>(x, y, z) * (perT * perT);
    const double tp = energy<1, 1>(x, y, z) * (perT * perP);
    return p * std::sqrt(tt / (tp * tp - tt * pp));
}

/// Reduced potential temperature at 0 dbar by equality of entropy. The logarithmic term is the same on both
/// sides and drops out. Newton from the temperature itself: it is at most 1 degC away (at 10 000 dbar), after
/// one step 2e-3, after two 1e-8, after three nothing.
HOLDFAST_INLINE double potentialY(double x, double y, double z) noexcept
{
    const double entropy = energy<1, 0>(x, y, z);
    double theta = y;
    for (int step = 0; step < 3; ++step)
        theta -= (energy<1, 0>(x, theta, 0.0) - entropy) / energy<2, 0>(x, theta, 0.0);
    return theta;
}

/// Conservative Temperature, degC, from reduced potential temperature: enthalpy at 0 dbar, g - T g_t, in
/// units of the fixed heat capacity. The logarithmic terms cancel in it (their ratio is 273.15 / 40).
HOLDFAST_INLINE double conservativeFromPotential(double x, double theta) noexcept
{
    constexpr double heatCapacity0 = 3991.86795711963; // J/(kg K)
    constexpr double zeroY = 273.15 / reducedTemperature;
    return (energy<0, 0>(x, theta, 0.0) - (zeroY + theta) * energy<1, 0>(x, theta, 0.0)) / heatCapacity0;
}

HOLDFAST_INLINE double reducedRoot(double absoluteSalinity) noexcept
{
    return std::sqrt(absoluteSalinity / reducedSalinity);
}

} // namespace holdfast::detail::gibbs

namespace holdfast::detail
{

/// Specific volume, m3/kg, of Absolute Salinity (g/kg), Conservative Temperature (degC), sea pressure (dbar).
/// Roquet, Madec, McDougall and Barker 2015, Ocean Modelling 90, 29-43, Table B.2 (reduced salinity, CT / 40,
/// p / 10 000).
HOLDFAST_INLINE double specificVolume75(double absoluteSalinity, double conservativeTemperature,
                                        double p) noexcept
{
    // s is the root of salinity moved by 24 g/kg and scaled; y and z are scaled as in the Gibbs function.
    const double s = std::sqrt((absoluteSalinity + 24.0) / gibbs::reducedSalinity);
    const double y = conservativeTemperature / gibbs::reducedTemperature;
    const double z = p * 1e-4;
    const double z0 =
        poly(y,
             poly(s, 1.0769995862e-3, -3.1038981976e-4, 6.6928067038e-4, -8.5047933937e-4, 5.8086069943e-4,
                  -2.1092370507e-4, 3.1932457305e-5),
             poly(s, -1.5649734675e-5, 3.5009599764e-5, -4.3592678561e-5, 3.4532461828e-5, -1.1959409788e-5,
                  1.3864594581e-6),
             poly(s, 2.7762106484e-5, -3.7435842344e-5, 3.5907822760e-5, -1.8698584187e-5, 3.8595339244e-6),
             poly(s, -1.6521159259e-5, 2.4141479483e-5, -1.4353633048e-5, 2.2863324556e-6),
             poly(s, 6.9111322702e-6, -8.7595873154e-6, 4.3703680598e-6),
             poly(s, -8.0539615540e-7, -3.3052758900e-7), 2.0543094268e-7);
    const double z1 =
        poly(y,
             poly(s, -6.0799143809e-5, 2.4262468747e-5, -3.4792460974e-5, 3.7470777305e-5, -1.7322218612e-5,
                  3.0927427253e-6),
             poly(s, 1.8505765429e-5, -9.5677088156e-6, 1.1100834765e-5, -9.8447117844e-6, 2.5909225260e-6),
             poly(s, -1.1716606853e-5, -2.3678308361e-7, 2.9283346295e-6, -4.8826139200e-7),
             poly(s, 7.9279656173e-6, -3.4558773655e-6, 3.1655306078e-7),
             poly(s, -3.4102187482e-6, 1.2956717783e-6), 5.0736766814e-7);
    const double z2 = poly(
        y, poly(s, 9.9856169219e-6, -5.8484432984e-7, -4.8122251597e-6, 4.9263106998e-6, -1.7811974727e-6),
        poly(s, -1.1736386731e-6, -5.5699154557e-6, 5.4620748834e-6, -1.3544185627e-6),
        poly(s, 2.1305028740e-6, 3.9137387080e-7, -6.5731104067e-7),
        poly(s, -4.6132540037e-7, 7.7618888092e-9), -6.3352916514e-8);
    const double z3 = poly(y, poly(s, -1.1309361437e-6, 3.6310188515e-7, 1.6746303780e-8),
                           poly(s, -3.6527006553e-7, -2.7295696237e-7), 2.8695905159e-7);
    const double z4 = poly(y, poly(s, 1.0531153080e-7, -1.1147125423e-7), 3.1454099902e-7);
    return poly(z, z0, z1, z2, z3, z4, -1.2647261286e-8, 1.9613503930e-9);
}

/// Reference salinity, g/kg, of practical salinity 1.
inline constexpr double gramsPerSalinity = 35.16504 / 35.0;

/// sigma0 by the 75 terms, from practical salinity, degC ITS-90, dbar.
HOLDFAST_INLINE double sigma0Teos(double practicalSalinity, double t, double p) noexcept
{
    const double sa = practicalSalinity * gramsPerSalinity;
    const double x = gibbs::reducedRoot(sa);
    const double theta = gibbs::potentialY(x, t / gibbs::reducedTemperature, p * 1e-4);
    return 1.0 / specificVolume75(sa, gibbs::conservativeFromPotential(x, theta), 0.0) - 1000.0;
}

HOLDFAST_INLINE double soundSpeedTeos(double practicalSalinity, double t, double p) noexcept
{
    return gibbs::soundSpeed(gibbs::reducedRoot(practicalSalinity * gramsPerSalinity),
                             t / gibbs::reducedTemperature, p * 1e-4);
}

} // namespace holdfast::detail
