// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QStringList>

namespace holdfast
{

/// Opens the window as the words after the program's name say and runs it to its end. Needs the application
/// object. @return the exit code: 0 done, 1 it failed, 2 wrong usage.
[[nodiscard]] int openWindow(const QStringList &arguments);

} // namespace holdfast
