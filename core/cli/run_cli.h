// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QStringList>

namespace holdfast
{

/// Whether the program's first word asks for the command line: a verb, --help or --version, or a word that
/// can't be a cruise file to open in the window (so that a mistyped verb gets a sentence, not an empty
/// window).
[[nodiscard]] bool isVerb(const QString &word);

/// Gives standard streams that the caller closed an end that leads nowhere, before anything is opened: the
/// first file opened would take the place of standard output, and results would be written into it.
void guardStandardStreams();

/// Whether a verb paints pages and so needs fonts (a QGuiApplication); the others are content with a
/// QCoreApplication.
[[nodiscard]] bool paintsPages(const QString &verb);

/// Runs a command line (the words after the program's name) on standard input and output.
/// @return the exit code: 0 done, 1 the work failed, 2 wrong usage.
[[nodiscard]] int runCli(const QStringList &arguments);

} // namespace holdfast
