// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/packed_ints.h"

#include <gtest/gtest.h>
#include <limits>
#include <random>

using namespace holdfast;

namespace
{

using Numbers = std::vector<std::int64_t>;
constexpr std::int64_t least = std::numeric_limits<std::int64_t>::min();
constexpr std::int64_t most = std::numeric_limits<std::int64_t>::max();

/// The size packed, after checking that the numbers come back.
std::size_t packedSize(const Numbers &numbers)
{
    Bytes packed;
    packInts(numbers, packed);
    ByteReader in(packed);
    const auto back = unpackInts(in, numbers.size());
    EXPECT_TRUE(back);
    if (back) {
        EXPECT_EQ(*back, numbers);
    }
    EXPECT_EQ(in.left(), 0U);
    return packed.size();
}

} // namespace

TEST(PackedInts, GiveBackExtremes)
{
    packedSize({});
    packedSize({0});
    packedSize({least});
    packedSize({most, least, most, least});
    packedSize({least, -1, 0, 1, most});
    packedSize(Numbers(1000, least));
    Numbers powers;
    for (unsigned i = 0; i < 64; ++i)
        powers.push_back(static_cast<std::int64_t>(std::uint64_t{1} << i));
    packedSize(powers);
}

TEST(PackedInts, GiveBackAnyRandomNumbers)
{
    std::mt19937_64 random(20);
    for (int round = 0; round < 2000; ++round) {
        const auto bits = static_cast<unsigned>(random() % 65);
        const std::uint64_t mask = bits == 64 ? ~std::uint64_t{0} : (std::uint64_t{1} << bits) - 1;
        const std::uint64_t base = random() % 3 == 0 ? random() : 0;
        Numbers numbers(random() % 400);
        std::uint64_t walk = base;
        const bool walking = random() % 2 == 0;
        for (std::int64_t &n : numbers) {
            walk = walking ? walk + (random() & mask) - (mask >> 1U) : base + (random() & mask);
            n = static_cast<std::int64_t>(walk);
        }
        packedSize(numbers);
    }
}

TEST(PackedInts, AreSmallForSteadyAndRisingNumbers)
{
    Numbers rising;
    for (std::int64_t i = 0; i < 1440; ++i)
        rising.push_back(1'930'762'800'000 + i * 40);
    EXPECT_LT(packedSize(rising), 60U);
    EXPECT_LT(packedSize(Numbers(1440, 7)), 40U);
}

TEST(PackedInts, OneOutlierCostsOneGroupOnly)
{
    Numbers noisy;
    std::mt19937_64 random(3);
    for (int i = 0; i < 1280; ++i)
        noisy.push_back(static_cast<std::int64_t>(random() % 16));
    const std::size_t before = packedSize(noisy);
    noisy[640] = most / 2;
    EXPECT_LT(packedSize(noisy), before + 128 * 8 + 16);
}

TEST(PackedInts, SayWhenTheBytesEndTooEarly)
{
    Bytes packed;
    packInts(Numbers{1, 500, -9, 77'000'000}, packed);
    for (std::size_t length = 0; length < packed.size(); ++length) {
        ByteReader in(std::span<const std::uint8_t>(packed).first(length));
        EXPECT_FALSE(unpackInts(in, 4));
    }
}

TEST(PackedInts, NeverReadBeyondRandomBytes)
{
    std::mt19937_64 random(5);
    for (int round = 0; round < 5000; ++round) {
        Bytes bytes(random() % 60);
        for (std::uint8_t &byte : bytes)
            byte = static_cast<std::uint8_t>(random());
        ByteReader in(bytes);
        const auto back = unpackInts(in, 300);
        if (back) {
            EXPECT_EQ(back->size(), 300U);
        }
    }
}
