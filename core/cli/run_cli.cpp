// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/run_cli.h"

#include "cli/cli.h"

#include <QFile>
#include <QFileInfo>
#include <algorithm>
#include <cstdio>

namespace holdfast
{

namespace
{

void write(std::FILE *stream, const QString &text)
{
    const QByteArray bytes = text.toUtf8();
    std::fwrite(bytes.constData(), 1, static_cast<std::size_t>(bytes.size()), stream);
    std::fflush(stream);
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
    static const QStringList painting{QStringLiteral("demo"), QStringLiteral("labels"),
                                      QStringLiteral("sheet"), QStringLiteral("report")};
    return painting.contains(verb);
}

int runCli(const QStringList &arguments)
{
    return cli::run(
        arguments,
        {[](const QString &text) { write(stdout, text); }, [](const QString &text) { write(stderr, text); },
         allOfStandardInput,
         [] { return std::chrono::time_point_cast<Microseconds>(std::chrono::system_clock::now()); }});
}

} // namespace holdfast
