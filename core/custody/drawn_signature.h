// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QJsonObject>
#include <QPoint>
#include <QVector>

namespace holdfast
{

/// A signature drawn on the screen, kept as strokes so that it can be drawn again at any size. An
/// attestation, not a legal electronic signature. In a confirmation: `strokes`, a list of lists x, y, x, y, …
/// in thousandths of the width of the field it was drawn in, and `sha256` of that list in canonical form, by
/// which a paper or another program can tell that the drawing is the one that was confirmed.
struct DrawnSignature {
    static constexpr int width = 1000, height = 300; ///< of the field
    static constexpr int mostPoints = 4000;

    QVector<QVector<QPoint>> strokes; ///< 0 .. width, 0 .. height; y grows downward

    [[nodiscard]] int points() const;
    /// Error Usage when it is hardly a signature: a few points, or all in one spot.
    [[nodiscard]] Result<QJsonObject> json() const;
    /// Error Malformed for a field or checksum that does not fit, Usage as above.
    [[nodiscard]] static Result<DrawnSignature> fromJson(const QJsonObject &data);
};

} // namespace holdfast
