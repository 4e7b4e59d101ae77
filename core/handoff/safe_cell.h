// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QByteArray>
#include <QString>

namespace holdfast
{

// Cells that a spreadsheet can't take for a formula, and that can be read back.
//
// A cell that begins with = + - @ (or their full-width forms), a tab or a carriage return is written with an
// apostrophe before it, unless it is a plain number ("-12.5"). A cell that begins with an apostrophe gets one
// more, so that taking off one leading apostrophe always gives the text back.

/// A number as tables hold them: -12, 0.5, 1e-7. No plus sign, no thousands, no blanks.
[[nodiscard]] bool isPlainNumber(QStringView text);
[[nodiscard]] QString safeCell(const QString &text);
[[nodiscard]] QString fromSafeCell(const QString &cell);

/// A safe cell as a field of RFC 4180: quoted when it holds a comma, quote or line end.
[[nodiscard]] QByteArray safeCsvField(const QString &text);

/// For tables whose readers split lines before they look at quotes (Darwin Core text files): safe, and each
/// run of line ends, tabs and other control characters is one blank. Archives pass these cells on in XML,
/// which can't hold control characters (XML 1.0, 2.2 Characters).
[[nodiscard]] QString safeOneLine(const QString &text);

/// For a terminal: what a stranger's names may hold and would be obeyed instead of shown (control characters,
/// line ends, marks that turn the direction of writing) as its code, "\\x1B", "\\u202E".
[[nodiscard]] QString visibleText(const QString &text);

} // namespace holdfast
