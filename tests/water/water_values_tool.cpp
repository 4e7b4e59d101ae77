// SPDX-License-Identifier: GPL-3.0-or-later

// Reads "conductivity temperature pressure latitude" a line and prints what this library makes of it, so that
// a script can compare with another library (compare_with_gsw.py). Seventeen digits: every bit.

#include "water/density.h"
#include "water/depth.h"
#include "water/freezing.h"
#include "water/oxygen.h"
#include "water/salinity.h"
#include "water/sound_speed.h"
#include "water/teos10.h"

#include <iomanip>
#include <iostream>

int main()
{
    using namespace holdfast;
    std::cout << std::setprecision(17);
    double c = 0, t = 0, p = 0, latitude = 0;
    while (std::cin >> c >> t >> p >> latitude) {
        const double s = practicalSalinity(c, t, p);
        const double sa = referenceSalinity(s);
        const double ct = conservativeTemperature(sa, t, p);
        std::cout << s << ' ' << conductivityFromSalinity(s, t, p) << ' ' << depthTeos10(p, latitude) << ' '
                  << pressureFromDepthTeos10(depthTeos10(p, latitude), latitude) << ' ' << ct << ' '
                  << potentialTemperatureTeos10(sa, t, p) << ' ' << densityTeos10(sa, ct, p) << ' '
                  << sigma0Teos10(s, t, p) << ' ' << soundSpeedTeos10(s, t, p) << ' '
                  << freezingPointTeos10(s, p) << ' ' << oxygenSolubilityUmolKg(s, t) << ' '
                  << sigma0Eos80(s, t, p) << ' ' << soundSpeedChenMillero(s, t, p) << ' '
                  << depthUnesco44(p, latitude) << '\n';
    }
    return 0;
}
