// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QQuickWindow>
#include <functional>

namespace holdfast
{

/// Saves a picture of the window once it is drawn and `waitMs` have passed, then calls `done`.
void takeScreenshot(QQuickWindow *window, const QString &path, int waitMs,
                    std::function<void(const Done &)> done);

} // namespace holdfast
