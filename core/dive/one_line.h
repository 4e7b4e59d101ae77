// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QString>

namespace holdfast
{

constexpr qsizetype longestName = 200;
constexpr qsizetype longestRemark = 1000;

/// Whether a text fits on one line of a screen, a label and a table: at most `longest` characters, no line
/// break and no other control character.
[[nodiscard]] bool isOneLine(const QString &text, qsizetype longest = longestName);

/// Error Usage when it does not; `what` begins the sentence, as in "The vehicle's name".
[[nodiscard]] Done wantOneLine(const QString &text, const QString &what, qsizetype longest = longestName);

} // namespace holdfast
