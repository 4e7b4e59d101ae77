// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/run_cli.h"

#include "cli/cli.h"

#include <QFile>
#include <QFileInfo>
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <fcntl.h>
#include <unistd.h>

namespace holdfast
{

namespace
{

/// Whether the stream took all of it.
bool write(std::FILE *stream, const QString &text)
{
    const QByteArray bytes = text.toUtf8();
    const auto size = static_cast<std::size_t>(bytes.size());
    return std::fwrite(bytes.constData(), 1, size, stream) == size && std::fflush(stream) == 0;
}

QByteArray allOfStandardInput()
{
    QFile in;
    if (!in.open(stdin, QIODevice::ReadOnly))
        return {};
    return in.readAll();
}

} // namespace

bool isVerb(const QString &word)
{
    const bool known = std::any_of(cli::verbs().begin(), cli::verbs().end(),
                                   [&word](const cli::Verb &verb) { return verb.name == word; });
    if (known)
        return true;
    static const QStringList general{QStringLiteral("--help"), QStringLiteral("-h"), QStringLiteral("help"),
                                     QStringLiteral("--version")};
    if (general.contains(word))
        return true;
    return !word.startsWith(QLatin1Char('-')) && !word.endsWith(QLatin1String(".hfc")) &&
           !QFileInfo::exists(word);
}

bool paintsPages(const QString &verb)
{
    static const QStringList painting{QStringLiteral("demo"),    QStringLiteral("labels"),
                                      QStringLiteral("blanks"),  QStringLiteral("sheet"),
                                      QStringLiteral("packing"), QStringLiteral("report"),
                                      QStringLiteral("handoff"), QStringLiteral("quality")};
    return painting.contains(verb);
}

void guardStandardStreams()
{
    for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) {
        // Open for reading only, so that writing to it still fails and is told.
        if (fcntl(stream, F_GETFD) == -1 && open("/dev/null", O_RDONLY) == -1)
            std::abort();
    }
}

int runCli(const QStringList &arguments)
{
    bool told = true;
    const int code = cli::run(
        arguments,
        {[&told](const QString &text) { told = write(stdout, text) && told; },
         [](const QString &text) { (void)write(stderr, text); }, // nowhere is left to tell it
         allOfStandardInput,
         [] { return std::chrono::time_point_cast<Microseconds>(std::chrono::system_clock::now()); }});
    if (told)
        return code;
    (void)write(stderr,
                QStringLiteral("holdfast %1: Standard output could not be written to (closed or full); what "
                               "was saved before stays saved.\n")
                    .arg(arguments.value(0)));
    return code == 0 ? 1 : code;
}

} // namespace holdfast
