// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QSize>
#include <QStringList>
#include <optional>

namespace holdfast
{

/// What the command line says about the window.
struct WindowOptions {
    QString file;  ///< the cruise file to open; empty: none
    QString place; ///< to show first; empty: Dive when a file is given, else Cruise
    QString person;
    int dive = 0;          ///< 0: the one in the water, else the last
    bool readOnly = false; ///< the scientist's window
    std::optional<bool> day;
    QSize size;        ///< empty: the window's own
    double replay = 0; ///< speed; 0: no replay
    QString replayFrom;
    QString screenshot; ///< where to save a picture; the program then ends
    double screenshotAfterS = 0;
};

/// Reads the words after the program's name. Error Usage with a sentence.
[[nodiscard]] Result<WindowOptions> readWindowOptions(const QStringList &arguments);

/// What `holdfast --window-help` prints.
[[nodiscard]] QString windowHelp();

} // namespace holdfast
