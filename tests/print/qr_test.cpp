// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/qr.h"

#include <gtest/gtest.h>

using namespace holdfast;

namespace
{

QrFit fitOf(const char *text, double sideMm, int dpi)
{
    const auto fit = fitQr(QString::fromLatin1(text), {sideMm, dpi});
    EXPECT_TRUE(fit) << fit.error().sentence.toStdString();
    return fit.value_or(QrFit{});
}

} // namespace

// Capacities in alphanumeric mode of ISO/IEC 18004, table of input data capacity (values from memory, agreed
// with libqrencode's own tables): 1-M 20, 1-Q 16, 2-M 38, 2-Q 29, 2-H 20, 3-H 35.
TEST(Qr, TakesTheSmallestVersionAndItsStrongestLevel)
{
    struct Case {
        int length;
        int version;
        QrLevel level;
    };
    for (const Case c :
         {Case{10, 1, QrLevel::H}, Case{11, 1, QrLevel::Q}, Case{16, 1, QrLevel::Q}, Case{17, 1, QrLevel::M},
          Case{20, 1, QrLevel::M}, Case{21, 2, QrLevel::Q}, Case{29, 2, QrLevel::Q}, Case{30, 2, QrLevel::M},
          Case{38, 2, QrLevel::M}, Case{39, 3, QrLevel::Q}}) {
        const auto symbol = encodeQr(QString(c.length, QLatin1Char('A')));
        ASSERT_TRUE(symbol);
        EXPECT_EQ(symbol->version, c.version) << c.length;
        EXPECT_EQ(symbol->level, c.level) << c.length;
        EXPECT_EQ(symbol->modules, 17 + 4 * c.version);
    }
}

TEST(Qr, RefusesWhatWouldLeaveAlphanumericMode)
{
    for (const char *text : {"", "tk26-04-017", "TK26_04", "A=B", "A#"})
        EXPECT_FALSE(encodeQr(QString::fromLatin1(text))) << text;
    EXPECT_FALSE(encodeQr(QStringLiteral("Ä")));
    EXPECT_FALSE(encodeQr(QString(5000, QLatin1Char('A'))));
}

// Arithmetic of whole dots, done by hand: 10 mm at 300 dpi are 118 dots; 29 + 8 modules of 3 dots are 111.
TEST(Qr, ModulesAreWholeDots)
{
    const QrFit fit = fitOf("TK26-04-017*H", 10, 300);
    EXPECT_EQ(fit.symbol.version, 3);
    EXPECT_EQ(fit.symbol.level, QrLevel::H);
    EXPECT_EQ(fit.dotsPerModule, 3);
    EXPECT_NEAR(fit.moduleMm, 3 * 25.4 / 300, 1e-12);
    EXPECT_NEAR(fit.sideMm, 37 * 3 * 25.4 / 300, 1e-9);
    EXPECT_FALSE(fit.tooFine);
}

TEST(Qr, MarksModulesBelowThreeDotsOrAQuarterMillimetre)
{
    const QrFit coarse = fitOf("TK26-04-017*H", 10, 203); // 79 dots: 2 a module, 0.250 mm
    EXPECT_TRUE(coarse.tooFine);
    EXPECT_EQ(coarse.symbol.version, 3); // 37 modules of 2 dots fit as well as 29 do
    EXPECT_TRUE(whyTooFine(coarse, 203).contains(QStringLiteral("2 dots (0.25 mm) at 203 dpi")));
    const QrFit fine = fitOf("TK26-04-017*H", 7, 600); // 165 dots: 5 a module, 0.212 mm
    EXPECT_EQ(fine.dotsPerModule, 5);
    EXPECT_TRUE(fine.tooFine);
    EXPECT_TRUE(whyTooFine(fitOf("TK26-04-017*H", 12, 300), 300).isEmpty());
}

TEST(Qr, TakesTheStrongestCodeThatStaysComfortable)
{
    const QrFit jar = fitOf("TK26-04-017*H", 22.5, 600); // 531 dots: 45 modules of 11, 0.47 mm
    EXPECT_EQ(jar.symbol.version, 5);
    EXPECT_EQ(jar.symbol.level, QrLevel::H);
    const QrFit twelve = fitOf("TK26-04-017*H", 12, 300); // 141 dots: 33 modules of 4, 0.34 mm
    EXPECT_EQ(twelve.symbol.version, 2);
    EXPECT_EQ(twelve.symbol.level, QrLevel::H);
    const QrFit eight = fitOf("TK26-04-017*H", 8, 300); // 94 dots: H would need 33 x 3 = 99
    EXPECT_EQ(eight.symbol.version, 1);
    EXPECT_EQ(eight.symbol.level, QrLevel::Q);
    EXPECT_EQ(eight.dotsPerModule, 3);
}

TEST(Qr, RefusesASpaceOfFewerDotsThanModules)
{
    const auto fit = fitQr(QStringLiteral("TK26-04-017*H"), {3, 203});
    ASSERT_FALSE(fit);
    EXPECT_EQ(fit.error().kind, ErrorKind::Refused);
    EXPECT_FALSE(fitQr(QStringLiteral("TK26"), {0, 300}));
    EXPECT_FALSE(fitQr(QStringLiteral("TK26"), {10, 0}));
}
