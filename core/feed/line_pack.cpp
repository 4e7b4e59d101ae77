// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/line_pack.h"

#include "feed/sha256.h"
#include "feed/text_pack.h"

#include <algorithm>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

constexpr std::uint8_t version = 1;

} // namespace

Result<PackedLines> packLines(const ReceivedLines &lines, char delimiter)
{
    const auto ends = std::count(lines.text.begin(), lines.text.end(), '\n');
    if (lines.empty() || static_cast<std::size_t>(ends) != lines.receivedUs.size() ||
        !lines.text.endsWith('\n'))
        return fail(ErrorKind::Internal,
                    u"%1 lines can't be packed with %2 times."_s.arg(ends).arg(lines.receivedUs.size()));
    Bytes out{version};
    putVarint(lines.receivedUs.size(), out);
    Bytes times;
    packInts(lines.receivedUs, times);
    putVarint(times.size(), out);
    out.insert(out.end(), times.begin(), times.end());
    const auto text =
        packText({lines.text.constData(), static_cast<std::size_t>(lines.text.size())}, delimiter);
    if (!text)
        return text.error();
    out.insert(out.end(), text->begin(), text->end());
    PackedLines packed;
    packed.firstUs = lines.receivedUs.front();
    packed.lastUs = lines.receivedUs.back();
    packed.lines = static_cast<std::int64_t>(lines.receivedUs.size());
    packed.bytes = lines.text.size();
    packed.data = QByteArray(reinterpret_cast<const char *>(out.data()), static_cast<qsizetype>(out.size()));
    Sha256 sum;
    sum.add(packed.data);
    auto sha256 = sum.finish();
    if (!sha256)
        return sha256.error();
    packed.sha256 = *sha256;
    return packed;
}

Result<ReceivedLines> unpackLines(const QByteArray &data)
{
    const std::span<const std::uint8_t> bytes(reinterpret_cast<const std::uint8_t *>(data.constData()),
                                              static_cast<std::size_t>(data.size()));
    ByteReader in(bytes);
    const auto kind = in.takeByte();
    if (!kind)
        return kind.error();
    if (*kind != version)
        return fail(ErrorKind::Malformed,
                    u"A block of received lines has the unknown version %1."_s.arg(*kind));
    const auto count = in.takeVarint();
    if (!count)
        return count.error();
    const auto size = in.takeVarint();
    if (!size)
        return size.error();
    const auto packedTimes = in.take(static_cast<std::size_t>(*size));
    if (!packedTimes)
        return packedTimes.error();
    ByteReader timesIn(*packedTimes);
    auto times = unpackInts(timesIn, static_cast<std::size_t>(*count));
    if (!times)
        return times.error();
    const auto packedText = in.take(in.left());
    if (!packedText)
        return packedText.error();
    const auto text = unpackText(*packedText);
    if (!text)
        return text.error();
    ReceivedLines lines{std::move(*times), QByteArray::fromStdString(*text)};
    if (lines.empty())
        return fail(ErrorKind::Malformed, u"A block of received lines has no lines."_s);
    if (static_cast<std::size_t>(std::count(lines.text.begin(), lines.text.end(), '\n')) !=
        lines.receivedUs.size())
        return fail(ErrorKind::Malformed, u"A block of received lines has not as many lines as times."_s);
    if (!lines.text.endsWith('\n')) // whoever goes from line feed to line feed would find no next one
        return fail(ErrorKind::Malformed, u"A block of received lines has a last line without its end."_s);
    return lines;
}

} // namespace holdfast
