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

TEST(StampModel, RowsThatMoveUpSayTheirNewDigit)
{
    StampModel model;
    model.update({waiting(1000, "u1"), waiting(2000, "u2"), waiting(3000, "u3")});
    QStringList shown{QStringLiteral("1"), QStringLiteral("2"), QStringLiteral("3")}; // as a view keeps them
    QObject::connect(&model, &QAbstractItemModel::rowsRemoved, &model,
                     [&](const QModelIndex &, int first, int) { shown.removeAt(first); });
    QObject::connect(
        &model, &QAbstractItemModel::rowsInserted, &model, [&](const QModelIndex &, int first, int) {
            shown.insert(
                first, model.data(model.index(first), static_cast<int>(StampModel::Role::Digit)).toString());
        });
    QObject::connect(
        &model, &QAbstractItemModel::dataChanged, &model,
        [&](const QModelIndex &from, const QModelIndex &to) {
            for (int i = from.row(); i <= to.row(); ++i)
                shown[i] = model.data(model.index(i), static_cast<int>(StampModel::Role::Digit)).toString();
        });
    model.drop(1000);
    EXPECT_EQ(shown, (QStringList{QStringLiteral("1"), QStringLiteral("2")}));
    model.addCaught(500, {}, {}); // from a clock that stepped back
    EXPECT_EQ(shown, (QStringList{QStringLiteral("1"), QStringLiteral("2"), QStringLiteral("3")}));
}

TEST(StampModel, TellsWhatWasAroundAStampAndWhatOfItWasOld)
{
    StampModel model;
    const auto text = [&model](StampModel::Role role) {
        return model.data(model.index(0), static_cast<int>(role)).toString();
    };
    model.addCaught(1000,
                    {{QStringLiteral("depth_m"), QStringLiteral("1432.6")},
                     {QStringLiteral("position"), QStringLiteral("21° S  173° W")},
                     {QStringLiteral("uncertainty95_m"), QStringLiteral("8.6")},
                     {QStringLiteral("temperature_degC"), QStringLiteral("3.412")},
                     {QStringLiteral("old temperature_degC"), QStringLiteral("CTD, 42 s old")}},
                    {});
    EXPECT_EQ(text(StampModel::Role::DepthText), QStringLiteral("1432.6 m"));
    EXPECT_EQ(text(StampModel::Role::SeenText),
              QStringLiteral("21° S  173° W ±8.6 m, provisional · 3.412 °C (CTD, 42 s old)"));
    model.drop(1000);
    model.addCaught(1000, {}, {});
    EXPECT_EQ(text(StampModel::Role::SeenText), QStringLiteral("no live position · no live water values"));
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
