// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/line_recorder.h"

#include "live_support.h"

#include <random>

namespace holdfast::test
{
namespace
{

class Recorder : public WithCruise
{
protected:
    Recording recording()
    {
        return {QStringLiteral("r"),
                1,
                QStringLiteral("van"),
                QStringLiteral("nav"),
                QStringLiteral("udp://127.0.0.1:1"),
                QStringLiteral("nmea"),
                "{}",
                m_now};
    }
    QByteArray recorded()
    {
        QByteArray all;
        EXPECT_TRUE(
            recordedLines(file().db(), 1, QStringLiteral("nav"), [&all](const ReceivedLines &lines) -> Done {
                all += lines.text;
                return {};
            }));
        return all;
    }
    std::vector<LineBatchPtr> m_given;
    LineRecorder m_recorder{[this](const LineBatchPtr &batch) { m_given.push_back(batch); }};
};

TEST_F(Recorder, WaitsForTheBatchOnItsWayAndKeepsTheOrder)
{
    m_recorder.begin(1, recording(), ',');
    m_recorder.add(1, 1, "a");
    m_recorder.handOn();
    m_recorder.add(1, 2, "b");
    m_recorder.handOn();
    ASSERT_EQ(m_given.size(), 1u);
    EXPECT_EQ(m_recorder.count(1).durable, 0);
    ASSERT_OK(m_given[0]->store(file()));
    m_recorder.handOn();
    ASSERT_EQ(m_given.size(), 2u);
    EXPECT_EQ(m_recorder.count(1).durable, 1);
    ASSERT_OK(m_given[1]->store(file()));
    EXPECT_EQ(recorded(), QByteArray("a\nb\n"));
}

TEST_F(Recorder, WhatCouldNotBeStoredIsTriedAgainAndToldUntilItIs)
{
    m_recorder.begin(1, recording(), ',');
    m_recorder.add(1, 1, "a");
    m_recorder.handOn();
    m_given[0]->refuse(fail(ErrorKind::Busy, QStringLiteral("Locked.")));
    m_recorder.add(1, 2, "b");
    m_recorder.handOn();
    EXPECT_EQ(m_recorder.trouble(), QStringLiteral("Locked."));
    ASSERT_EQ(m_given.size(), 2u);
    ASSERT_OK(m_given[1]->store(file()));
    m_recorder.look();
    EXPECT_TRUE(m_recorder.trouble().isEmpty());
    EXPECT_EQ(m_recorder.count(1).durable, 2);
    EXPECT_EQ(recorded(), QByteArray("a\nb\n"));
}

TEST_F(Recorder, TheLastBatchBringsWhatFailedWhileItWasOnItsWay)
{
    m_recorder.begin(1, recording(), ',');
    m_recorder.add(1, 1, "a");
    m_recorder.handOn();
    m_recorder.add(1, 2, "b");
    const auto ended = m_recorder.end();
    ASSERT_EQ(ended.begun.size(), 1u);
    ASSERT_TRUE(ended.last);
    m_given[0]->refuse(fail(ErrorKind::Busy, QStringLiteral("Locked.")));
    ASSERT_OK(ended.last->store(file()));
    EXPECT_EQ(recorded(), QByteArray("a\nb\n"));
}

TEST_F(Recorder, TheLastBatchCanBeStoredAgainWhenItWasRefused)
{
    m_recorder.begin(1, recording(), ',');
    m_recorder.add(1, 1, "a");
    m_recorder.handOn();
    m_recorder.add(1, 2, "b");
    const auto ended = m_recorder.end();
    ASSERT_TRUE(ended.last);
    m_given[0]->refuse(fail(ErrorKind::Busy, QStringLiteral("Locked.")));
    {
        auto other = Database::open(file().db().path(), Database::Access::ReadWrite);
        ASSERT_OK(other);
        auto lock = Transaction::begin(other->connection());
        ASSERT_OK(lock);
        const auto refused = ended.last->store(file());
        ASSERT_FALSE(refused);
        EXPECT_EQ(refused.error().kind, ErrorKind::Busy);
        EXPECT_EQ(ended.last->outcome(), LineBatch::Outcome::Failed);
    }
    ASSERT_OK(ended.last->store(file()));
    EXPECT_EQ(ended.last->outcome(), LineBatch::Outcome::Saved);
    EXPECT_EQ(recorded(), QByteArray("a\nb\n"));
}

TEST_F(Recorder, LeavesNoBatchWhenAllIsOnTheDisk)
{
    m_recorder.begin(1, recording(), ',');
    m_recorder.add(1, 1, "a");
    m_recorder.handOn();
    ASSERT_OK(m_given[0]->store(file()));
    EXPECT_FALSE(m_recorder.end().last);
}

TEST_F(Recorder, AFullDiskLosesNothingAndIsStoredWhenThereIsRoomAgain)
{
    ASSERT_OK(execSql(file().db().connection(), QStringLiteral("PRAGMA wal_checkpoint(TRUNCATE)")));
    auto pages = query(file().db().connection(), QStringLiteral("PRAGMA page_count"));
    ASSERT_OK(pages);
    ASSERT_TRUE(pages->next());
    const QString full = QStringLiteral("PRAGMA max_page_count=%1").arg(pages->integer(0));
    pages->reset();
    auto limit = query(file().db().connection(), full);
    ASSERT_OK(limit);
    limit->reset();
    m_recorder.begin(1, recording(), ',');
    std::mt19937 random(3);
    for (int i = 0; i < 200; ++i) {
        QByteArray line(100, ' ');
        for (char &c : line)
            c = static_cast<char>('0' + random() % 70);
        m_recorder.add(1, i, line);
    }
    m_recorder.handOn();
    const auto refused = m_given[0]->store(file());
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().kind, ErrorKind::Unwritable);
    EXPECT_TRUE(refused.error().sentence.contains(QStringLiteral("disk is full")))
        << refused.error().sentence.toStdString();
    m_recorder.add(1, 200, "after");
    m_recorder.handOn();
    EXPECT_TRUE(m_recorder.trouble().contains(QStringLiteral("disk is full")));
    limit = query(file().db().connection(), QStringLiteral("PRAGMA max_page_count=1000000"));
    ASSERT_OK(limit);
    limit->reset();
    ASSERT_OK(m_given[1]->store(file()));
    m_recorder.look();
    EXPECT_TRUE(m_recorder.trouble().isEmpty());
    EXPECT_EQ(recorded().count('\n'), 201);
}

} // namespace
} // namespace holdfast::test
