// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/stored_entry.h"

#include <array>
#include <charconv>
#include <chrono>

namespace holdfast
{

namespace
{

constexpr std::string_view hexDigits = "0123456789abcdef";

void appendNumber(std::string &out, qint64 value)
{
    std::array<char, 24> digits{};
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value).ptr;
    out.append(digits.data(), end);
}

void appendPadded(std::string &out, qint64 value, int places)
{
    std::array<char, 8> digits{};
    for (int i = places - 1; i >= 0; --i) {
        digits[static_cast<std::size_t>(i)] = static_cast<char>('0' + value % 10);
        value /= 10;
    }
    out.append(digits.data(), static_cast<std::size_t>(places));
}

bool appendTime(std::string &out, qint64 timeUs)
{
    using namespace std::chrono;
    constexpr qint64 usOfDay = 86'400'000'000;
    constexpr qint64 firstUs = -62'167'219'200'000'000; // year 0
    constexpr qint64 lastUs = 253'402'300'799'999'999;  // year 9999
    if (timeUs < firstUs || timeUs > lastUs)
        return false;
    const qint64 day = (timeUs - firstUs) / usOfDay + firstUs / usOfDay;
    const qint64 us = timeUs - day * usOfDay;
    const year_month_day date{sys_days{days{day}}};
    const qint64 second = us / 1'000'000;
    appendPadded(out, int(date.year()), 4);
    out += '-';
    appendPadded(out, unsigned(date.month()), 2);
    out += '-';
    appendPadded(out, unsigned(date.day()), 2);
    out += 'T';
    appendPadded(out, second / 3600, 2);
    out += ':';
    appendPadded(out, second / 60 % 60, 2);
    out += ':';
    appendPadded(out, second % 60, 2);
    out += '.';
    appendPadded(out, us % 1'000'000, 6);
    out += 'Z';
    return true;
}

bool isHashOf(std::string_view text, const Sha256::Sum &sum)
{
    if (text.size() != 2 * sum.size())
        return false;
    for (std::size_t i = 0; i < sum.size(); ++i) {
        if (text[2 * i] != hexDigits[sum[i] >> 4] || text[2 * i + 1] != hexDigits[sum[i] & 15])
            return false;
    }
    return true;
}

} // namespace

void appendCanonicalString(std::string &out, std::string_view text)
{
    out += '"';
    std::size_t clean = 0; // where the run of bytes that stand for themselves begins
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto c = static_cast<unsigned char>(text[i]);
        if (c >= 0x20 && c != '"' && c != '\\')
            continue;
        out.append(text, clean, i - clean);
        clean = i + 1;
        out += '\\';
        switch (c) {
        case '"':
        case '\\':
            out += text[i];
            break;
        case '\b':
            out += 'b';
            break;
        case '\f':
            out += 'f';
            break;
        case '\n':
            out += 'n';
            break;
        case '\r':
            out += 'r';
            break;
        case '\t':
            out += 't';
            break;
        default:
            out += "u00";
            out += hexDigits[c >> 4];
            out += hexDigits[c & 15];
        }
    }
    out.append(text, clean);
    out += '"';
}

bool writeCanonicalEntry(const StoredEntry &e, std::string &out)
{
    // Keys in canonical order, by hand: `body` goes in as the bytes that are stored.
    out = "{\"actor\":";
    appendCanonicalString(out, e.actor);
    out += ",\"body\":";
    out += e.body;
    out += ",\"lamport\":";
    appendNumber(out, e.lamport);
    out += ",\"prev\":";
    appendCanonicalString(out, e.prev);
    out += ",\"seq\":";
    appendNumber(out, e.seq);
    out += ",\"station\":";
    appendCanonicalString(out, e.station);
    out += ",\"time\":\"";
    const bool possible = appendTime(out, e.timeUs);
    out += "\",\"uuid\":";
    appendCanonicalString(out, e.uuid);
    out += ",\"verb\":";
    appendCanonicalString(out, e.verb);
    out += '}';
    return possible;
}

ChainCheck::ChainCheck() : m_hash(64, '0') {}

ChainCheck::ChainCheck(qint64 seq, std::string_view hash, qint64 lamport)
    : m_seq(seq), m_hash(hash), m_lamport(lamport)
{
}

std::optional<QString> ChainCheck::add(const StoredEntry &entry)
{
    ++m_seq;
    if (entry.seq != m_seq)
        return QStringLiteral("entry %1 is missing; the next one there is %2").arg(m_seq).arg(entry.seq);
    if (entry.prev != m_hash)
        return QStringLiteral(
                   "entry %1 does not follow the entry before it: an entry was changed, removed, added or "
                   "exchanged")
            .arg(m_seq);
    const bool possible = writeCanonicalEntry(entry, m_canonical);
    const auto sum = m_sha.sumOf(m_canonical);
    if (!sum)
        return sum.error().sentence;
    if (!possible || !isHashOf(entry.hash, *sum))
        return QStringLiteral("entry %1 was changed after it was written: its hash does not fit its content")
            .arg(m_seq);
    if (entry.body.size() < 2 || entry.body.front() != '{' || entry.body.back() != '}')
        return QStringLiteral("the content of entry %1 is damaged").arg(m_seq);
    if (entry.lamport <= m_lamport)
        return QStringLiteral("entry %1 is out of order").arg(m_seq);
    m_hash = entry.hash;
    m_lamport = entry.lamport;
    return {};
}

} // namespace holdfast
