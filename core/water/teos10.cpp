// SPDX-License-Identifier: GPL-3.0-or-later
#include "water/teos10.h"

#include "water/teos10_detail.h"

#include <cmath>
#include <complex>
#include <limits>

namespace holdfast
{

namespace
{

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double celsiusZero = 273.15; // K

using namespace detail::gibbs;

/// Chemical potential of water in seawater, J/kg: g - SA g_SA. With g = sum of c_i x^i over powers of the
/// root of salinity, SA g_SA is the sum of i/2 c_i x^i, and the logarithmic term adds half of x2 beside
/// itself.
double waterPotential(double absoluteSalinity, double t, double p) noexcept
{
    const double x = reducedRoot(absoluteSalinity);
    const double y = t / reducedTemperature;
    const double z = p * 1e-4;
    const double x2 = x * x;
    const double salt =
        x * x2 *
        detail::poly(x, -0.5 * table<2, 0, 0>(y, z), -1.0 * table<3, 0, 0>(y, z), -1.5 * table<4, 0, 0>(y, z),
                     -2.0 * table<5, 0, 0>(y, z), -2.5 * table<6, 0, 0>(y, z));
    return table<0, 0, 0>(y, z) + salt - 0.5 * x2 * (logTerm + logTermByY * y);
}

/// Gibbs energy of ice Ih, J/kg: IAPWS R10-06 equation (1); t in degC, p sea pressure in dbar.
double gibbsOfIce(double t, double p) noexcept
{
    using Complex = std::complex<double>;
    constexpr double triplePointK = 273.16;
    constexpr double triplePointPa = 611.657;
    constexpr double entropy0 = -3.32733756492168e3;
    const double tau = (t + celsiusZero) / triplePointK;
    const double above = p * 1e4 / triplePointPa; // pressure above one atmosphere, in triple-point pressures
    const double g0 = detail::poly(above, -6.32020233335886e5, 6.55022213658955e-1, -1.89369929326131e-8,
                                   3.3974612327105304e-15, -5.564648690589909e-22);
    const Complex t1(3.68017112855051e-2, 5.10878114959572e-2);
    const Complex t2(3.37315741065416e-1, 3.35449415919309e-1);
    const Complex r1(4.47050716285388e1, 6.56876847463481e1);
    const Complex r2 = Complex(-7.25974574329220e1, -7.81008427112870e1) +
                       above * (Complex(-5.57107698030123e-5, 4.64578634580806e-5) +
                                above * Complex(2.34801409215913e-11, -2.85651142904972e-11));
    const auto term = [tau](Complex tk) {
        return (tk - tau) * std::log(tk - tau) + (tk + tau) * std::log(tk + tau) - 2.0 * tk * std::log(tk) -
               tau * tau / tk;
    };
    return g0 - entropy0 * triplePointK * tau + triplePointK * (r1 * term(t1) + r2 * term(t2)).real();
}

} // namespace

double referenceSalinity(double practicalSalinity) noexcept
{
    return practicalSalinity * detail::gramsPerSalinity;
}

double potentialTemperatureTeos10(double absoluteSalinityGKg, double temperatureDegC,
                                  double pressureDbar) noexcept
{
    return reducedTemperature * potentialY(reducedRoot(absoluteSalinityGKg),
                                           temperatureDegC / reducedTemperature, pressureDbar * 1e-4);
}

double conservativeTemperature(double absoluteSalinityGKg, double temperatureDegC,
                               double pressureDbar) noexcept
{
    const double x = reducedRoot(absoluteSalinityGKg);
    return conservativeFromPotential(
        x, potentialY(x, temperatureDegC / reducedTemperature, pressureDbar * 1e-4));
}

double densityTeos10(double absoluteSalinityGKg, double conservativeTemperatureDegC,
                     double pressureDbar) noexcept
{
    // The root in the 75 terms is of salinity plus 24, so a negative salinity has to be kept out here.
    if (!(absoluteSalinityGKg >= 0.0))
        return nan;
    return 1.0 / detail::specificVolume75(absoluteSalinityGKg, conservativeTemperatureDegC, pressureDbar);
}

double sigma0Teos10(double practicalSalinity, double temperatureDegC, double pressureDbar) noexcept
{
    return detail::sigma0Teos(practicalSalinity, temperatureDegC, pressureDbar);
}

double soundSpeedTeos10(double practicalSalinity, double temperatureDegC, double pressureDbar) noexcept
{
    return detail::soundSpeedTeos(practicalSalinity, temperatureDegC, pressureDbar);
}

double freezingPointTeos10(double practicalSalinity, double pressureDbar) noexcept
{
    if (!(practicalSalinity >= 0.0) || !std::isfinite(practicalSalinity) || !std::isfinite(pressureDbar))
        return nan;
    const double sa = referenceSalinity(practicalSalinity);
    const auto excess = [sa, pressureDbar](double t) {
        return waterPotential(sa, t, pressureDbar) - gibbsOfIce(t, pressureDbar);
    };
    // Secant from the older formula, which is within 0.5 degC even at 10 000 dbar; the excess is almost
    // linear.
    double before = -0.0575 * practicalSalinity - 7.53e-4 * pressureDbar;
    double now = before + 0.01;
    double excessBefore = excess(before);
    for (int step = 0; step < 20; ++step) {
        const double excessNow = excess(now);
        if (excessNow == excessBefore)
            break;
        const double next = now - excessNow * (now - before) / (excessNow - excessBefore);
        before = now;
        excessBefore = excessNow;
        now = next;
        if (std::abs(now - before) < 1e-9)
            break;
    }
    return now;
}

} // namespace holdfast
