// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QString>
#include <vector>

namespace holdfast
{

/// Error correction of a QR code, weakest first: about 7, 15, 25 and 30 % of the codewords can be lost.
/// Source: ISO/IEC 18004, error correction capacity.
enum class QrLevel { L, M, Q, H };
[[nodiscard]] QString qrLevelName(QrLevel level);

/// The modules of one QR code, without its quiet zone. Row by row from the top left; true is dark.
struct QrSymbol {
    int version = 0; ///< 1 .. 40
    QrLevel level = QrLevel::M;
    int modules = 0; ///< modules a side: 17 + 4 x version
    std::vector<bool> dark = {};

    [[nodiscard]] bool isDark(int column, int row) const
    {
        return dark[static_cast<std::size_t>(row) * static_cast<std::size_t>(modules) +
                    static_cast<std::size_t>(column)];
    }
};

/// Light modules that must stand free on each side (ISO/IEC 18004).
inline constexpr int qrQuietModules = 4;

/// The smallest code that holds `text` in alphanumeric mode with at least the error correction `atLeast`,
/// raised to the strongest that the same version holds. Error Usage when the text is empty, holds a character
/// outside 0-9 A-Z space $ % * + - . / : or is longer than version 40 holds.
[[nodiscard]] Result<QrSymbol> encodeQr(const QString &text, QrLevel atLeast = QrLevel::M);

/// A square on a label, quiet zone included, and the printer that will fill it.
struct QrSpace {
    double sideMm = 0;
    int printerDpi = 0; ///< dots per inch, 72 .. 4800
};

/// A module finer than this is refused unless a person accepts it: three dots, since a thermal head spreads
/// by about half a dot, and 0.25 mm, the floor of close hand scanners (both common practice; ISO/IEC 18004
/// fixes none).
inline constexpr int qrSmallestDots = 3;
inline constexpr double qrSmallestModuleMm = 0.25;
/// From here on phones read it too (common practice): error correction is only traded against module size
/// above.
inline constexpr int qrComfortableDots = 4;
inline constexpr double qrComfortableModuleMm = 0.33;

/// How a code would stand in a space: always a whole number of printer dots to a module.
struct QrFit {
    QrSymbol symbol = {};
    int dotsPerModule = 0;
    double moduleMm = 0;
    double sideMm = 0;    ///< printed side with the quiet zone; at most the space
    bool tooFine = false; ///< below qrSmallestDots or qrSmallestModuleMm
};

/// Chooses the code for a space. What rubs off a label takes whole patches, so level H comes first, and of
/// the versions that hold the text at H the larger ones stand more, since the same patch takes a smaller
/// share of their data (figures in core/print/README.md). In this order:
/// 1. H with comfortable modules: the largest version up to 5;
/// 2. H within the limits above: the coarsest modules, and of equal ones the largest version up to 5;
/// 3. the coarsest modules of all, then the strongest level, then the largest version.
/// The level is never below M. A fit that is too fine is still returned, marked. Error Refused when not even
/// one dot a module fits; Usage when the text or the space makes no sense.
[[nodiscard]] Result<QrFit> fitQr(const QString &text, const QrSpace &space);

/// Why a fit was marked too fine, for people: "a module would be 2 dots (0.25 mm) at 203 dpi; 3 dots and 0.25
/// mm are needed". Empty when it is not.
[[nodiscard]] QString whyTooFine(const QrFit &fit, int printerDpi);

} // namespace holdfast
