// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/nmea_reader.h"

#include "feed/leap_notes.h"
#include "feed/time_order.h"

#include <cmath>

namespace holdfast
{

namespace
{

constexpr std::size_t longestBody = 120;

bool isHex(char c)
{
    return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'F') || (c >= 'a' && c <= 'f');
}

/// A character that may stand inside a sentence.
bool isBody(char c)
{
    return c >= 0x20 && c <= 0x7e && c != '$' && c != '!' && c != '*';
}

bool sameTime(const TimeOfDay &a, const TimeOfDay &b)
{
    return a.hour == b.hour && a.minute == b.minute && a.second == b.second && a.microsecond == b.microsecond;
}

/// Metres of one horizontal axis for an HDOP of 1, where the profile does not say: the horizontal error is
/// HDOP times the user range error (drms), an axis has its 1/sqrt(2). Range errors of 5.7 m for a receiver by
/// itself, 2.1 m with differential corrections, 0.7 m and 0.04 m with carrier phase, floating and fixed, are
/// common practice, not a published bound. Quality as in GGA; others as a receiver by itself.
double metresPerHdop(std::optional<int> fixQuality)
{
    switch (fixQuality.value_or(1)) {
    case 2:
        return 1.5;
    case 4:
        return 0.03;
    case 5:
        return 0.5;
    default:
        return 4.0;
    }
}

/// What HDOP says of a satellite position; nothing for other sources, whose HDOP is not their own.
std::optional<double> sigmaByHdop(const NmeaSentence &sentence, const FeedProfile &profile)
{
    if (!sentence.hdop || !(*sentence.hdop > 0))
        return {};
    if (profile.sigmaPerHdopM)
        return *sentence.hdop * *profile.sigmaPerHdopM;
    if (profile.source != PositionSource::Satellite)
        return {};
    return *sentence.hdop * metresPerHdop(sentence.fixQuality);
}

/// 0.001 minute and the rounding of the arithmetic: sentences of one epoch may give fewer decimals.
constexpr double sameAngleDeg = 0.001 / 60 + 1e-9;

} // namespace

NmeaReader::NmeaReader(const FeedProfile &profile, std::optional<UtcTime> dateHint)
    : m_profile(profile), m_clock(dateHint)
{
}

void NmeaReader::push(std::string_view line)
{
    pushPiece(line, true, true);
}

void NmeaReader::pushPiece(std::string_view piece, bool first, bool last)
{
    if (first) {
        ++m_line;
        ++report.lines;
        m_pieces = {};
    }
    const Found found = scan(piece);
    m_pieces.sentences += found.sentences;
    m_pieces.otherBytes = m_pieces.otherBytes || found.otherBytes;
    m_pieces.bare = m_pieces.bare || found.bare;
    if (!last)
        return;
    if (m_pieces.otherBytes && m_pieces.sentences > 0)
        report.repair(QStringLiteral("sentences found among other bytes"), m_line, m_pieces.sentences);
    else if (m_pieces.otherBytes && !m_pieces.bare)
        report.reject(QStringLiteral("no whole sentence in this line"), m_line, piece);
}

NmeaReader::Found NmeaReader::scan(std::string_view line)
{
    while (!line.empty() && (line.back() == '\n' || line.back() == '\r' || line.back() == ' '))
        line.remove_suffix(1);
    Found found;
    std::size_t at = 0;
    while (at < line.size()) {
        const std::size_t start = line.find_first_of("$!", at);
        found.otherBytes = found.otherBytes || start != at;
        if (start == std::string_view::npos)
            break;
        std::size_t end = start + 1;
        while (end < line.size() && isBody(line[end]))
            ++end;
        const std::size_t body = end - start - 1;
        const bool whole = body >= 1 && body <= longestBody && end + 2 < line.size() && line[end] == '*' &&
                           isHex(line[end + 1]) && isHex(line[end + 2]);
        if (whole) {
            takeSentence(line.substr(start, body + 4));
            ++found.sentences;
            at = end + 3;
        } else if (end == line.size() && body >= 6) {
            takeBare(line.substr(start));
            found.bare = true;
            at = end;
        } else {
            found.otherBytes = true;
            at = start + 1;
        }
    }
    return found;
}

void NmeaReader::takeSentence(std::string_view text)
{
    const NmeaSentence sentence = readNmea(text);
    if (sentence.checksumState == ChecksumState::Ok) {
        ++counts.valid;
        ++counts.byType[(sentence.talker == "P" ? "P" : "") + sentence.type];
    } else {
        ++counts.invalid;
    }
    if (sentence.outcome == NmeaOutcome::Reject)
        keepAside(sentence, text);
    else
        use(sentence, text);
}

/// A sentence that runs to the end of the line without a checksum.
void NmeaReader::takeBare(std::string_view text)
{
    const NmeaSentence sentence = readNmea(text);
    ++counts.withoutChecksum;
    if (sentence.outcome != NmeaOutcome::NoChecksum || !m_profile.withoutChecksum) {
        keepAside(sentence, text);
        return;
    }
    report.note(QStringLiteral("sentences without checksum, used as the profile says"), m_line);
    use(sentence, text);
}

void NmeaReader::keepAside(const NmeaSentence &sentence, std::string_view text)
{
    report.reject(QString::fromLatin1(sentence.reason), m_line, text);
}

void NmeaReader::use(const NmeaSentence &sentence, std::string_view text)
{
    if (sentence.outcome == NmeaOutcome::Ignore) {
        report.note(QStringLiteral("sentences of a kind that is not used"), m_line);
        return;
    }
    const bool dateWasKnown = m_clock.knowsDate();
    const std::optional<UtcTime> instant = m_clock.instantOf(sentence);
    if (!dateWasKnown && instant)
        dateBackwards(*instant);
    if (instant && sentence.time && sentence.time->leap() && !mayBeLeapSecond(*instant)) {
        report.reject(noLeapSecond(), m_line, text);
        return;
    }
    const bool fix = sentence.outcome != NmeaOutcome::NoFix && sentence.time && sentence.latitudeDeg;
    if (fix) {
        ++counts.positions;
        usePosition(sentence, text);
    } else if (sentence.outcome == NmeaOutcome::NoFix) {
        report.note(QString::fromLatin1(sentence.type.c_str()) + QStringLiteral(": ") +
                        QString::fromLatin1(sentence.reason),
                    m_line);
    } else if (sentence.headingTrueDeg) {
        m_heading = sentence.headingTrueDeg;
        if (!m_lastTime)
            return;
        PositionRecord &last = m_lastUndated ? m_undated.back().record : positions.back();
        if (!last.headingDeg)
            last.headingDeg = m_heading;
    }
}

/// True when the sentence tells the last record's fix again; the finer position stays.
bool NmeaReader::joined(const NmeaSentence &sentence)
{
    if (!m_lastTime || !sameTime(*m_lastTime, *sentence.time))
        return false;
    PositionRecord &last = m_lastUndated ? m_undated.back().record : positions.back();
    double apart = std::abs(last.longitudeDeg - *sentence.longitudeDeg);
    apart = std::min(apart, 360 - apart);
    if (apart > sameAngleDeg || std::abs(last.latitudeDeg - *sentence.latitudeDeg) > sameAngleDeg)
        return false;
    if (sentence.minuteDecimals > m_lastDecimals) {
        last.latitudeDeg = *sentence.latitudeDeg;
        last.longitudeDeg = *sentence.longitudeDeg;
        m_lastDecimals = sentence.minuteDecimals;
    }
    if (!last.sigmaM)
        last.sigmaM = sigmaByHdop(sentence, m_profile);
    report.note(QStringLiteral("further sentences of the same fix, joined to it"), m_line);
    return true;
}

void NmeaReader::usePosition(const NmeaSentence &sentence, std::string_view text)
{
    if (joined(sentence))
        return;
    PositionRecord record;
    record.latitudeDeg = *sentence.latitudeDeg;
    record.longitudeDeg = *sentence.longitudeDeg;
    record.headingDeg = m_heading;
    record.sigmaM = sigmaByHdop(sentence, m_profile);
    record.source = m_profile.source;
    record.line = m_line;
    m_heading.reset();
    m_lastTime = sentence.time;
    m_lastDecimals = sentence.minuteDecimals;
    m_lastUndated = !m_clock.knowsDate();
    if (m_lastUndated) {
        m_undated.push_back({*sentence.time, record, std::string(text)});
        return;
    }
    record.time = *m_clock.runningTime();
    if (sentence.time->leap()) {
        noteLeapSecond(report, record.time, m_line);
        record.time = keptInLeapSecond(record.time);
    }
    positions.push_back(record);
}

/// The date has become known: the positions before it take the day nearest to the one after them.
void NmeaReader::dateBackwards(UtcTime first)
{
    for (auto undated = m_undated.rbegin(); undated != m_undated.rend(); ++undated) {
        first = nearestDay(undated->time, first);
        undated->record.time = first;
    }
    for (Undated &undated : m_undated) {
        PositionRecord &record = undated.record;
        if (undated.time.leap() && !mayBeLeapSecond(record.time)) {
            report.reject(noLeapSecond(), record.line, undated.text);
            continue;
        }
        if (undated.time.leap()) {
            noteLeapSecond(report, record.time, record.line);
            record.time = keptInLeapSecond(record.time);
        }
        positions.push_back(record);
    }
    if (!m_undated.empty())
        report.note(QStringLiteral("positions before the log's first date, dated backwards from it"),
                    m_undated.front().record.line, static_cast<std::int64_t>(m_undated.size()));
    m_undated.clear();
    m_lastUndated = false;
}

void NmeaReader::finish()
{
    for (const Undated &undated : m_undated)
        report.reject(QStringLiteral("no date: the time of day is known, the day is not"),
                      undated.record.line, undated.text);
    m_undated.clear();
    m_lastTime.reset();
    m_lastUndated = false;
    putInOrder(positions, report);
    warnOfLeapSecondsPassedOver(report);
}

} // namespace holdfast
