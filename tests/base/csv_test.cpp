// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/csv.h"

#include <cmath>
#include <gtest/gtest.h>
#include <random>

using namespace holdfast;

namespace
{
QString s(const char *text)
{
    return QString::fromUtf8(text);
}
} // namespace

// The rules of RFC 4180, section 2.
TEST(Csv, ReadsQuotesCommasAndLineEndsInsideQuotes)
{
    const auto t = readCsv(
        "\xef\xbb\xbf# made by hand\r\nid,note\r\n1,\"a, \"\"b\"\"\"\r\n\r\n2,\"two\nlines\"", s("x.csv"));
    ASSERT_TRUE(t) << t.error().sentence.toStdString();
    EXPECT_EQ(t->header, QStringList({s("id"), s("note")}));
    ASSERT_EQ(t->rows.size(), 2u);
    EXPECT_EQ(t->rows[0].at(1), s("a, \"b\""));
    EXPECT_EQ(t->rows[1].at(1), s("two\nlines"));
    EXPECT_EQ(t->lineOf[1], 5);
    EXPECT_FALSE(t->needColumn(s("time")));
}

TEST(Csv, BadTablesAreRefusedWithTheirLine)
{
    EXPECT_FALSE(readCsv("", s("x.csv")));
    EXPECT_FALSE(readCsv("# only a comment\n", s("x.csv")));
    EXPECT_FALSE(readCsv(QByteArray("a,b\n1,\0\n", 8), s("x.csv")));
    EXPECT_FALSE(readCsv("a,b\n1,\xff\n", s("x.csv")));
    const auto ragged = readCsv("a,b\n1,2\n3\n", s("x.csv"));
    ASSERT_FALSE(ragged);
    EXPECT_TRUE(ragged.error().sentence.contains(s("x.csv, line 3")))
        << ragged.error().sentence.toStdString();
    EXPECT_FALSE(readCsv("a,b\n1,\"2\n", s("x.csv")));
}

TEST(Csv, AColumnThatIsThereTwiceIsNotGuessed)
{
    const auto table = readCsv("t,x,t\n1,2,3\n", QStringLiteral("in.csv"));
    ASSERT_TRUE(table);
    EXPECT_TRUE(table->needColumn(QStringLiteral("x")));
    const auto twice = table->needColumn(QStringLiteral("t"));
    ASSERT_FALSE(twice);
    EXPECT_TRUE(twice.error().sentence.contains(QStringLiteral("2 columns named \"t\"")));
}

TEST(Csv, WhatIsWrittenReadsBack)
{
    std::mt19937 random(3);
    const QString letters = s("ab,\"\n é");
    for (int i = 0; i < 500; ++i) {
        QString field = s("x");
        for (int k = 0; k < 6; ++k)
            field += letters.at(static_cast<int>(random() % static_cast<unsigned>(letters.size())));
        field += QLatin1Char('x');
        const auto t = readCsv("f,g\n" + csvField(field) + ",1\n", s("x.csv"));
        ASSERT_TRUE(t);
        ASSERT_EQ(t->rows.at(0).at(0), field);
    }
    for (const double v : {0.1, -1e-9, 123456.789, 5e300, 0.0})
        EXPECT_EQ(csvNumber(v).toDouble(), v);
    EXPECT_EQ(csvNumber(std::nan("")), QByteArray());
    EXPECT_EQ(csvFixed(-0.001, 2), QByteArray("0.00"));
    EXPECT_EQ(csvFixed(-0.006, 2), QByteArray("-0.01"));
}
