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

/// Qt warns on every start where the account has no runtime folder; that is no news to a person reading an
/// error.
void quietOnRuntimeFolder(QtMsgType type, const QMessageLogContext &context, const QString &text)
{
    if (!text.startsWith(QLatin1String("QStandardPaths: XDG_RUNTIME_DIR")))
        std::fprintf(stderr, "%s\n", qUtf8Printable(qFormatLogMessage(type, context, text)));
}

/// A window needs a display; a picture of one does not.
bool canOpenWindow(const QStringList &words)
{
    const bool display = qEnvironmentVariableIsSet("DISPLAY") ||
                         qEnvironmentVariableIsSet("WAYLAND_DISPLAY") ||
                         qEnvironmentVariableIsSet("QT_QPA_PLATFORM");
    if (!display && words.contains(QStringLiteral("--screenshot")))
        qputenv("QT_QPA_PLATFORM", "offscreen");
    return display || words.contains(QStringLiteral("--screenshot"));
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
    holdfast::guardStandardStreams();
    qInstallMessageHandler(quietOnRuntimeFolder);
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
    if (!canOpenWindow(words)) {
        std::fputs("holdfast: There is no display here to open the window on. holdfast --help lists what "
                   "works without "
                   "one.\n",
                   stderr);
        return 1;
    }
    QGuiApplication app(argc, argv);
    name(app);
    return holdfast::openWindow(words);
}
