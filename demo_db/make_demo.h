// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QString>
#include <QStringList>
#include <functional>

namespace holdfast::demo
{

/// Makes the demo cruise in a folder that is new or empty: cruise.hfc, the logs of its dives in logs/,
/// labels.pdf and custody-sheet.pdf of its first dive, and a README that says it is all invented. Everything
/// gets into the file by the same actions that a person uses. Needs a QGuiApplication for the papers. `told`
/// hears a line about each step. On an error the folder may hold part of the demo; the sentence says so.
/// @return the files made, relative to the folder.
[[nodiscard]] Result<QStringList> makeDemo(const QString &folder,
                                           const std::function<void(const QString &)> &told);

} // namespace holdfast::demo
