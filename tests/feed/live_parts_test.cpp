// SPDX-License-Identifier: GPL-3.0-or-later
// What live feeds are made of, without sockets: addresses, lines out of bytes, blocks of lines, clocks, other
// times.
#include "feed/clock_watch.h"
#include "feed/feed_address.h"
#include "feed/line_pack.h"
#include "feed/line_parser.h"
#include "feed/line_splitter.h"
#include "feed/text_pack.h"
#include "feed/time_shift.h"
#include "support/temp_dir.h"

#include <random>

using namespace holdfast;
using Instant = std::chrono::steady_clock::time_point;

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

std::vector<QByteArray> split(LineSplitter &splitter, QByteArrayView bytes)
{
    std::vector<QByteArray> lines;
    splitter.push(bytes, [&lines](const QByteArray &line) { lines.push_back(line); });
    return lines;
}

UtcTime at(const char *iso)
{
    return parseIsoUtc(iso).value();
}

FeedProfile profileOf(const QByteArray &json)
{
    const auto read = parseFeedProfile(json, s("test"));
    EXPECT_TRUE(read) << (read ? "" : read.error().sentence.toStdString());
    return read.value_or(FeedProfile{});
}

TEST(FeedAddress, IsReadAndWrittenBack)
{
    for (const char *text :
         {"udp://0.0.0.0:47001", "udp://239.10.1.1:47001", "tcp://192.168.1.20:4001", "tcp://[fe80::1]:4001",
          "serial:/dev/ttyUSB0,19200,7E1", "replay:logs/a,b.csv,10"}) {
        const auto address = parseFeedAddress(s(text));
        ASSERT_OK(address);
        EXPECT_EQ(address->text(), s(text));
    }
    EXPECT_EQ(parseFeedAddress(s("serial:/dev/ttyS0"))->text(), s("serial:/dev/ttyS0,9600,8N1"));
    EXPECT_EQ(parseFeedAddress(s("replay:ctd.csv"))->speed, 1);
}

TEST(FeedAddress, RefusesWhatIsNoneAndSaysHowToWriteOne)
{
    for (const char *text : {"", "47001", "udp://47001", "udp://host:0", "udp://host:70000", "tcp://:1",
                             "http://host:1", "serial:", "serial:/dev/x,fast", "serial:/dev/x,9600,9N1",
                             "replay:", "replay:a.csv,1000", "udp://a b:1"}) {
        const auto address = parseFeedAddress(s(text));
        ASSERT_FALSE(address) << text;
        EXPECT_EQ(address.error().kind, ErrorKind::Usage);
        EXPECT_TRUE(address.error().sentence.contains(s("udp://0.0.0.0:47001"))) << text;
    }
}

TEST(LineSplitter, GivesWholeLinesWhereverTheBytesAreCut)
{
    const QByteArray all = "one\r\n\ntwo,2\nthree";
    for (qsizetype cut = 0; cut <= all.size(); ++cut) {
        LineSplitter splitter;
        auto lines = split(splitter, QByteArrayView(all).first(cut));
        for (const QByteArray &line : split(splitter, QByteArrayView(all).sliced(cut)))
            lines.push_back(line);
        splitter.end([&lines](const QByteArray &line) { lines.push_back(line); });
        EXPECT_EQ(lines, (std::vector<QByteArray>{"one\r", "", "two,2", "three"})) << cut;
        EXPECT_EQ(splitter.cut(), 0);
    }
}

TEST(LineSplitter, CutsWhatHasNoLineEndAndLosesNoByte)
{
    LineSplitter splitter;
    const QByteArray flood(3 * LineSplitter::longest + 10, 'x');
    const auto lines = split(splitter, flood);
    ASSERT_EQ(lines.size(), 3u);
    EXPECT_EQ(lines[0].size(), LineSplitter::longest);
    EXPECT_EQ(splitter.cut(), 3);
    const auto rest = split(splitter, "\nok\n");
    EXPECT_EQ(rest, (std::vector<QByteArray>{QByteArray(10, 'x'), "ok"}));
}

TEST(LinePack, GivesTimesAndBytesBack)
{
    std::mt19937 random(7);
    ReceivedLines lines;
    std::int64_t us = 1'773'325'327'000'000;
    for (int i = 0; i < 200; ++i) {
        QByteArray line;
        if (i % 3 == 0) {
            for (auto n = random() % 60; n > 0; --n) {
                const char c = static_cast<char>(random());
                line += c == '\n' ? 'n' : c;
            }
        } else {
            line = "2026-03-12T14:22:07.300Z,32.1,3.4," + QByteArray::number(i);
        }
        us += i == 100 ? -10'000'000 : 41'667; // the host's clock may be set back
        lines.add(us, line);
    }
    const auto packed = packLines(lines, ',');
    ASSERT_OK(packed);
    EXPECT_EQ(packed->lines, 200);
    EXPECT_EQ(packed->bytes, lines.text.size());
    const auto back = unpackLines(packed->data);
    ASSERT_OK(back);
    EXPECT_EQ(back->receivedUs, lines.receivedUs);
    EXPECT_EQ(back->text, lines.text);
}

TEST(LinePack, RefusesDamagedBlocks)
{
    ReceivedLines lines;
    for (int i = 0; i < 30; ++i)
        lines.add(1'000'000 * i, "$GPZDA,142207.30,12,03,2026,00,00*61");
    const auto packed = packLines(lines, ',');
    ASSERT_OK(packed);
    for (qsizetype n = 0; n < packed->data.size(); ++n)
        EXPECT_FALSE(unpackLines(packed->data.first(n))) << n;
    EXPECT_FALSE(packLines(ReceivedLines{}, ','));
    EXPECT_FALSE(packLines({{1'000'000}, "one\nand more"}, ','));
}

TEST(LinePack, RefusesBlocksWhoseCountFitsAndWhoseLinesDoNot)
{
    const auto block = [](const std::vector<std::int64_t> &us, std::string_view text) {
        Bytes out{1}; // the version; then as line_pack.h says
        putVarint(us.size(), out);
        Bytes times;
        packInts(us, times);
        putVarint(times.size(), out);
        out.insert(out.end(), times.begin(), times.end());
        const auto packed = packText(text, ',');
        EXPECT_TRUE(packed);
        out.insert(out.end(), packed->begin(), packed->end());
        return QByteArray(reinterpret_cast<const char *>(out.data()), static_cast<qsizetype>(out.size()));
    };
    EXPECT_TRUE(unpackLines(block({1'000'000, 2'000'000}, "one\ntwo\n"))) << "the block is made as it should";
    const auto open = unpackLines(block({1'000'000}, "one\nwithout its end"));
    ASSERT_FALSE(open);
    EXPECT_EQ(open.error().kind, ErrorKind::Malformed);
    EXPECT_FALSE(unpackLines(block({}, "")));
    EXPECT_FALSE(unpackLines(block({1'000'000, 2'000'000}, "one\n")));
}

TEST(OffsetWatch, IsTheMedianAndForgetsOldLines)
{
    OffsetWatch watch;
    EXPECT_FALSE(watch.offsetS());
    const UtcTime t = at("2026-03-12T14:00:00Z");
    for (int i = 0; i < 31; ++i)
        watch.add(t + std::chrono::seconds(i) + std::chrono::milliseconds(i % 10 == 0 ? -4000 : 250),
                  t + std::chrono::seconds(i));
    EXPECT_NEAR(watch.offsetS().value(), 0.25, 1e-9);
    for (int i = 0; i < 31; ++i)
        watch.add(t - std::chrono::milliseconds(9750), t);
    EXPECT_NEAR(watch.offsetS().value(), -9.75, 1e-9);
}

TEST(OffsetWatch, TheTruthLiesWithinItsUncertainty)
{
    // No table but the meaning of the number: 95 of 100 such spans hold the true difference. With 31 lines
    // the middle distance is itself a little uncertain, which costs a few of them.
    std::mt19937 random(4);
    std::normal_distribution<double> late(0, 0.08);
    const UtcTime t = at("2026-03-12T14:00:00Z");
    int inside = 0;
    constexpr int trials = 2000;
    for (int trial = 0; trial < trials; ++trial) {
        OffsetWatch watch;
        EXPECT_FALSE(watch.offset());
        for (int i = 0; i < 31; ++i)
            watch.add(t + Microseconds(static_cast<std::int64_t>(1e6 * (0.25 + late(random)))), t);
        const auto offset = watch.offset();
        ASSERT_TRUE(offset);
        inside += std::abs(offset->seconds - 0.25) <= offset->uncertainty95S ? 1 : 0;
    }
    EXPECT_GT(inside, trials * 91 / 100);
    EXPECT_LT(inside, trials * 98 / 100);
}

TEST(GpsTimeWatch, TrustsZdaBeforeRmcBeforeGga)
{
    // The sentence is that of the check table (tests/feed/nmea_rows.h, N14): 14:22:07.300.
    GpsTimeWatch watch;
    const Instant start{};
    const auto look = [&](const char *line, const char *received, int s) {
        watch.look(line, at(received), start + std::chrono::seconds(s));
    };
    look("$GPZDA,142207.30,12,03,2026,00,00*61", "2026-03-12T14:22:17.300Z", 0);
    ASSERT_TRUE(watch.hostMinusGpsS(start));
    EXPECT_NEAR(*watch.hostMinusGpsS(start), 10.0, 1e-9);
    EXPECT_STREQ(watch.sentence(), "ZDA");
    const QByteArray gga = shiftedSentence(
        "$GPGGA,092750.000,5321.6802,N,00630.3372,W,1,8,1.03,61.7,M,55.2,M,,*76", std::chrono::seconds(0));
    look(gga.constData(), "2026-03-12T09:27:50.000Z", 1);
    EXPECT_STREQ(watch.sentence(), "ZDA") << "a lesser sentence does not count beside a better one";
    look(gga.constData(), "2026-03-12T09:27:53.000Z", 70);
    EXPECT_STREQ(watch.sentence(), "GGA");
    EXPECT_NEAR(*watch.hostMinusGpsS(start + std::chrono::seconds(71)), 3.0, 1e-9);
    look("$GPZDA,142207.30,12,03,2026,00,00*60", "2026-03-12T14:22:07.300Z", 72); // wrong checksum
    EXPECT_STREQ(watch.sentence(), "GGA");
    EXPECT_FALSE(watch.hostMinusGpsS(start + std::chrono::seconds(200))) << "old news is none";
}

TEST(StepWatch, FindsStepsBackAndForthAndNothingElse)
{
    StepWatch watch;
    const Instant start{};
    const UtcTime t = at("2026-03-12T14:00:00Z");
    const auto look = [&](double s, double utcOff) {
        const auto span = std::chrono::duration_cast<Microseconds>(std::chrono::duration<double>(s));
        return watch.look(t + span +
                              std::chrono::duration_cast<Microseconds>(std::chrono::duration<double>(utcOff)),
                          start + span);
    };
    EXPECT_FALSE(look(0, 0));
    EXPECT_FALSE(look(0.1, 0.01));
    EXPECT_FALSE(look(7200, 0.02)) << "asleep for two hours is no step";
    auto step = look(7200.1, 10.02);
    ASSERT_TRUE(step);
    EXPECT_NEAR(step->seconds, 10, 0.01);
    step = look(7200.2, 0.02);
    ASSERT_TRUE(step);
    EXPECT_NEAR(step->seconds, -10, 0.01);
    EXPECT_FALSE(look(7200.3, 0.02));
}

TEST(TimeShift, MovesSentencesOverMidnightWithARightChecksum)
{
    const QByteArray zda = shiftedSentence("$GPZDA,235958.00,31,12,2026,00,00*61", std::chrono::seconds(3));
    EXPECT_TRUE(zda.startsWith("$GPZDA,000001.00,01,01,2027,00,00*")) << zda.toStdString();
    EXPECT_EQ(readNmea({zda.constData(), static_cast<std::size_t>(zda.size())}).outcome, NmeaOutcome::Accept);
    // Back again gives the very sentence of the check table.
    EXPECT_EQ(shiftedSentence(zda, std::chrono::seconds(-3)),
              QByteArray("$GPZDA,235958.00,31,12,2026,00,00*61"));
    EXPECT_EQ(shiftedSentence("$GPHDT,12.0,T*37", std::chrono::seconds(3)), QByteArray("$GPHDT,12.0,T*37"));
}

TEST(TimeShift, MovesTimesInColumnsAndKeepsTheirForm)
{
    const FeedProfile iso = profileOf(R"({"profile":"p","title":"t","kind":"ctd",
        "text":{"delimiter":",","header":true,"comment":"#"},"time":{"format":"iso8601","column":"when"},
        "columns":{"pressure":{"column":"p","unit":"dbar"}}})");
    auto shifter = TimeShifter::make(iso);
    ASSERT_OK(shifter);
    EXPECT_EQ(shifter->shifted("p,when", std::chrono::hours(1)), QByteArray("p,when"));
    EXPECT_EQ(shifter->shifted("1.50,2026-03-12T23:30:00.250Z", std::chrono::hours(1)),
              QByteArray("1.50,2026-03-13T00:30:00.250Z"));
    EXPECT_EQ(shifter->shifted("1.50,garbage", std::chrono::hours(1)), QByteArray("1.50,garbage"));
    EXPECT_EQ(shifter->shifted("1.50", std::chrono::hours(1)), QByteArray("1.50"));
}

} // namespace
