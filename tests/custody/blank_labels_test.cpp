// SPDX-License-Identifier: GPL-3.0-or-later
#include "custody/blank_labels.h"

#include "custody/find.h"
#include "custody/items.h"
#include "custody/specimens.h"
#include "custody/tally.h"
#include "support/a_cruise.h"
#include "support/old_schema.h"

#include <QFile>
#include <gtest/gtest.h>

using namespace holdfast;
using test::at;

namespace
{

class BlankLabels : public test::WithCruise
{
protected:
    [[nodiscard]] VerbRules rules() const override { return allVerbRules(); }
    Result<QString> bind(const char *label, const char *item, const char *reason = "")
    {
        return bindLabel(file(), act(), QString::fromLatin1(label), QString::fromLatin1(item),
                         QString::fromLatin1(reason));
    }
    QString heldBy(const char *label)
    {
        const auto item = readItem(file().db(), QString::fromLatin1(label));
        return item ? item->id : item.error().sentence;
    }
};

} // namespace

TEST_F(BlankLabels, NumbersAreGivenOnceAndStandBesideThoseOfSamples)
{
    const auto first = takeBlankLabels(file(), act(), 1, 20);
    ASSERT_OK(first);
    EXPECT_EQ(first->first, 1);
    const auto second = takeBlankLabels(file(), act(), 1, 5);
    ASSERT_OK(second);
    EXPECT_EQ(second->first, 21);
    const auto ids = blankLabelIds(file().db(), 1, *second);
    ASSERT_OK(ids);
    EXPECT_EQ(ids->front(), QStringLiteral("TK26-01-L021"));
    EXPECT_EQ(ids->back(), QStringLiteral("TK26-01-L025"));
    ASSERT_OK(sample(QStringLiteral("B1"), QStringLiteral("coral")));
    EXPECT_EQ(heldBy("TK26-01-001"), QStringLiteral("TK26-01-001"));
    EXPECT_FALSE(takeBlankLabels(file(), act(), 1, 0));
    EXPECT_FALSE(takeBlankLabels(file(), act(), 1, 2001));
    EXPECT_FALSE(takeBlankLabels(file(), act(), 9, 1));
    expectTablesFitTheLedger();
}

TEST_F(BlankLabels, AScannedLabelLeadsToWhatItIsOn)
{
    ASSERT_OK(takeBlankLabels(file(), act(), 1, 20));
    ASSERT_OK(sample(QStringLiteral("B1"), QStringLiteral("coral")));
    SpecimenDetails tissue;
    tissue.material = QStringLiteral("tissue");
    ASSERT_OK(splitSpecimen(file(), act(), QStringLiteral("TK26-01-001"), tissue));
    const auto bound = bindLabel(file(), act(), printedId(QStringLiteral("TK26-01-L007")).toLower(),
                                 QStringLiteral("tk26-01-001.1"));
    ASSERT_OK(bound);
    EXPECT_EQ(*bound, QStringLiteral("TK26-01-001.1"));
    EXPECT_EQ(heldBy("TK26-01-L007"), QStringLiteral("TK26-01-001.1"));
    const auto rules = HoldingRules::load();
    ASSERT_OK(rules);
    FindQuery query;
    query.text = QStringLiteral("tk26-01-l007");
    const auto found = findItems(file().db(), query, *rules, act().now);
    ASSERT_OK(found);
    ASSERT_EQ(found->size(), 1U);
    EXPECT_EQ(found->front().id, QStringLiteral("TK26-01-001.1"));
    // One thing may carry several labels.
    ASSERT_OK(bind("TK26-01-L008", "TK26-01-001.1"));
    const auto labels = labelsOfItem(file().db(), QStringLiteral("TK26-01-001.1"));
    ASSERT_OK(labels);
    EXPECT_EQ(*labels, (QStringList{QStringLiteral("TK26-01-L007"), QStringLiteral("TK26-01-L008")}));
    expectTablesFitTheLedger();
}

TEST_F(BlankLabels, ALabelIsMovedOnlyWithAReasonAndTheEarlierStaysInTheLedger)
{
    ASSERT_OK(takeBlankLabels(file(), act(), 1, 3));
    ASSERT_OK(sample(QStringLiteral("B1"), QStringLiteral("coral")));
    ASSERT_OK(sample(QStringLiteral("B2"), QStringLiteral("coral")));
    ASSERT_OK(bind("TK26-01-L001", "TK26-01-001"));
    const qint64 before = entries();
    EXPECT_FALSE(bind("TK26-01-L001", "TK26-01-001"));
    const auto refused = bind("TK26-01-L001", "TK26-01-002");
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().kind, ErrorKind::Refused);
    EXPECT_TRUE(refused.error().sentence.contains(QStringLiteral("TK26-01-001")))
        << refused.error().sentence.toStdString();
    EXPECT_EQ(entries(), before);
    ASSERT_OK(bind("TK26-01-L001", "TK26-01-002", "stuck on the wrong jar"));
    EXPECT_EQ(heldBy("TK26-01-L001"), QStringLiteral("TK26-01-002"));
    const auto left = labelsOfItem(file().db(), QStringLiteral("TK26-01-001"));
    ASSERT_OK(left);
    EXPECT_TRUE(left->isEmpty());
    EXPECT_EQ(entries(), before + 1);
    expectTablesFitTheLedger();
}

TEST_F(BlankLabels, WhatWasNeverPrintedOrIsMistypedBindsNothing)
{
    ASSERT_OK(takeBlankLabels(file(), act(), 1, 3));
    ASSERT_OK(sample(QStringLiteral("B1"), QStringLiteral("coral")));
    const qint64 before = entries();
    for (const char *label : {"TK26-01-L004", "TK26-02-L001", "TK26-01-001", "TK26-01-L0001", "", "L001"})
        EXPECT_FALSE(bind(label, "TK26-01-001")) << label;
    EXPECT_FALSE(bind("TK26-01-L001", "TK26-01-009"));
    QString wrong = printedId(QStringLiteral("TK26-01-L001"));
    wrong.replace(wrong.size() - 1, 1,
                  wrong.endsWith(QLatin1Char('A')) ? QStringLiteral("B") : QStringLiteral("A"));
    const auto mistyped = bindLabel(file(), act(), wrong, QStringLiteral("TK26-01-001"));
    ASSERT_FALSE(mistyped);
    EXPECT_EQ(mistyped.error().kind, ErrorKind::Malformed);
    EXPECT_EQ(entries(), before);
    expectTablesFitTheLedger();
}

TEST_F(BlankLabels, AFileOfTheEarlierSchemaIsUpgradedAndKeepsEverything)
{
    ASSERT_OK(sample(QStringLiteral("B1"), QStringLiteral("coral")));
    const qint64 before = entries();
    int earlier = 0;
    for (const SchemaStep &step : schemaSteps()) {
        if (QString::fromUtf8(step.statements[0]).contains(QStringLiteral("blank_label")))
            earlier = step.to - 1;
    }
    ASSERT_GT(earlier, 2);
    test::dropTablesOfStepsAfter(file().db().connection(), earlier);
    ASSERT_OK(execSql(file().db().connection(), QStringLiteral("PRAGMA user_version=%1").arg(earlier)));
    m_file.reset();
    auto opened = CruiseFile::open(m_path, Database::Access::ReadWrite, rules());
    ASSERT_OK(opened);
    m_file.emplace(std::move(*opened));
    EXPECT_TRUE(QFile::exists(m_path + QStringLiteral(".before-schema-%1").arg(earlier + 1)));
    EXPECT_EQ(entries(), before);
    EXPECT_EQ(heldBy("TK26-01-001"), QStringLiteral("TK26-01-001"));
    ASSERT_OK(takeBlankLabels(file(), act(), 1, 3));
    ASSERT_OK(bind("TK26-01-L001", "TK26-01-001"));
    expectTablesFitTheLedger();
}
