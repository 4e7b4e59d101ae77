// SPDX-License-Identifier: GPL-3.0-or-later
// Logs samples as fast as it can and prints each id once its commit is durable, until it is killed.
#include "dive/actions.h"
#include "dive/projection.h"

#include <QCoreApplication>
#include <cstdio>

using namespace holdfast;

int main(int argc, char **argv)
{
    QCoreApplication app(argc, argv);
    const auto kinds = KindTable::load();
    auto file =
        CruiseFile::open(QString::fromLocal8Bit(argv[1]), Database::Access::ReadWrite, diveVerbRules());
    if (!file || !kinds) {
        std::fprintf(stderr, "%s\n", qPrintable(file ? kinds.error().sentence : file.error().sentence));
        return 1;
    }
    SampleDetails details;
    details.slot = QStringLiteral("R1");
    details.kind = QStringLiteral("rock");
    for (std::int64_t i = 0;; ++i) {
        const Act act{QStringLiteral("Mara"), utcFromMicroseconds(1'773'325'327'000'000 + i * 1'000'000)};
        const auto logged = stampSample(*file, act, 1, act.now, details, *kinds);
        if (!logged) {
            std::fprintf(stderr, "%s\n", qPrintable(logged.error().sentence));
            return 1;
        }
        std::printf("%s\n", qPrintable(logged->id));
        std::fflush(stdout);
    }
}
