// SPDX-License-Identifier: GPL-3.0-or-later
#include "stamp_model.h"

#include <QAbstractItemModelTester>
#include <gtest/gtest.h>

namespace holdfast
{
namespace
{

StampInfo waiting(qint64 us, const char *uuid)
{
    StampInfo stamp;
    stamp.uuid = QString::fromLatin1(uuid);
    stamp.time = utcFromMicroseconds(us);
    stamp.state = QStringLiteral("waiting");
    return stamp;
}

QString life(const StampModel &model, int row)
{
    return model.data(model.index(row), static_cast<int>(StampModel::Role::LifeWord)).toString();
}

TEST(StampModel, SaysSavedOnlyAfterTheCommit)
{
    StampModel model;
    QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);
    model.addCaught(1000, {}, {});
    EXPECT_EQ(life(model, 0), QStringLiteral("caught"));
    model.update({}); // a snapshot from before the commit must not lose it
    ASSERT_EQ(model.count(), 1);
    model.setSaved(1000, QStringLiteral("u1"));
    EXPECT_EQ(life(model, 0), QStringLiteral("saved"));
}

TEST(StampModel, ASnapshotThatComesBeforeTheReplyMakesNoSecondRow)
{
    StampModel model;
    QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);
    model.addCaught(1000, {}, {});
    model.update({waiting(1000, "u1")});
    EXPECT_EQ(model.count(), 1);
    EXPECT_EQ(life(model, 0), QStringLiteral("saved"));
}

TEST(StampModel, DigitsStayWhileOthersCome)
{
    StampModel model;
    QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);
    model.update({waiting(1000, "u1"), waiting(2000, "u2")});
    model.addCaught(3000, {}, {});
    EXPECT_EQ(model.rows()[0].uuid, QStringLiteral("u1"));
    EXPECT_EQ(model.rows()[1].uuid, QStringLiteral("u2"));
    model.update({waiting(2000, "u2"), waiting(3000, "u3")});
    ASSERT_EQ(model.count(), 2);
    EXPECT_EQ(model.rows()[0].uuid, QStringLiteral("u2"));
}

} // namespace
} // namespace holdfast
