// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/teos10_detail.h"

#include <array>
#include <cmath>

namespace holdfast::detail
{

namespace
{

constexpr double reducedSalinity = 40.0 * 35.16504 / 35.0; // g/kg
constexpr double reducedTemperature = 40.0;                // K
constexpr double reducedPressure = 1e8;                    // Pa

constexpr int pressures = 7;    // powers 0 .. 6 of reduced pressure
constexpr int temperatures = 8; // powers 0 .. 7 of reduced temperature
using Row = std::array<double, pressures>;
using Table = std::array<Row, temperatures>;

/// Water: row j, column k is the coefficient of y^j z^k, J/kg. IAPWS SR7-09, table 2 (Feistel 2003).
constexpr Table waterTable{{
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
}};

/// Salt: table i - 2 holds the coefficients of x^i y^j z^k, i = 2 .. 7, J/kg. IAPWS R13-08, table 2 (Feistel
/// 2008). The two logarithmic terms stand below.
constexpr std::array<Table, 6> saltTables{{
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
constexpr double logTerm = 5812.81456626732;    // x2 ln x
constexpr double logTermByY = 851.226734946706; // x2 y ln x

/// A polynomial in y and z with the derivatives by both that a Gibbs function needs.
struct Part {
    double value = 0, y = 0, yy = 0, z = 0, zz = 0, yz = 0;
};

Part evaluate(const Table &table, double y, double z) noexcept
{
    Part sum;
    for (std::size_t j = temperatures; j-- > 0;) {
        // The row as a polynomial in z with two derivatives, then one Horner step in y.
        double r = 0, rz = 0, rzz = 0;
        for (std::size_t k = pressures; k-- > 0;) {
            rzz = rzz * z + 2.0 * rz;
            rz = rz * z + r;
            r = r * z + table[j][k];
        }
        sum.yy = sum.yy * y + 2.0 * sum.y;
        sum.y = sum.y * y + sum.value;
        sum.value = sum.value * y + r;
        sum.yz = sum.yz * y + sum.z;
        sum.z = sum.z * y + rz;
        sum.zz = sum.zz * y + rzz;
    }
    return sum;
}

void add(Part &to, const Part &part, double times) noexcept
{
    to.value += times * part.value;
    to.y += times * part.y;
    to.yy += times * part.yy;
    to.z += times * part.z;
    to.zz += times * part.zz;
    to.yz += times * part.yz;
}

} // namespace

Gibbs gibbsOfSeawater(double absoluteSalinity, double temperatureDegC, double p) noexcept
{
    const double y = temperatureDegC / reducedTemperature;
    const double z = p * 1e4 / reducedPressure;
    Part sum = evaluate(waterTable, y, z);
    double byX2 = 0; // derivative by x squared, which is proportional to salinity
    if (absoluteSalinity > 0) {
        const double x2 = absoluteSalinity / reducedSalinity;
        const double x = std::sqrt(x2);
        double power = x2;
        for (std::size_t i = 0; i < saltTables.size(); ++i) {
            const Part part = evaluate(saltTables[i], y, z);
            add(sum, part, power);
            byX2 += 0.5 * static_cast<double>(i + 2) * (power / x2) * part.value;
            power *= x;
        }
        const double logX = std::log(x);
        sum.value += x2 * logX * (logTerm + logTermByY * y);
        sum.y += x2 * logX * logTermByY;
        byX2 += (logX + 0.5) * (logTerm + logTermByY * y);
    }
    return Gibbs{
        .value = sum.value,
        .t = sum.y / reducedTemperature,
        .tt = sum.yy / (reducedTemperature * reducedTemperature),
        .p = sum.z / reducedPressure,
        .pp = sum.zz / (reducedPressure * reducedPressure),
        .tp = sum.yz / (reducedTemperature * reducedPressure),
        .s = byX2 / reducedSalinity,
    };
}

double specificVolume75(double absoluteSalinity, double conservativeTemperature, double p) noexcept
{
    // s is the root of salinity moved by 24 g/kg and scaled; y and z are scaled as in the Gibbs function.
    const double s = std::sqrt((absoluteSalinity + 24.0) / reducedSalinity);
    const double y = conservativeTemperature / reducedTemperature;
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

} // namespace holdfast::detail
