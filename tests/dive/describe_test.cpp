// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/describe.h"

#include "support/a_cruise.h"

using namespace holdfast;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

class Describe : public test::WithCruise
{
};

} // namespace

TEST_F(Describe, TheCruiseHasATitleAndADiveItsSite)
{
    ASSERT_OK(titleCruise(file(), act(), s("  Invented   seamounts ")));
    EXPECT_EQ(readCruise(file().db())->title, s("Invented seamounts"));
    EXPECT_EQ(*readSite(file().db(), 1), QString());
    ASSERT_OK(nameSite(file(), act(), 1, s("north flank")));
    ASSERT_OK(nameSite(file(), act(), 1, s("south flank")));
    EXPECT_EQ(*readSite(file().db(), 1), s("south flank")) << "the last one counts";
    EXPECT_FALSE(nameSite(file(), act(), 2, s("nowhere"))) << "there is no dive 2";
    EXPECT_FALSE(titleCruise(file(), act(), s("two\nlines")));
    expectTablesFitTheLedger();
}

TEST_F(Describe, TheIdPatternIsChosenBeforeTheFirstId)
{
    EXPECT_FALSE(setIdPattern(file(), act(), s("{cruise}-{sample:3}"))) << "the dive is not in it";
    ASSERT_OK(setIdPattern(file(), act(), s("{cruise}.D{dive:3}.{sample:4}")));
    const auto logged = sample(s("B1"), s("octocoral"));
    ASSERT_OK(logged);
    EXPECT_EQ(logged->id, s("TK26.D001.0001"));
    const auto late = setIdPattern(file(), act(), s("{cruise}-{dive:2}-{sample:3}"));
    ASSERT_FALSE(late);
    EXPECT_EQ(late.error().kind, ErrorKind::Refused);
    expectTablesFitTheLedger();
}
