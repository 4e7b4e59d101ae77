// SPDX-License-Identifier: GPL-3.0-or-later
// The scientist's window: it reads only, and follows what another program writes into the file.
#include "watch_list.h"

#include "a_van.h"

#include <gtest/gtest.h>

namespace holdfast::test
{
namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class Watching : public testing::Test
{
protected:
    void SetUp() override
    {
        reader.desk.readOnly();
        reader.desk.openFile(m_van.path());
        ASSERT_TRUE(QTest::qWaitFor([&] { return reader.desk.dive() == 1; }));
    }
    Van m_van;
    Workplace reader;
};

TEST_F(Watching, FollowsTheFileAsItGrows)
{
    EXPECT_EQ(reader.found.answer(), s("nothing yet"));
    auto file = CruiseFile::open(m_van.path(), Database::Access::ReadWrite, allVerbRules());
    ASSERT_TRUE(file);
    const Act act{s("Mara"), *parseIsoUtc("2026-03-12T10:00:00Z")};
    SampleDetails d;
    d.slot = s("B1");
    d.kind = s("coral");
    ASSERT_TRUE(stampSample(*file, act, 1, act.now, d, *KindTable::load()));
    ASSERT_TRUE(takeStamp(*file, act, 1, act.now + std::chrono::seconds(9)));
    ASSERT_TRUE(QTest::qWaitFor([&] {
        return reader.found.answer() == s("1 sample: coral 1; 1 stamp waits");
    })) << reader.found.answer().toStdString();
    ASSERT_EQ(reader.found.lines().size(), 1);
    EXPECT_TRUE(reader.found.lines()[0].startsWith(s("001   10:00   B1   coral")))
        << reader.found.lines()[0].toStdString();
    EXPECT_TRUE(reader.dive.slotPlan()->counts().startsWith(s("free 27")))
        << reader.dive.slotPlan()->counts().toStdString();
}

TEST_F(Watching, WritesNothingAndSaysSo)
{
    const auto before = m_van.verbs();
    reader.desk.setPerson(s("Ana"));
    reader.dive.stamp();
    reader.dive.reachNextPhase();
    ASSERT_TRUE(QTest::qWaitFor([&] { return reader.notices.total() > 0; }));
    EXPECT_EQ(reader.dive.stamps()->count(), 0) << "what was not written must not look as if it waited";
    EXPECT_EQ(m_van.verbs(), before);
}

TEST(WatchingLiveFeeds, LeavesThemToTheWindowThatRecords)
{
    Van van;
    (void)van.setUdpFeed("CTD", "ctd-csv", 1500);
    Workplace reader;
    reader.desk.readOnly();
    reader.desk.openFile(van.path());
    ASSERT_TRUE(QTest::qWaitFor([&] { return reader.desk.dive() == 1; }));
    reader.feeds.openLive();
    EXPECT_FALSE(QFile::exists(van.path() + s(".feeds")));
    van.open();
    ASSERT_TRUE(QTest::qWaitFor([&] { return van.work.feeds.state().feeds.size() == 1; }, 4000));
    EXPECT_TRUE(reader.feeds.state().feeds.empty());
    EXPECT_TRUE(QFile::exists(van.path() + s(".feeds")));
}

} // namespace
} // namespace holdfast::test
