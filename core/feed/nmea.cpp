// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/nmea.h"

#include "feed/text_values.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace holdfast
{

namespace
{

constexpr std::int64_t dayUs = 86'400'000'000;

int hexDigit(char c)
{
    if (c >= '0' && c <= '9')
        return c - '0';
    if (c >= 'A' && c <= 'F')
        return c - 'A' + 10;
    if (c >= 'a' && c <= 'f')
        return c - 'a' + 10;
    return -1;
}

bool isUpperOrDigit(char c)
{
    return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

/// The fields of one sentence with the first fault found while taking them apart. A field beyond the end is
/// empty; which fields must be there is asked with need().
class Fields
{
public:
    explicit Fields(std::string_view body)
    {
        while (true) {
            const std::size_t comma = body.find(',');
            m_fields.push_back(body.substr(0, comma));
            if (comma == std::string_view::npos)
                break;
            body.remove_prefix(comma + 1);
        }
    }

    [[nodiscard]] std::string_view at(std::size_t i) const { return i < m_fields.size() ? m_fields[i] : ""; }
    [[nodiscard]] const char *fault() const { return m_fault; }
    void wrong(const char *fault)
    {
        if (m_fault == nullptr)
            m_fault = fault;
    }
    void need(std::size_t count)
    {
        if (m_fields.size() < count)
            wrong("fields missing");
    }

    std::optional<double> number(std::size_t i, double low, double high, const char *outside)
    {
        const std::string_view text = at(i);
        if (text.empty())
            return {};
        const std::optional<double> value = readNumber(text);
        if (!value) {
            wrong("not a number");
            return {};
        }
        if (*value < low || *value > high)
            wrong(outside);
        return value;
    }
    std::optional<int> wholeNumber(std::size_t i, int low, int high, const char *outside)
    {
        const std::optional<double> value = number(i, low, high, outside);
        if (!value)
            return {};
        if (*value != std::floor(*value))
            wrong(outside);
        return static_cast<int>(*value);
    }
    std::optional<char> letter(std::size_t i) const
    {
        const std::string_view text = at(i);
        return text.empty() ? std::optional<char>{} : text.front();
    }

    std::optional<TimeOfDay> time(std::size_t i)
    {
        const std::string_view text = at(i);
        if (text.empty())
            return {};
        const std::optional<TimeOfDay> time =
            text.find(':') == std::string_view::npos ? readTimeOfDay(text) : std::nullopt;
        if (!time || (time->leap() && (time->hour != 23 || time->minute != 59))) {
            wrong("time out of range or not hhmmss");
            return {};
        }
        return time;
    }

    /// DDMM.mmm or DDDMM.mmm at i and its hemisphere letter after it.
    std::optional<double> angle(std::size_t i, std::size_t degreeDigits, char positive, char negative)
    {
        const std::string_view text = at(i);
        const std::string_view letter = at(i + 1);
        if (text.empty() && letter.empty())
            return {};
        const std::size_t point = std::min(text.find('.'), text.size());
        char unused = 0;
        const bool digitsFirst = !text.empty() && text.front() >= '0' && text.front() <= '9';
        const std::optional<double> value =
            digitsFirst && point == degreeDigits + 2 && text.back() >= '.' && text.back() <= '9'
                ? readDegreesMinutes(text, '.', unused)
                : std::nullopt;
        if (!value) {
            wrong(degreeDigits == 2 ? "latitude is not DDMM.mmm with minutes below 60"
                                    : "longitude is not DDDMM.mmm with minutes below 60");
            return {};
        }
        if (*value > (degreeDigits == 2 ? 90 : 180))
            wrong(degreeDigits == 2 ? "latitude above 90" : "longitude above 180");
        if (letter.size() != 1 || (letter.front() != positive && letter.front() != negative)) {
            wrong(degreeDigits == 2 ? "hemisphere letter is not N or S" : "hemisphere letter is not E or W");
            return {};
        }
        return letter.front() == negative ? -*value : *value;
    }

private:
    std::vector<std::string_view> m_fields;
    const char *m_fault = nullptr;
};

void takePosition(NmeaSentence &s, Fields &fields, std::size_t latitudeAt)
{
    s.latitudeDeg = fields.angle(latitudeAt, 2, 'N', 'S');
    s.longitudeDeg = fields.angle(latitudeAt + 2, 3, 'E', 'W');
    if (s.latitudeDeg.has_value() != s.longitudeDeg.has_value())
        fields.wrong("latitude and longitude not both there");
    const std::string_view text = fields.at(latitudeAt);
    const std::size_t point = text.find('.');
    s.minuteDecimals = point == std::string_view::npos ? 0 : static_cast<int>(text.size() - point - 1);
}

/// The outcome of a sentence with a position that is well formed: what else it needs to be a fix.
const char *whyNoFix(const NmeaSentence &s, bool valid, const char *notValid)
{
    if (!valid)
        return notValid;
    if (!s.latitudeDeg)
        return "no position";
    return s.time ? nullptr : "no time";
}

const char *readGga(NmeaSentence &s, Fields &fields)
{
    fields.need(7);
    s.time = fields.time(1);
    takePosition(s, fields, 2);
    s.fixQuality = fields.wholeNumber(6, 0, 9, "fix quality is not 0 to 9");
    s.satellites = fields.wholeNumber(7, 0, 99, "number of satellites out of range");
    s.hdop = fields.number(8, 0, 1e4, "HDOP out of range");
    s.altitudeM = fields.number(9, -2e4, 1e6, "altitude out of range");
    s.geoidSeparationM = fields.number(11, -1e4, 1e4, "geoid separation out of range");
    return whyNoFix(s, s.fixQuality.value_or(0) > 0, "fix quality 0: no fix");
}

const char *readGns(NmeaSentence &s, Fields &fields)
{
    fields.need(7);
    s.time = fields.time(1);
    takePosition(s, fields, 2);
    s.satellites = fields.wholeNumber(7, 0, 99, "number of satellites out of range");
    s.hdop = fields.number(8, 0, 1e4, "HDOP out of range");
    s.altitudeM = fields.number(9, -2e4, 1e6, "altitude out of range");
    s.geoidSeparationM = fields.number(10, -1e4, 1e4, "geoid separation out of range");
    const bool valid = fields.at(6).find_first_not_of('N') != std::string_view::npos;
    return whyNoFix(s, valid, "mode N: no fix");
}

const char *readGll(NmeaSentence &s, Fields &fields)
{
    fields.need(7);
    takePosition(s, fields, 1);
    s.time = fields.time(5);
    s.status = fields.letter(6);
    s.mode = fields.letter(7);
    return whyNoFix(s, s.status == 'A', "status V: no fix");
}

const char *readRmc(NmeaSentence &s, Fields &fields)
{
    fields.need(10);
    s.time = fields.time(1);
    s.status = fields.letter(2);
    takePosition(s, fields, 3);
    s.speedKnots = fields.number(7, 0, 2000, "speed out of range");
    s.courseTrueDeg = fields.number(8, 0, 360, "course out of range");
    s.mode = fields.letter(12);
    if (const std::string_view text = fields.at(9); !text.empty()) {
        const auto midnight = text.size() == 6 ? readDate(text, DateOrder::DayMonthYear) : std::nullopt;
        if (midnight) {
            const std::chrono::year_month_day ymd{
                std::chrono::floor<std::chrono::days>(utcFromMicroseconds(*midnight))};
            s.date = CalendarDate{int(ymd.year()), static_cast<int>(unsigned(ymd.month())),
                                  static_cast<int>(unsigned(ymd.day()))};
        } else {
            fields.wrong("no such date");
        }
    }
    return whyNoFix(s, s.status == 'A', "status V: no fix");
}

const char *readZda(NmeaSentence &s, Fields &fields)
{
    fields.need(5);
    s.time = fields.time(1);
    const auto day = fields.wholeNumber(2, 1, 31, "no such date");
    const auto month = fields.wholeNumber(3, 1, 12, "no such date");
    const auto year = fields.wholeNumber(4, 1900, 2200, "no such date");
    if (!day || !month || !year || !s.time)
        return "no date and time";
    if (!utcFromCivil(*year, *month, *day, 0, 0, 0))
        fields.wrong("no such date");
    s.date = CalendarDate{*year, *month, *day};
    return nullptr;
}

const char *readHdt(NmeaSentence &s, Fields &fields)
{
    fields.need(3);
    s.headingTrueDeg = fields.number(1, 0, 360, "heading is not 0 to 360");
    return s.headingTrueDeg ? nullptr : "no heading";
}

const char *readThs(NmeaSentence &s, Fields &fields)
{
    fields.need(3);
    const auto heading = fields.number(1, 0, 360, "heading is not 0 to 360");
    s.mode = fields.letter(2);
    if (s.mode == 'V' || s.mode == 'S')
        return "mode V or S: no valid heading";
    s.headingTrueDeg = heading;
    return heading ? nullptr : "no heading";
}

const char *readVtg(NmeaSentence &s, Fields &fields)
{
    fields.need(8);
    s.courseTrueDeg = fields.number(1, 0, 360, "course out of range");
    s.speedKnots = fields.number(5, 0, 2000, "speed out of range");
    s.speedKmH = fields.number(7, 0, 4000, "speed out of range");
    return s.courseTrueDeg || s.speedKnots || s.speedKmH ? nullptr : "no course or speed";
}

const char *readDbt(NmeaSentence &s, Fields &fields)
{
    fields.need(5);
    s.depthM = fields.number(3, 0, 12'000, "depth is not 0 to 12000 m");
    return s.depthM ? nullptr : "no depth";
}

const char *readDpt(NmeaSentence &s, Fields &fields)
{
    fields.need(2);
    s.depthBelowTransducerM = fields.number(1, 0, 12'000, "depth is not 0 to 12000 m");
    s.offsetM = fields.number(2, -1000, 1000, "transducer offset out of range");
    return s.depthBelowTransducerM ? nullptr : "no depth";
}

using Decoder = const char *(*)(NmeaSentence &, Fields &);

Decoder decoderOf(std::string_view type)
{
    static constexpr std::pair<std::string_view, Decoder> decoders[] = {
        {"GGA", readGga}, {"RMC", readRmc}, {"GLL", readGll}, {"GNS", readGns}, {"ZDA", readZda},
        {"HDT", readHdt}, {"THS", readThs}, {"VTG", readVtg}, {"DBT", readDbt}, {"DPT", readDpt}};
    for (const auto &[name, decoder] : decoders) {
        if (name == type)
            return decoder;
    }
    return nullptr;
}

/// Splits the address field: "GPGGA" into talker and type, "PHFX" into P and HFX.
void takeAddress(NmeaSentence &s, std::string_view address)
{
    if (address.size() > 1 && address.front() == 'P') {
        s.talker = "P";
        s.type = address.substr(1);
    } else if (address.size() == 5) {
        s.talker = address.substr(0, 2);
        s.type = address.substr(2);
    }
}

NmeaSentence rejected(NmeaSentence s, const char *reason)
{
    NmeaSentence bare;
    bare.checksumState = s.checksumState;
    bare.checksum = s.checksum;
    bare.type = std::move(s.type);
    bare.talker = std::move(s.talker);
    bare.reason = reason;
    return bare;
}

/// The values of a sentence whose framing is sound.
NmeaSentence decoded(NmeaSentence s, std::string_view body)
{
    const Decoder decoder = s.talker == "P" ? nullptr : decoderOf(s.type);
    const std::string_view address = body.substr(0, body.find(','));
    if (decoder == nullptr || !std::all_of(address.begin(), address.end(), isUpperOrDigit)) {
        if (s.checksumState == ChecksumState::Absent)
            return rejected(std::move(s), "no checksum, and of a kind that is not used");
        s.outcome = NmeaOutcome::Ignore;
        s.reason = "a sentence of a kind that is not used";
        return s;
    }
    Fields fields(body);
    const char *noFix = decoder(s, fields);
    if (fields.fault() != nullptr)
        return rejected(std::move(s), fields.fault());
    if (s.checksumState == ChecksumState::Absent) {
        s.outcome = NmeaOutcome::NoChecksum;
        s.reason = "no checksum";
    } else {
        s.outcome = noFix == nullptr ? NmeaOutcome::Accept : NmeaOutcome::NoFix;
        s.reason = noFix == nullptr ? "" : noFix;
    }
    return s;
}

} // namespace

NmeaSentence readNmea(std::string_view text)
{
    while (!text.empty() && (text.back() == ' ' || text.back() == '\r' || text.back() == '\n'))
        text.remove_suffix(1);
    NmeaSentence s;
    if (text.empty() || text == "$" || text == "!") {
        s.checksumState = ChecksumState::Absent;
        s.reason = text.empty() ? "empty line" : "start character only";
        return s;
    }
    if (text.front() != '$' && text.front() != '!') {
        takeAddress(s, text.substr(0, text.find(',')));
        s.reason = "no start character";
        return s;
    }
    const std::size_t star = text.find('*');
    const std::string_view body = text.substr(1, star == std::string_view::npos ? star : star - 1);
    std::uint8_t sum = 0;
    for (const char c : body)
        sum = static_cast<std::uint8_t>(sum ^ static_cast<std::uint8_t>(c));
    s.checksum = sum;
    if (body.find_first_of("$!") != std::string_view::npos)
        return rejected(std::move(s), "two sentences run together");
    takeAddress(s, body.substr(0, body.find(',')));
    if (star == std::string_view::npos) {
        s.checksumState = ChecksumState::Absent;
        return decoded(std::move(s), body);
    }
    const std::string_view tail = text.substr(star + 1);
    const int high = tail.size() == 2 ? hexDigit(tail[0]) : -1;
    const int low = tail.size() == 2 ? hexDigit(tail[1]) : -1;
    if (high < 0 || low < 0)
        return rejected(std::move(s), "checksum is not two hexadecimal digits");
    s.checksumState = high * 16 + low == sum ? ChecksumState::Ok : ChecksumState::Bad;
    if (s.checksumState == ChecksumState::Bad)
        return rejected(std::move(s), "checksum wrong");
    return decoded(std::move(s), body);
}

UtcTime nearestDay(TimeOfDay time, UtcTime about)
{
    const UtcTime midnight{std::chrono::floor<std::chrono::days>(about).time_since_epoch()};
    const UtcTime same = midnight + Microseconds{time.sinceMidnightUs()};
    const Microseconds apart = same - about;
    if (apart > Microseconds{dayUs / 2})
        return same - Microseconds{dayUs};
    if (apart <= Microseconds{-dayUs / 2})
        return same + Microseconds{dayUs};
    return same;
}

std::optional<UtcTime> NmeaClock::instantOf(const NmeaSentence &sentence)
{
    if (!sentence.time)
        return {};
    const bool dated = sentence.date && (sentence.type == "ZDA" || sentence.status == 'A');
    if (dated) {
        const auto midnight =
            utcFromCivil(sentence.date->year, sentence.date->month, sentence.date->day, 0, 0, 0);
        if (midnight)
            m_running = *midnight + Microseconds{sentence.time->sinceMidnightUs()};
    } else if (m_running) {
        m_running = nearestDay(*sentence.time, *m_running);
    }
    return m_running;
}

} // namespace holdfast
