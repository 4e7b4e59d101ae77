// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// The extension of the Practical Salinity Scale below 2: Hill, Dauphinee and Woods 1986, IEEE J. Oceanic Eng.
// OE-11, 109-112. Private to this folder.

#include "water/formula_detail.h"

#include <cmath>

namespace holdfast::detail
{

/// The two corrections of the extension, as published: subtracted from the bare scale.
HOLDFAST_INLINE double hillCorrection(double rootRt, double factor) noexcept
{
    const double x = 400.0 * rootRt * rootRt;
    const double rootY = 10.0 * rootRt;
    return 0.0080 / (1.0 + x * (1.5 + x)) + 0.0005 * factor / (1.0 + rootY * (1.0 + rootY * (1.0 + rootY)));
}

/// The published extension leaves a step of about 1e-5 at salinity 2. This is the factor that closes it at
/// the given temperature (TEOS-10 does the same): 2 over what the extension gives where the bare scale
/// gives 2.
inline double hillRatio(double factor) noexcept
{
    double rootRt = 0.2641; // at 15 degC; between -2 and 35 it moves by a few per cent
    for (int step = 0; step < 4; ++step) {
        const double slope =
            poly(rootRt, -0.1692, 2 * 25.3851, 3 * 14.0941, 4 * -7.0261, 5 * 2.7081) +
            factor * poly(rootRt, -0.0056, 2 * -0.0066, 3 * -0.0375, 4 * 0.0636, 5 * -0.0144);
        rootRt -= (pssFromRootRt(rootRt, factor) - 2.0) / slope;
    }
    return 2.0 / (2.0 - hillCorrection(rootRt, factor));
}

/// Salinity below 2 from the bare scale's value.
HOLDFAST_INLINE double hillSalinity(double bare, double rootRt, double factor, double ratio) noexcept
{
    return ratio * (bare - hillCorrection(rootRt, factor));
}

} // namespace holdfast::detail
