// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/recorded_course.h"

#include "feed/header_line.h"

#include <optional>

namespace holdfast
{

namespace
{

/// A header is looked for in so many blocks at the beginning of a recording, about ten minutes.
constexpr std::size_t blocksWithHeader = 600;

bool tellsOfTheVehicle(const FeedProfile &profile)
{
    return !profile.ofShip && profile.kind != FeedKind::Acoustic;
}

} // namespace

/// One recording that is being read.
struct RecordedCourse::Reading {
    QString feed;
    FeedProfile profile;
    std::optional<LineParser> parser; ///< once its first block is there
    RecordTaker taker;
    QByteArray header;
    qint64 seq = 0;                     ///< of the last block that was read
    std::vector<LineBlockPlace> blocks; ///< to be read in this call
    std::size_t next = 0;               ///< among them

    [[nodiscard]] bool hasMore() const { return next < blocks.size(); }
    void push(const QByteArrayView &line)
    {
        // What is wrong with a line was counted when it came.
        static_cast<void>(parser->push({line.data(), static_cast<std::size_t>(line.size())}).has_value());
    }
    void push(const ReceivedLines &lines)
    {
        const QByteArrayView text(lines.text);
        for (qsizetype at = 0; at < text.size();) {
            const qsizetype found = lines.text.indexOf('\n', at);
            const qsizetype end = found < 0 ? text.size() : found + 1;
            const QByteArrayView line = text.sliced(at, end - at);
            at = end;
            if (line != QByteArrayView(header))
                push(line);
        }
    }
};

Done RecordedCourse::begin(const Recording &recording, const QByteArray &profileJson)
{
    auto &reading = m_readings[recording.uuid];
    auto profile = parseFeedProfile(
        profileJson, QStringLiteral("the profile kept with the lines of %1").arg(recording.feed));
    if (!profile)
        return profile.error();
    if (!tellsOfTheVehicle(*profile))
        return {};
    reading = std::make_shared<Reading>();
    reading->feed = recording.feed;
    reading->profile = std::move(*profile);
    return {};
}

Done RecordedCourse::open(const LineLog &log, Reading &reading)
{
    QByteArray &header = reading.header;
    if (reading.profile.kind != FeedKind::Nmea && reading.profile.header) {
        const std::size_t most = std::min(reading.blocks.size(), blocksWithHeader);
        for (std::size_t i = 0; header.isEmpty() && i < most; ++i) {
            const auto lines = log.block(reading.blocks[i].id);
            if (!lines)
                return lines.error();
            header = headerLine(lines->text, reading.profile);
        }
        if (header.isEmpty()) // a feed that was opened again may not say its header again
            header = m_headers[reading.feed];
        m_headers[reading.feed] = header;
    }
    reading.parser.emplace(reading.profile, utcFromMicroseconds(reading.blocks.front().firstUs));
    if (!header.isEmpty())
        reading.push(header);
    return {};
}

Done RecordedCourse::findBlocks(const LineLog &log)
{
    const auto recordings = log.recordings(m_dive);
    if (!recordings)
        return recordings.error();
    std::map<QString, QByteArray> profiles; // the last one of each feed
    for (const Recording &r : *recordings)
        profiles[r.feed] = r.profileJson;
    std::map<QString, qint64> linesOf;
    for (const Recording &r : *recordings) {
        if (!m_readings.contains(r.uuid)) {
            if (auto begun = begin(r, profiles[r.feed]); !begun)
                return begun;
        }
        Reading *reading = m_readings[r.uuid].get();
        if (!reading)
            continue;
        auto blocks = log.blocksAfter(r.uuid, reading->seq);
        if (!blocks)
            return blocks.error();
        reading->blocks = std::move(*blocks);
        reading->next = 0;
        for (const LineBlockPlace &block : reading->blocks)
            linesOf[r.feed] += block.lines;
        if (!reading->parser && reading->hasMore()) {
            if (auto opened = open(log, *reading); !opened)
                return opened;
        }
    }
    for (const auto &[uuid, reading] : m_readings) {
        if (reading && reading->hasMore())
            thin(*reading, 1 + (linesOf[reading->feed] - 1) / mostLines);
    }
    return {};
}

void RecordedCourse::thin(Reading &reading, qint64 every)
{
    std::vector<LineBlockPlace> some;
    for (std::size_t i = 0; i < reading.blocks.size(); ++i) {
        if (i % static_cast<std::size_t>(every) == 0 || i + 1 == reading.blocks.size())
            some.push_back(reading.blocks[i]);
    }
    reading.blocks = std::move(some);
}

Result<LiveCourse> RecordedCourse::readOn(const Database &db, std::stop_token stop)
{
    const LineLog log(db.connection());
    if (auto found = findBlocks(log); !found)
        return found.error();
    // All feeds together in the order in which their lines came: depth needs the latitude of its time.
    for (;;) {
        Reading *first = nullptr;
        for (const auto &[uuid, reading] : m_readings) {
            if (reading && reading->hasMore() &&
                (!first || reading->blocks[reading->next].firstUs < first->blocks[first->next].firstUs))
                first = reading.get();
        }
        if (!first)
            return m_values.takeCourse();
        if (stop.stop_requested())
            return fail(ErrorKind::Cancelled, QStringLiteral("Reading the recorded lines was stopped."));
        const LineBlockPlace place = first->blocks[first->next++];
        const auto lines = log.block(place.id);
        if (!lines)
            return lines.error();
        first->push(*lines);
        first->seq = place.seq;
        m_values.take(first->taker.take(*first->parser), first->feed);
    }
}

} // namespace holdfast
