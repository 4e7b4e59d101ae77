// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/sensor_blocks.h"

#include "feed/text_values.h"
#include "store/sensor_records.h"

#include <bit>
#include <cmath>
#include <gtest/gtest.h>
#include <random>

using namespace holdfast;

namespace
{

SensorRows roundTrip(const SensorTable &table)
{
    const auto packed = packLog(table);
    EXPECT_TRUE(packed) << packed.error().sentence.toStdString();
    SensorRows all;
    if (!packed)
        return all;
    for (const PackedBlock &block : packed->blocks) {
        auto rows = unpackBlock(block.data, packed->columns);
        EXPECT_TRUE(rows) << rows.error().sentence.toStdString();
        EXPECT_EQ(rows->timeUs.front(), block.firstUs);
        EXPECT_EQ(rows->timeUs.back(), block.lastUs);
        all.append(std::move(*rows));
    }
    EXPECT_EQ(packed->rows(), static_cast<std::int64_t>(table.timeUs.size()));
    return all;
}

std::vector<std::int64_t> timesOf(std::size_t count)
{
    std::vector<std::int64_t> times;
    for (std::size_t i = 0; i < count; ++i)
        times.push_back(1'930'762'800'000'000 + static_cast<std::int64_t>(i) * 41'667);
    return times;
}

/// Equal bit for bit, all NaN being one and -0 being 0.
void expectSame(const std::vector<double> &back, const std::vector<double> &values)
{
    ASSERT_EQ(back.size(), values.size());
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (std::isnan(values[i])) {
            EXPECT_TRUE(std::isnan(back[i])) << i;
        } else {
            EXPECT_EQ(back[i], values[i]) << i;
        }
    }
}

} // namespace

TEST(SensorBlocks, GiveBackLoggedDecimalsExactly)
{
    std::mt19937_64 random(1);
    std::uniform_real_distribution<double> value(-5000, 5000);
    for (int decimals = 0; decimals <= 9; ++decimals) {
        std::vector<double> values;
        for (int i = 0; i < 3000; ++i) {
            char text[64];
            std::snprintf(text, sizeof text, "%.*f", decimals, value(random));
            values.push_back(*readNumber(text));
        }
        const auto times = timesOf(values.size());
        const SensorRows back = roundTrip({times, {{"x", values}}, {}});
        EXPECT_EQ(back.timeUs, times);
        expectSame(*back.find("x"), values);
    }
}

TEST(SensorBlocks, GiveBackAnyDouble)
{
    std::mt19937_64 random(2);
    std::vector<double> values = {0.0,
                                  -0.0,
                                  1e-300,
                                  -1e300,
                                  5e-324,
                                  std::numeric_limits<double>::max(),
                                  INFINITY,
                                  -INFINITY,
                                  0.1 + 0.2,
                                  1.0 / 3,
                                  9007199254740993.0,
                                  missingValue};
    while (values.size() < 5000) {
        const double v = std::bit_cast<double>(random());
        values.push_back(v);
        if (random() % 5 == 0)
            values.insert(values.end(), random() % 30, missingValue);
    }
    const auto times = timesOf(values.size());
    expectSame(*roundTrip({times, {{"x", values}}, {}}).find("x"), values);
}

TEST(SensorBlocks, GiveBackColumnsWithGapsOfEveryLength)
{
    std::mt19937_64 random(3);
    for (const double share : {0.0, 0.001, 0.5, 0.999, 1.0}) {
        std::vector<double> values;
        for (int i = 0; i < 4000; ++i)
            values.push_back(static_cast<double>(random() % 1000) / 1000 < share
                                 ? missingValue
                                 : static_cast<double>(random() % 90) / 10);
        const auto times = timesOf(values.size());
        expectSame(*roundTrip({times, {{"x", values}}, {}}).find("x"), values);
    }
}

TEST(SensorBlocks, RoundDerivedValuesToTheDecimalsAsked)
{
    const std::vector<double> values = {34.56784999, -1.00005001, missingValue, 1e300};
    const auto times = timesOf(3);
    const SensorRows back = roundTrip({times, {{"s", std::span<const double>(values).first(3), 4}}, {}});
    EXPECT_EQ((*back.find("s"))[0], 34.5678);
    EXPECT_EQ((*back.find("s"))[1], -1.0001);
    EXPECT_TRUE(std::isnan((*back.find("s"))[2]));
    const auto four = timesOf(4); // too large to be rounded: kept as it is
    EXPECT_EQ((*roundTrip({four, {{"s", values, 4}}, {}}).find("s"))[3], 1e300);
}

TEST(SensorBlocks, GiveBackMarksOfEveryWidth)
{
    enum class Flag : std::uint8_t { Pass = 1, Fail = 4 };
    const std::size_t count = 3 * rowsPerBlock + 7;
    std::vector<Flag> flags(count, Flag::Pass);
    flags[1500] = Flag::Fail;
    std::vector<std::uint16_t> reasons(count, 0);
    reasons[1500] = 0xffff;
    std::vector<std::uint32_t> lines(count);
    for (std::size_t i = 0; i < count; ++i)
        lines[i] = static_cast<std::uint32_t>(i + 2);
    lines.back() = 0xffffffff;
    const auto times = timesOf(count);
    SensorTable table{times, {}, {}};
    table.marks.emplace_back("flag", std::span<const Flag>(flags));
    table.marks.emplace_back("reason", std::span<const std::uint16_t>(reasons));
    table.marks.emplace_back("line", std::span<const std::uint32_t>(lines));
    const SensorRows back = roundTrip(table);
    EXPECT_EQ((*back.findMarks("flag"))[1500], 4U);
    EXPECT_EQ((*back.findMarks("flag"))[1501], 1U);
    EXPECT_EQ((*back.findMarks("reason"))[1500], 0xffffU);
    EXPECT_EQ(*back.findMarks("line"), lines);
    EXPECT_EQ(back.findMarks("other"), nullptr);
    const auto packed = packLog(table);
    ASSERT_TRUE(packed);
    EXPECT_LT(packed->bytes(),
              static_cast<std::int64_t>(count)); // flags that do not change cost next to nothing
}

TEST(SensorBlocks, UnpackOnlyWhatIsWanted)
{
    const std::vector<double> values = {1, 2, 3};
    const auto times = timesOf(3);
    const auto packed = packLog({times, {{"a", values}, {"b", values}}, {}});
    ASSERT_TRUE(packed);
    const std::string wanted[] = {"b"};
    const auto rows = unpackBlock(packed->blocks[0].data, packed->columns, wanted);
    ASSERT_TRUE(rows);
    EXPECT_EQ(rows->find("a"), nullptr);
    EXPECT_NE(rows->find("b"), nullptr);
}

TEST(SensorBlocks, RefuseColumnsOfUnequalLengthAndTimesThatRunBackwards)
{
    const std::vector<double> two = {1, 2};
    const auto times = timesOf(3);
    EXPECT_FALSE(packLog({times, {{"a", two}}, {}}));
    const std::vector<std::int64_t> backwards = {2, 1};
    EXPECT_FALSE(packLog({backwards, {{"a", two}}, {}}));
    const auto right = timesOf(2);
    EXPECT_FALSE(packLog({right, {{"A b", two}}, {}}));
    EXPECT_TRUE(packLog({right, {{"a", two}}, {}}));
}

TEST(SensorBlocks, ADamagedBlockGivesAnErrorOrRowsButNeverReadsBeyondItsEnd)
{
    std::mt19937 random(4);
    std::vector<double> values;
    for (int i = 0; i < 300; ++i)
        values.push_back(i % 7 == 0 ? missingValue : i * 0.01);
    const auto times = timesOf(values.size());
    const auto packed = packLog({times, {{"a", values}, {"b", values, 1}}, {}});
    ASSERT_TRUE(packed);
    const QByteArray &good = packed->blocks[0].data;
    for (qsizetype length = 0; length < good.size(); ++length)
        EXPECT_FALSE(unpackBlock(good.left(length), packed->columns));
    for (int round = 0; round < 5000; ++round) {
        QByteArray bad = good;
        for (unsigned i = 0; i < 1 + random() % 4; ++i)
            bad[static_cast<qsizetype>(random() % static_cast<unsigned>(bad.size()))] =
                static_cast<char>(random());
        const auto rows = unpackBlock(bad, packed->columns);
        EXPECT_TRUE(rows || rows.error().kind == ErrorKind::Malformed);
    }
}

TEST(SensorRows, AppendFillsUpColumnsThatOneSideLacks)
{
    SensorRows a{{1, 2}, {{"x", {1, 2}}}, {{"line", {5, 6}}}};
    a.append({{3}, {{"y", {9}}}, {}});
    EXPECT_EQ(a.size(), 3U);
    EXPECT_TRUE(std::isnan((*a.find("x"))[2]));
    EXPECT_TRUE(std::isnan((*a.find("y"))[0]));
    EXPECT_EQ((*a.find("y"))[2], 9);
    EXPECT_EQ((*a.findMarks("line"))[2], 0U);
}

TEST(SensorRows, AreCutToAWindowAndSorted)
{
    SensorRows rows{{5, 1, 3}, {{"x", {50, 10, 30}}}, {}};
    rows.sortByTime();
    EXPECT_EQ(rows.timeUs, (std::vector<std::int64_t>{1, 3, 5}));
    EXPECT_EQ(*rows.find("x"), (std::vector<double>{10, 30, 50}));
    rows.cutTo(2, 5);
    EXPECT_EQ(*rows.find("x"), (std::vector<double>{30, 50}));
    rows.cutTo(6, 9);
    EXPECT_EQ(rows.size(), 0U);
}

TEST(SensorRecords, PositionsAndVelocitiesComeBackAsTheyWere)
{
    std::vector<PositionRecord> positions(3);
    for (std::size_t i = 0; i < positions.size(); ++i) {
        positions[i].time = utcFromMicroseconds(static_cast<std::int64_t>(i) * 1'000'001);
        positions[i].latitudeDeg =
            -31.2700033 + 21.0 / 60 / 7 * static_cast<double>(i); // not a decimal fraction
        positions[i].longitudeDeg = 179.9999999;
        positions[i].source = PositionSource::DeadReckoning;
        positions[i].line = static_cast<std::uint32_t>(i + 2);
    }
    positions[1].depthM = 1240.5;
    positions[1].headingDeg = 0;
    positions[2].sigmaM = 6.2;
    const RecordColumns columns(positions);
    const auto back = positionsOf(roundTrip(columns.table()));
    ASSERT_EQ(back.size(), 3U);
    for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_EQ(back[i].time, positions[i].time);
        EXPECT_EQ(back[i].latitudeDeg, positions[i].latitudeDeg);
        EXPECT_EQ(back[i].longitudeDeg, positions[i].longitudeDeg);
        EXPECT_EQ(back[i].depthM, positions[i].depthM);
        EXPECT_EQ(back[i].headingDeg, positions[i].headingDeg);
        EXPECT_EQ(back[i].sigmaM, positions[i].sigmaM);
        EXPECT_EQ(back[i].source, positions[i].source);
        EXPECT_EQ(back[i].line, positions[i].line);
    }
    VelocityRecord velocity;
    velocity.forwardMs = 0.25;
    velocity.downMs = -0.01;
    velocity.altitudeM = 3.5;
    const RecordColumns velocityColumns(std::vector<VelocityRecord>{velocity});
    const auto velocities = velocitiesOf(roundTrip(velocityColumns.table()));
    ASSERT_EQ(velocities.size(), 1U);
    EXPECT_EQ(velocities[0].downMs, -0.01);
    EXPECT_EQ(velocities[0].altitudeM, 3.5);
    EXPECT_FALSE(velocities[0].headingDeg);
}
