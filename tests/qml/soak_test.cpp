// SPDX-License-Identifier: GPL-3.0-or-later
// The program is killed at random moments while stamps, a feed and taking in go on: what the screen called
// saved is there. HOLDFAST_SOAK_ROUNDS says how often; few of them run with all tests.
#include "a_van.h"
#include "custody/audit.h"
#include "dive/line_recording.h"

#include <QElapsedTimer>
#include <QProcess>
#include <QUdpSocket>
#include <gtest/gtest.h>
#include <random>

namespace holdfast::test
{
namespace
{

constexpr int linesBefore = 50'000;

/// So many lines that taking in lasts a while.
void recordBefore(CruiseFile &file)
{
    const auto profile = feedProfile(QStringLiteral("ctd-csv"));
    ASSERT_TRUE(profile);
    const UtcTime begin = utcFromCivil(2026, 3, 12, 9, 0, 0).value_or(UtcTime{});
    const Recording recording{QStringLiteral("before"),
                              1,
                              QStringLiteral("van"),
                              QStringLiteral("CTD"),
                              QStringLiteral("udp://127.0.0.1:1"),
                              QStringLiteral("ctd-csv"),
                              profile->json,
                              begin};
    ReceivedLines lines;
    lines.add(microsecondsOf(begin),
              "time_utc,conductivity_mS_cm,temperature_degC,pressure_dbar,oxygen_umol_kg");
    for (int i = 0; i < linesBefore; ++i) {
        const UtcTime time = begin + std::chrono::milliseconds(40 * i);
        lines.add(microsecondsOf(time), toIso(time).toLatin1() + ",32." +
                                            QByteArray::number(i * 7919 % 9973) + ",3.4,1000.0,180.1");
    }
    const auto packed = packLines(lines, ',');
    ASSERT_TRUE(packed);
    ASSERT_TRUE(storeLines(file, {{recording, *packed}}));
}

struct Found {
    qint64 stamps = 0, lines = 0, half = 0;
    QString integrity;
};

Found look(const QString &path)
{
    const auto db = Database::open(path, Database::Access::ReadOnly);
    EXPECT_TRUE(db);
    const auto one = [&db](const char *sql) {
        auto row = query(db->connection(), QString::fromLatin1(sql));
        EXPECT_TRUE(row && row->next()) << sql;
        return row->value(0);
    };
    return {one("SELECT count(*) FROM ledger WHERE verb='stamp taken'").toLongLong(),
            one("SELECT coalesce(sum(lines), 0) FROM log_received").toLongLong(),
            one("SELECT count(*) FROM log_in_making").toLongLong(), one("PRAGMA integrity_check").toString()};
}

TEST(Soak, NothingTheScreenCalledSavedIsLostWhenTheProgramIsKilled)
{
    const int rounds = std::max(2, qEnvironmentVariableIntValue("HOLDFAST_SOAK_ROUNDS"));
    const Van van;
    {
        auto file = CruiseFile::open(van.path(), Database::Access::ReadWrite, allVerbRules());
        ASSERT_TRUE(file);
        recordBefore(*file);
    }
    const quint16 port = van.setUdpFeed("CTD", "ctd-csv", 60000);
    std::mt19937 random(static_cast<unsigned>(rounds));
    qint64 stamps = 0, lines = linesBefore, half = 0;
    for (int round = 0; round < rounds; ++round) {
        QProcess worker;
        worker.setProcessChannelMode(QProcess::ForwardedErrorChannel);
        auto environment = QProcessEnvironment::systemEnvironment();
        environment.insert(QStringLiteral("XDG_CONFIG_HOME"),
                           van.folder()); // not the settings of who runs this
        worker.setProcessEnvironment(environment);
        worker.start(qEnvironmentVariable("HOLDFAST_BINARY_DIR") + QStringLiteral("/tests/qml/soak_worker"),
                     {van.path(), QString::number(port), QString::number(round)});
        ASSERT_TRUE(worker.waitForStarted());
        QElapsedTimer clock;
        clock.start();
        const auto lives = static_cast<int>(900 + random() % 2500);
        while (clock.elapsed() < lives)
            worker.waitForReadyRead(std::max(1, lives - static_cast<int>(clock.elapsed())));
        worker.kill(); // SIGKILL
        ASSERT_TRUE(worker.waitForFinished(5000));
        qint64 durable = 0;
        for (const QByteArray &said : worker.readAllStandardOutput().split('\n')) {
            stamps += said == "stamp" ? 1 : 0;
            if (said.startsWith("lines "))
                durable = said.mid(6).toLongLong();
        }
        lines += durable;
        const Found found = look(van.path());
        ASSERT_EQ(found.integrity, QStringLiteral("ok"));
        EXPECT_GE(found.stamps, stamps) << "round " << round;
        EXPECT_GE(found.lines, lines) << "round " << round;
        half += found.half > 0 ? 1 : 0;
        // What was written and not yet called saved is no loss; from here on it counts.
        stamps = found.stamps;
        lines = found.lines;
    }
    EXPECT_GT(stamps, rounds * 3);
    EXPECT_GT(lines, linesBefore);
    auto file = CruiseFile::open(van.path(), Database::Access::ReadWrite, allVerbRules());
    ASSERT_TRUE(file);
    const auto turn = [&](const std::function<Done(CruiseFile &)> &work) { return work(*file); };
    const Act mara{QStringLiteral("Mara"), HostClock().utc()};
    ASSERT_TRUE(closeLeftOpen(*file, mara));
    const auto taken = takeInLinesInTurns(file->db(), turn, mara, 1, QStringLiteral("CTD"));
    ASSERT_TRUE(taken || taken.error().kind == ErrorKind::Duplicate) << taken.error().sentence.toStdString();
    EXPECT_EQ(look(van.path()).half, 0);
    const auto report = auditCruise(*file);
    ASSERT_TRUE(report);
    EXPECT_TRUE(report->holds()) << report->text().toStdString();
    std::printf("%d rounds: %lld stamps, %lld lines, %lld times a log was half in\n", rounds,
                static_cast<long long>(stamps), static_cast<long long>(lines), static_cast<long long>(half));
}

} // namespace
} // namespace holdfast::test
