// SPDX-License-Identifier: GPL-3.0-or-later
#include "open_window.h"

#include "quit_signals.h"
#include "screenshot.h"
#include "theme.h"
#include "window_options.h"
#include "workplace.h"

#include <QGuiApplication>
#include <QQmlApplicationEngine>
#include <cstdio>

namespace holdfast
{

namespace
{

void complain(const QString &sentence)
{
    std::fprintf(stderr, "%s\n", qUtf8Printable(sentence));
}

void setUp(Workplace &work, const WindowOptions &options)
{
    if (options.readOnly)
        work.desk.readOnly();
    if (!options.person.isEmpty())
        work.desk.setPerson(options.person);
    work.places.showPlace(!options.place.isEmpty() ? options.place
                          : options.file.isEmpty() ? QStringLiteral("cruise")
                                                   : QStringLiteral("dive"));
    if (options.replay > 0) {
        QObject::connect(
            &work.desk, &Desk::refreshed, &work.feeds,
            [&work, options] { work.feeds.replayDive(options.replay, options.replayFrom); },
            Qt::SingleShotConnection);
    }
    if (!options.file.isEmpty())
        work.desk.openFile(options.file, options.dive);
}

} // namespace

int openWindow(const QStringList &arguments)
{
    const auto options = readWindowOptions(arguments);
    if (!options) {
        complain(options.error().sentence);
        return 2;
    }
    const QuitSignals quitSignals; // outlives the work, which closes its recordings when it goes
    Workplace work;
    QQmlApplicationEngine engine;
    engine.addImportPath(moduleImportPath);
    QObject::connect(
        &engine, &QQmlApplicationEngine::objectCreationFailed, qApp, [] { QCoreApplication::exit(1); },
        Qt::QueuedConnection);
    setUp(work, *options);
    engine.setInitialProperties(options->readOnly ? work.readingProperties() : work.properties());
    engine.load(QUrl(options->readOnly ? watchQml : mainQml));
    auto *window =
        engine.rootObjects().isEmpty() ? nullptr : qobject_cast<QQuickWindow *>(engine.rootObjects().first());
    if (!window)
        return 1;
    // Only now: the module's types are known once something has imported it.
    auto *theme = engine.singletonInstance<Theme *>(qmlTypeId("Holdfast.Ui", 1, 0, "Theme"));
    if (theme && options->day)
        theme->setDay(*options->day);
    if (!options->size.isEmpty())
        window->resize(options->size);
    if (!options->screenshot.isEmpty()) {
        takeScreenshot(window, options->screenshot, static_cast<int>(options->screenshotAfterS * 1000),
                       [](const Done &done) {
                           if (!done)
                               complain(done.error().sentence);
                           QCoreApplication::exit(done ? 0 : 1);
                       });
    }
    return QCoreApplication::exec();
}

} // namespace holdfast
