// SPDX-License-Identifier: GPL-3.0-or-later
#include "palette.h"

#include <gtest/gtest.h>

namespace holdfast
{
namespace
{

// Known answers of the definition: black on white is 21:1, and #777777 on white falls just short of 4.5:1
// (WCAG 2.1, definition of contrast ratio; the grey is the well-known example of its techniques).
TEST(ContrastRatio, AgreesWithTheDefinition)
{
    EXPECT_NEAR(contrastRatio(Qt::black, Qt::white), 21.0, 1e-9);
    EXPECT_NEAR(contrastRatio(QColor(0x77, 0x77, 0x77), Qt::white), 4.48, 0.005);
    EXPECT_NEAR(contrastRatio(Qt::white, QColor(0x77, 0x77, 0x77)), 4.48, 0.005);
}

void expectText(const Palette &p, double least)
{
    for (const QColor &ground : {p.ground, p.raised, p.sunken, p.chosen, p.held}) {
        EXPECT_GE(contrastRatio(p.ink, ground), least) << ground.name().toStdString();
        EXPECT_GE(contrastRatio(p.soft, ground), least < 7 ? 4.5 : least) << ground.name().toStdString();
    }
    for (const QColor &ground : {p.ground, p.raised}) {
        for (const QColor &word : {p.good, p.care, p.bad, p.focus})
            EXPECT_GE(contrastRatio(word, ground), least)
                << word.name().toStdString() << " on " << ground.name().toStdString();
    }
}

TEST(DayPalette, KeepsAllTextAtSevenToOne)
{
    expectText(dayPalette(), 7.0);
}

// WCAG 2.1, 1.4.3: 4.5:1 for text; the night theme stays well above it without being bright.
TEST(NightPalette, IsReadableAndNotBright)
{
    expectText(nightPalette(), 5.5);
    EXPECT_LT(nightPalette().ink.lightnessF(), 0.87F);
    EXPECT_LT(nightPalette().ground.lightnessF(), 0.08F);
}

// WCAG 2.1, 1.4.11: 3:1 for what shows a control's outline and its focus.
TEST(Palettes, ShowOutlinesAndFocus)
{
    for (const Palette &p : {nightPalette(), dayPalette()}) {
        EXPECT_GE(contrastRatio(p.focus, p.ground), 3.0);
        EXPECT_GE(contrastRatio(p.edge, p.ground), 3.0);
        EXPECT_GE(contrastRatio(p.edge, p.sunken), 3.0);
    }
}

TEST(NightPalette, HasNoBlueGlare)
{
    const Palette &p = nightPalette();
    for (const QColor &c :
         {p.ground, p.raised, p.sunken, p.edge, p.rule, p.ink, p.soft, p.focus, p.held, p.chosen})
        EXPECT_LE(c.blue(), c.red()) << c.name().toStdString();
}

} // namespace
} // namespace holdfast
