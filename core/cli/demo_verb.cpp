// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"
#include "demo_db/make_demo.h"

namespace holdfast::cli
{

namespace
{

Done demo(const Arguments &a, const World &world)
{
    const QString folder = a.positional().at(0);
    const auto files =
        demo::makeDemo(folder, [&world](const QString &line) { world.out(line + QLatin1Char('\n')); });
    if (!files)
        return files.error();
    world.out(QStringLiteral("The demo cruise is in %1 (everything in it is invented):\n").arg(folder));
    for (const QString &file : *files)
        world.out(QStringLiteral("  %1/%2\n").arg(folder, file));
    return {};
}

} // namespace

QList<Verb> demoVerbs()
{
    return {{QStringLiteral("demo"),
             {QStringLiteral("DIR")},
             {},
             QStringLiteral("Makes the demo cruise, invented from end to end, in a new folder."),
             {},
             demo}};
}

} // namespace holdfast::cli
