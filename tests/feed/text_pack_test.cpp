// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/text_pack.h"

#include <gtest/gtest.h>
#include <random>

using namespace holdfast;

namespace
{

/// The size packed, after checking that the text comes back byte for byte.
std::size_t packedSize(const std::string &text, char delimiter = ',')
{
    const auto packed = packText(text, delimiter);
    EXPECT_TRUE(packed);
    if (!packed)
        return 0;
    const auto back = unpackText(*packed);
    EXPECT_TRUE(back);
    EXPECT_TRUE(back && *back == text);
    return packed->size();
}

std::string scans(int count, const char *end = "\n")
{
    std::mt19937 random(9);
    std::normal_distribution<double> noise;
    std::string text;
    for (int i = 0; i < count; ++i) {
        char line[128];
        std::snprintf(line, sizeof line, "2031-03-08T23:%02d:%02d.%03dZ,%.4f,%.4f,%.3f,%.2f%s",
                      i / 60'000 % 60, i / 1000 % 60, i % 1000, 33.1 + noise(random) * 6e-4,
                      2.4 + noise(random) * 5e-4, 1240 + noise(random) * 0.02, 180 + noise(random) * 0.25,
                      end);
        text += line;
    }
    return text;
}

} // namespace

TEST(TextPack, AScanTakesFewBytes)
{
    const std::string text = scans(20'000);
    EXPECT_LT(packedSize(text), 20'000U * 5);
    EXPECT_LT(packedSize(scans(20'000, "\r\n")), 20'000U * 5);
}

TEST(TextPack, GivesBackEveryOddLine)
{
    const std::string good = scans(40);
    for (const char *odd : {"",
                            "\n",
                            "time_utc,conductivity\n",
                            "# remark\n",
                            "007,1\n",
                            "-0.0\n",
                            "\r\n",
                            "\r",
                            "2031-03-08T23:00:00.000Z,33.1,2.4,1240.000,180.00\n",       // other decimals
                            "2031-03-08T23:00:00.000Z,-0.0000,2.4000,1240.000,180.00\n", // negative zero
                            "2031-03-08T23:00:00.000Z,+3.0000,2.4000,1240.000,180.00\n",
                            "2031-03-08T23:00:00.000Z,03.0000,2.4000,1240.000,180.00\n",
                            "2031-03-08T23:00:00.000Z,3.0000,2.4000,1240.000,180.00\r\n",
                            "2031-03-08T23:00:60.000Z,3.0000,2.4000,1240.000,180.00\n",
                            "2031-02-30T23:00:00.000Z,3.0000,2.4000,1240.000,180.00\n",
                            "2031-03-08T23:00:00.000Z,3.0000,2.4000,1240.000\n",
                            "2031-03-08T23:00:00.000Z,3.0000,2.4000,1240.000,180.00,5\n",
                            "2031-03-08T23:00:00.000Z,3.0000,2.4000,1240.000,\n",
                            "2031-03-08T23:00:00.000Z,99999999999999999999.0000,2.4000,1240.000,180.00\n",
                            "2031-03-08T23:00:00.000Z,3.0000,2.4000,1240.000,180.0",
                            "1900-01-01T00:00:00.000Z,3.0000,2.4000,1240.000,180.00\n",
                            "2200-12-31T23:59:59.999Z,-3.0000,-2.4000,-1240.000,-180.00\n",
                            "\xff\xfe\x01\n"}) {
        SCOPED_TRACE(odd);
        packedSize(odd);
        packedSize(odd + good);
        packedSize(good + odd);
        packedSize(good + odd + good);
    }
    packedSize(std::string("a\0b\n\0\0", 6) + good);
}

TEST(TextPack, GivesBackAnyRandomBytes)
{
    std::mt19937 random(77);
    const std::string letters = "0123456789.,-\n\r:TZ #";
    for (int round = 0; round < 3000; ++round) {
        std::string text(random() % 300, ' ');
        for (char &c : text)
            c = round % 2 == 0 ? letters[random() % letters.size()] : static_cast<char>(random());
        packedSize(text, round % 3 == 0 ? ';' : ',');
    }
}

TEST(TextPack, GivesBackScansWithRandomBytesChanged)
{
    std::mt19937 random(78);
    const std::string good = scans(200);
    for (int round = 0; round < 500; ++round) {
        std::string text = good;
        for (unsigned i = 0; i < 1 + random() % 20; ++i)
            text[random() % text.size()] = static_cast<char>(random());
        packedSize(text);
    }
}

TEST(TextPack, SaysWhenItIsDamagedAndNeverReadsBeyondItsEnd)
{
    const auto packed = packText("a header\n" + scans(50), ',');
    ASSERT_TRUE(packed);
    for (std::size_t length = 0; length < packed->size(); ++length)
        EXPECT_FALSE(unpackText(std::span<const std::uint8_t>(*packed).first(length)));
    std::mt19937 random(79);
    for (int round = 0; round < 5000; ++round) {
        Bytes damaged = *packed;
        for (unsigned i = 0; i < 1 + random() % 4; ++i)
            damaged[random() % damaged.size()] = static_cast<std::uint8_t>(random());
        const auto text = unpackText(damaged); // any text or an error, but no crash
        EXPECT_TRUE(text || text.error().kind == ErrorKind::Malformed);
    }
}
