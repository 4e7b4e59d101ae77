// SPDX-License-Identifier: GPL-3.0-or-later
#include "window_options.h"

#include <gtest/gtest.h>

namespace holdfast
{
namespace
{

Result<WindowOptions> read(const char *words)
{
    return readWindowOptions(QString::fromUtf8(words).split(QLatin1Char(' '), Qt::SkipEmptyParts));
}

TEST(WindowOptions, ReadsFileAndOptionsInAnyOrder)
{
    const auto o = read("--theme day cruise.hfc --size 1600x1000 --replay 10 --place recovery --dive 2");
    ASSERT_TRUE(o);
    EXPECT_EQ(o->file, QStringLiteral("cruise.hfc"));
    EXPECT_EQ(o->size, QSize(1600, 1000));
    EXPECT_EQ(o->day, true);
    EXPECT_EQ(o->replay, 10.0);
    EXPECT_EQ(o->dive, 2);
    EXPECT_EQ(o->place, QStringLiteral("recovery"));
    EXPECT_FALSE(o->readOnly);
    EXPECT_TRUE(read("--read-only cruise.hfc --dive 2")->readOnly);
}

TEST(WindowOptions, RefusesWhatItDoesNotKnowWithASentence)
{
    for (const char *words :
         {"--colour red", "--theme pink", "--size big", "--size 10x10", "--replay 0", "--replay x",
          "--place moon", "a.hfc b.hfc", "--theme", "--dive 0", "--read-only"}) {
        const auto o = read(words);
        ASSERT_FALSE(o) << words;
        EXPECT_EQ(o.error().kind, ErrorKind::Usage) << words;
        EXPECT_TRUE(o.error().sentence.endsWith(QLatin1Char('.'))) << words;
    }
}

} // namespace
} // namespace holdfast
