// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/run_cli.h"
#include "open_window.h"
#include "window_options.h"

#include <QGuiApplication>
#include <cstdio>
#include <memory>
#include <optional>

namespace
{

QStringList wordsOf(int argc, char **argv)
{
    QStringList words;
    for (int i = 1; i < argc; ++i)
        words << QString::fromLocal8Bit(argv[i]);
    return words;
}

void name(QCoreApplication &app)
{
    app.setApplicationName(QStringLiteral("holdfast"));
    app.setOrganizationName(QStringLiteral("holdfast"));
}

int runVerb(const QStringList &words, int argc, char **argv)
{
    if (!holdfast::paintsPages(words.first())) {
        QCoreApplication app(argc, argv);
        name(app);
        return holdfast::runCli(words);
    }
    qputenv("QT_QPA_PLATFORM", "offscreen"); // pages need fonts, not a display
    QGuiApplication app(argc, argv);
    name(app);
    return holdfast::runCli(words);
}

} // namespace

/// The one program: with a verb it works headless, without one it opens the window.
int main(int argc, char **argv)
{
    const QStringList words = wordsOf(argc, argv);
    if (words.value(0) == QLatin1String("--window-help")) {
        std::fputs(qUtf8Printable(holdfast::windowHelp()), stdout);
        return 0;
    }
    const bool toWindow = words.isEmpty() || (words.first().startsWith(QLatin1String("--")) &&
                                              words.first() != QLatin1String("--help") &&
                                              words.first() != QLatin1String("--version"));
    if (!toWindow && holdfast::isVerb(words.first()))
        return runVerb(words, argc, argv);
    QGuiApplication app(argc, argv);
    name(app);
    return holdfast::openWindow(words);
}
