// SPDX-License-Identifier: GPL-3.0-or-later
#include "exchange/stations.h"

#include <QProcess>
#include <QThread>
#include <random>

using namespace holdfast;

namespace
{
class KilledWhileTakingIn : public test::Stations
{
};
} // namespace

TEST_F(KilledWhileTakingIn, LeavesEachFileWhollyInOrWhollyOut)
{
    // Eight files, each with a few more entries of the deck.
    QStringList files;
    std::map<qint64, QStringList> states; // the van's tables by how far it has the deck's chain
    stations.emplace("mirror", [&] {
        const QString copy = path(QStringLiteral("mirror.hfc"));
        EXPECT_TRUE(execSql(at("van").db().connection(), QStringLiteral("VACUUM INTO ?"), {copy}));
        auto opened = CruiseFile::open(copy, Database::Access::ReadWrite, rules());
        EXPECT_TRUE(opened);
        return std::move(*opened);
    }());
    const auto headHere = [this](const std::string &name) {
        const auto heads = chainHeads(at(name).db());
        return heads ? heads->value(QStringLiteral("deck")).seq : -1;
    };
    states[headHere("mirror")] = dump(at("mirror"));
    for (int i = 0; i < 8; ++i) {
        for (int n = 0; n < 12; ++n)
            ASSERT_OK(log("deck", n % 2 ? "R1" : "R2", "rock"));
        const auto x = from("deck");
        ASSERT_OK(x);
        files << path(QStringLiteral("%1.hfx").arg(i));
        ASSERT_OK(writeExchangeFile(files.back(), *x));
        ASSERT_OK(takeIn(at("mirror"), *x, keys));
        states[headHere("mirror")] = dump(at("mirror"));
    }
    const QString van = at("van").db().path();
    const QString taker =
        qEnvironmentVariable("HOLDFAST_BINARY_DIR") + QStringLiteral("/tests/exchange/taker");
    std::mt19937 random(20260312);
    int inTheMiddle = 0;
    for (int round = 0; round < 12; ++round) {
        stations.erase("van");
        QProcess child;
        child.start(taker, QStringList{van, keys.join(QLatin1Char(','))} + files);
        ASSERT_TRUE(child.waitForStarted());
        // In each third round one file at least is in; how long that takes is the machine's business.
        const qsizetype lines = round % 3 == 0 ? 2 : 1;
        QByteArray said;
        while (said.count('\n') < lines) {
            ASSERT_TRUE(child.waitForReadyRead(60000)) << child.readAllStandardError().toStdString();
            said += child.readAllStandardOutput();
        }
        QThread::usleep(1000 * (random() % 60));
        child.kill();
        ASSERT_TRUE(child.waitForFinished());
        auto opened = CruiseFile::open(van, Database::Access::ReadWrite, rules());
        ASSERT_OK(opened);
        stations.emplace("van", std::move(*opened));
        const qint64 head = headHere("van");
        ASSERT_TRUE(states.count(head)) << "the chain ends at " << head << ", in the middle of a file";
        EXPECT_EQ(dump(at("van")), states.at(head));
        if (head > 0 && head < states.rbegin()->first)
            ++inTheMiddle;
    }
    EXPECT_GT(inTheMiddle, 0) << "at least one kill came between the first file and the last";
}
