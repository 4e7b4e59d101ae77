// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

namespace holdfast
{

/// How the record names the place of a file that is linked: from the folder of the cruise file on
/// ("photos/deck 3.jpg") when it lies in that folder or below it, else its name alone. The folders of one
/// computer, and with them the account of its user, are nobody's business in a signed record that leaves the
/// ship. Both must exist. Links are followed first.
[[nodiscard]] QString recordedPlace(const QString &cruisePath, const QString &filePath);

/// A place as earlier versions of the program recorded it: with the whole path on one computer.
[[nodiscard]] bool namesAComputersFolders(const QString &place);

} // namespace holdfast
