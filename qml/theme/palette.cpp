// SPDX-License-Identifier: GPL-3.0-or-later
#include "palette.h"

#include <algorithm>
#include <cmath>

namespace holdfast
{

const Palette &nightPalette()
{
    static const Palette palette{
        .ground = QColor(0x13, 0x10, 0x0e),
        .raised = QColor(0x1d, 0x19, 0x16),
        .sunken = QColor(0x0b, 0x09, 0x08),
        .edge = QColor(0x6b, 0x60, 0x55),
        .rule = QColor(0x33, 0x2c, 0x27),
        .ink = QColor(0xde, 0xd3, 0xc4),
        .soft = QColor(0xab, 0x9f, 0x92),
        .focus = QColor(0xe6, 0xc2, 0x7a),
        .held = QColor(0x3a, 0x31, 0x29),
        .chosen = QColor(0x2d, 0x26, 0x1e),
        .good = QColor(0x93, 0xc2, 0x9a),
        .care = QColor(0xe8, 0xa5, 0x58),
        .bad = QColor(0xf0, 0x86, 0x76),
    };
    return palette;
}

const Palette &dayPalette()
{
    static const Palette palette{
        .ground = QColor(0xf6, 0xf3, 0xec),
        .raised = QColor(0xff, 0xfd, 0xf8),
        .sunken = QColor(0xff, 0xff, 0xff),
        .edge = QColor(0x5c, 0x54, 0x4b),
        .rule = QColor(0xc9, 0xc1, 0xb5),
        .ink = QColor(0x12, 0x10, 0x0d),
        .soft = QColor(0x44, 0x3e, 0x37),
        .focus = QColor(0x6b, 0x35, 0x00),
        .held = QColor(0xe2, 0xda, 0xcc),
        .chosen = QColor(0xf3, 0xe3, 0xc4),
        .good = QColor(0x0d, 0x4a, 0x24),
        .care = QColor(0x66, 0x36, 0x00),
        .bad = QColor(0x7e, 0x12, 0x12),
    };
    return palette;
}

namespace
{

double luminance(const QColor &colour)
{
    const auto linear = [](float channel) {
        const auto c = static_cast<double>(channel);
        return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * linear(colour.redF()) + 0.7152 * linear(colour.greenF()) +
           0.0722 * linear(colour.blueF());
}

} // namespace

double contrastRatio(const QColor &a, const QColor &b)
{
    const double la = luminance(a);
    const double lb = luminance(b);
    return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

} // namespace holdfast
