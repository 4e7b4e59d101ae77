// SPDX-License-Identifier: GPL-3.0-or-later
// Takes exchange files in, one after the other, and says which are durable, until it is killed: taker FILE
// KEYS X…
#include "custody/tally.h"
#include "exchange/take_in.h"

#include <QCoreApplication>
#include <cstdio>

using namespace holdfast;

int main(int argc, char **argv)
{
    QCoreApplication app(argc, argv);
    const QStringList words = app.arguments();
    auto file = CruiseFile::open(words.at(1), Database::Access::ReadWrite, allVerbRules());
    if (!file)
        return 1;
    std::printf("ready\n");
    std::fflush(stdout);
    for (const QString &path : words.mid(3)) {
        const auto read = readExchangeFile(path);
        const auto taken =
            read ? takeIn(*file, *read, words.at(2).split(QLatin1Char(','))) : Result<TakenIn>(read.error());
        if (!taken) {
            std::fprintf(stderr, "%s\n", qPrintable(taken.error().sentence));
            return 1;
        }
        std::printf("%s\n", qPrintable(path));
        std::fflush(stdout);
    }
    return 0;
}
