// SPDX-License-Identifier: GPL-3.0-or-later
#include "notices.h"

#include <QAbstractItemModelTester>
#include <gtest/gtest.h>

namespace holdfast
{
namespace
{

QStringList shown(const Notices &notices)
{
    QStringList all;
    for (int i = 0; i < notices.rowCount(); ++i)
        all << notices.data(notices.index(i), static_cast<int>(Notices::Role::Sentence)).toString();
    return all;
}

TEST(Notices, ShowsThreeAndCountsTheRest)
{
    Notices n;
    QAbstractItemModelTester tester(&n, QAbstractItemModelTester::FailureReportingMode::Fatal);
    for (const char *topic : {"a", "b", "c", "d", "e"})
        n.say(QString::fromLatin1(topic), Notices::Weight::Care, QString::fromLatin1(topic));
    EXPECT_EQ(shown(n), (QStringList{QStringLiteral("e"), QStringLiteral("d"), QStringLiteral("c")}));
    EXPECT_EQ(n.more(), 2);
    n.putAway();
    EXPECT_EQ(shown(n), (QStringList{QStringLiteral("d"), QStringLiteral("c"), QStringLiteral("b")}));
    n.settle(QStringLiteral("a")); // out of sight
    EXPECT_EQ(n.more(), 0);
    EXPECT_EQ(shown(n).size(), 3);
}

TEST(Notices, TheWorstStandsFirst)
{
    Notices n;
    QAbstractItemModelTester tester(&n, QAbstractItemModelTester::FailureReportingMode::Fatal);
    n.say(QStringLiteral("p"), Notices::Weight::Problem, QStringLiteral("problem"));
    n.say(QStringLiteral("n"), Notices::Weight::Note, QStringLiteral("note"));
    n.say(QStringLiteral("c"), Notices::Weight::Care, QStringLiteral("care"));
    EXPECT_EQ(shown(n),
              (QStringList{QStringLiteral("problem"), QStringLiteral("care"), QStringLiteral("note")}));
}

TEST(Notices, ATopicIsSaidOnce)
{
    Notices n;
    QAbstractItemModelTester tester(&n, QAbstractItemModelTester::FailureReportingMode::Fatal);
    n.say(QStringLiteral("ctd"), Notices::Weight::Care, QStringLiteral("CTD silent for 10 s"));
    n.say(QStringLiteral("ctd"), Notices::Weight::Care, QStringLiteral("CTD silent for 11 s"));
    EXPECT_EQ(shown(n), QStringList{QStringLiteral("CTD silent for 11 s")});
    n.say(QStringLiteral("ctd"), Notices::Weight::Problem, QStringLiteral("CTD lost"));
    EXPECT_EQ(shown(n), QStringList{QStringLiteral("CTD lost")});
    n.settle(QStringLiteral("ctd"));
    EXPECT_EQ(n.total(), 0);
}

} // namespace
} // namespace holdfast
