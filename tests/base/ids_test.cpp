// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/ids.h"

#include <gtest/gtest.h>

using namespace holdfast;

TEST(Ids, StandardPatternPadsDiveAndSample)
{
    const IdPattern p = IdPattern::standard();
    EXPECT_EQ(p.sampleId(QStringLiteral("TK26"), 4, 17), QStringLiteral("TK26-04-017"));
    EXPECT_EQ(p.sampleId(QStringLiteral("TK26"), 104, 1017), QStringLiteral("TK26-104-1017"));
}

TEST(Ids, PatternOfAnInstitution)
{
    const auto p = IdPattern::fromText(QStringLiteral("{cruise}D{dive:3}S{sample:4}"));
    ASSERT_TRUE(p) << p.error().sentence.toStdString();
    EXPECT_EQ(p->sampleId(QStringLiteral("QX1"), 7, 3), QStringLiteral("QX1D007S0003"));
}

TEST(Ids, PatternsThatCouldCollideOrNotPrintAreRefused)
{
    for (const char *text : {"", "{cruise}-{dive:2}", "{cruise}-{dive:2}{sample:3}",
                             "{cruise}_{dive:2}-{sample:3}", "{cruise}-{dive:2}-{sample:3}-{sample:3}",
                             "{cruise}-{dive}-{sample}", "{cruise}x{dive:2}-{sample:3}"})
        EXPECT_FALSE(IdPattern::fromText(QString::fromLatin1(text))) << text;
}

TEST(Ids, PartsHangOnTheirParent)
{
    EXPECT_EQ(partId(partId(QStringLiteral("TK26-04-017"), 2), 1), QStringLiteral("TK26-04-017.2.1"));
}

TEST(Ids, WhatIsPrintedReadsBack)
{
    const QString printed = printedId(QStringLiteral("TK26-04-017.2"));
    const auto read = readPrintedId(QStringLiteral("  ") + printed.toLower() + QStringLiteral("\r\n"));
    ASSERT_TRUE(read);
    EXPECT_EQ(read->id, QStringLiteral("TK26-04-017.2"));
    EXPECT_TRUE(read->checked);
    const auto typed = readPrintedId(QStringLiteral("tk26-04-017"));
    ASSERT_TRUE(typed);
    EXPECT_FALSE(typed->checked);
}

TEST(Ids, AMistypedIdIsRefusedWithASentence)
{
    QString printed = printedId(QStringLiteral("TK26-04-017"));
    printed[9] = QLatin1Char('7');
    const auto read = readPrintedId(printed);
    ASSERT_FALSE(read);
    EXPECT_TRUE(read.error().sentence.contains(QStringLiteral("check character")));
    EXPECT_FALSE(readPrintedId(QStringLiteral("https://example.org/x")));
    EXPECT_FALSE(readPrintedId(QStringLiteral("   ")));
    EXPECT_FALSE(readPrintedId(QStringLiteral("TK26-04-017*")));
}

TEST(Ids, CruiseCodes)
{
    EXPECT_TRUE(checkCruiseCode(QStringLiteral("TK26")));
    EXPECT_TRUE(checkCruiseCode(QStringLiteral("QX-301")));
    for (const char *code : {"", "T", "tk26", "TK 26", "-TK", "TK26/1", "ABCDEFGHIJKLMNOPQ", "TK26\n"})
        EXPECT_FALSE(checkCruiseCode(QString::fromLatin1(code))) << code;
}
