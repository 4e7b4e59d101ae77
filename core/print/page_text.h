// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "print/page_document.h"

#include <optional>

class QTextLayout;

namespace holdfast
{

/// Where a text must go and what may be done to it to get it there.
struct TextBox {
    QRectF boxMm = {};
    double largestPt = 9;
    double smallestPt = 6; ///< it shrinks in quarter points down to this
    bool bold = false;
    bool mono = false;
    bool white = false;
    bool wrap = true;
    bool mayCut = false; ///< at the smallest size it may end in "…"
    Qt::Alignment align = Qt::AlignLeft | Qt::AlignTop;
};

/// What will be printed for `text`: control characters become blanks, and a character that no installed font
/// has becomes its code in brackets, as "[U+1F41F]", so that it is visibly there.
[[nodiscard]] QString printableText(const QString &text);

/// The printable text at the largest size that fits: shrunk and wrapped between words; else shrunk and
/// wrapped anywhere; at last cut with a visible "…" when that is allowed. Nothing when it does not fit: no
/// layout prints what does not fit. Empty text gives a mark without ink.
[[nodiscard]] std::optional<TextMark> fitText(const QString &text, const TextBox &box);

/// The height of `text` at one size, wrapped at `widthMm`; mm.
[[nodiscard]] double textHeightMm(const QString &text, double widthMm, double sizePt, bool bold = false);
/// The width of `text` on one line; mm.
[[nodiscard]] double textWidthMm(const QString &text, double sizePt, bool bold = false);

/// Values joined by " · ", empty ones left out. Right-to-left values keep their own order beside the others.
[[nodiscard]] QString joinedValues(const QStringList &values);

/// Paints a fitted text on a painter whose unit is the millimetre.
void paintText(const TextMark &mark, QPainter &painter);

} // namespace holdfast
