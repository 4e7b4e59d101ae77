// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/check_character.h"

#include <QString>
#include <gtest/gtest.h>
#include <random>

using namespace holdfast;

// Published worked example: ISBT 128 Standard Technical Specification, appendix on the ISO/IEC 7064 MOD 37-2
// keyboard entry check character: donation number G1234 98 654321 has H.
TEST(CheckCharacter, AgreesWithThePublishedExample)
{
    EXPECT_EQ(checkCharacter(u"G123498654321"), QChar(u'H'));
    EXPECT_EQ(checkCharacter(u"G1234 98 654321"), QChar(u'H'));
}

// The other two were worked by hand from the rule of ISO/IEC 7064, pure system MOD 37-2.
TEST(CheckCharacter, AgreesWithHandWorkedIds)
{
    EXPECT_EQ(checkCharacter(u"HF2406D03S017"), QChar(u'J'));
    EXPECT_EQ(checkCharacter(u"EX26D014B07"), QChar(u'B'));
}

TEST(CheckCharacter, DoesNotDependOnGroupingOrCase)
{
    EXPECT_EQ(checkCharacter(u"ex26-d014.b07"), QChar(u'B'));
}

TEST(CheckCharacter, RefusesWhatIsNoId)
{
    EXPECT_FALSE(checkCharacter(u""));
    EXPECT_FALSE(checkCharacter(u"-."));
    EXPECT_FALSE(checkCharacter(u"TK26_04"));
    EXPECT_FALSE(checkCharacter(u"TK26-Ö4"));
}

TEST(CheckCharacter, FindsEverySingleWrongCharacterAndEverySwap)
{
    const QString alphabet = QStringLiteral("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ");
    std::mt19937 random(11);
    std::uniform_int_distribution<int> pick(0, 35);
    for (int round = 0; round < 200; ++round) {
        QString id;
        for (int i = 0; i < 12; ++i)
            id += alphabet.at(pick(random));
        const QChar check = *checkCharacter(id);
        for (int i = 0; i < id.size(); ++i) {
            for (const QChar other : alphabet) {
                QString wrong = id;
                wrong[i] = other;
                ASSERT_EQ(checkCharacterHolds(wrong, check), other == id.at(i)) << wrong.toStdString();
            }
            if (i + 1 < id.size() && id.at(i) != id.at(i + 1)) {
                QString swapped = id;
                swapped[i] = id.at(i + 1);
                swapped[i + 1] = id.at(i);
                ASSERT_FALSE(checkCharacterHolds(swapped, check)) << swapped.toStdString();
            }
        }
    }
}
