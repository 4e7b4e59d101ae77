// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QColor>

namespace holdfast
{

/// The colours of a theme, named by what they mean. Each state that a colour marks is also told by a word and
/// a shape, so that nothing depends on seeing the colour.
struct Palette {
    QColor ground; ///< behind everything
    QColor raised; ///< panels and fields that stand out from the ground
    QColor sunken; ///< places to type in
    QColor edge;   ///< outlines of things that do not hold the focus
    QColor rule;   ///< hair lines between rows
    QColor ink;    ///< text that matters
    QColor soft;   ///< labels, units, keys: text that explains
    QColor focus;  ///< the ring about what the next key goes to
    QColor held;   ///< fill of a slot that holds something
    QColor chosen; ///< fill of the chosen row or slot
    QColor good;   ///< saved, alive, as logged
    QColor care;   ///< needs a look soon
    QColor bad;    ///< failed, refused, silent
};

/// For a dark control van: a warm near-black, text no brighter than it needs to be, no white, no blue.
[[nodiscard]] const Palette &nightPalette();
/// For a deck in sunlight: every text at 7:1 or more on its ground.
[[nodiscard]] const Palette &dayPalette();

/// Contrast ratio of two opaque colours, 1 .. 21 (WCAG 2.1, "contrast ratio" and "relative luminance").
[[nodiscard]] double contrastRatio(const QColor &a, const QColor &b);

} // namespace holdfast
