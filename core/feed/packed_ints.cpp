// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/packed_ints.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cstring>

namespace holdfast
{

namespace
{

constexpr std::size_t groupSize = 128;
constexpr std::uint8_t differencesBit = 0x80;

Error cutShort()
{
    return fail(ErrorKind::Malformed,
                QStringLiteral("A packed block of a log is damaged: it ends too early."));
}

std::uint64_t asUnsigned(std::int64_t v)
{
    return static_cast<std::uint64_t>(v);
}

std::uint64_t zigzag(std::int64_t v)
{
    return (asUnsigned(v) << 1U) ^ (v < 0 ? ~std::uint64_t{0} : 0);
}

std::int64_t unzigzag(std::uint64_t v)
{
    return static_cast<std::int64_t>((v >> 1U) ^ (0 - (v & 1U)));
}

struct Group {
    std::int64_t least = 0;
    unsigned width = 0;
};

/// The least number and the width of the rest above it.
Group measure(std::span<const std::int64_t> values)
{
    std::int64_t least = values.front();
    std::int64_t most = values.front();
    for (const std::int64_t v : values) {
        least = std::min(least, v);
        most = std::max(most, v);
    }
    return {least, static_cast<unsigned>(std::bit_width(asUnsigned(most) - asUnsigned(least)))};
}

void putGroup(std::span<const std::int64_t> values, Group group, std::uint8_t mark, Bytes &out)
{
    out.push_back(static_cast<std::uint8_t>(mark | group.width));
    putVarint(zigzag(group.least), out);
    if (group.width == 0)
        return;
    const std::size_t start = out.size();
    out.resize(start + (values.size() * group.width + 7) / 8 + 8); // 8 to spare for the last store
    std::uint8_t *at = out.data() + start;
    std::uint64_t gathered = 0;
    unsigned used = 0;
    for (const std::int64_t v : values) {
        const std::uint64_t bits = asUnsigned(v) - asUnsigned(group.least);
        gathered |= bits << used;
        used += group.width;
        if (used >= 64) {
            std::memcpy(at, &gathered, 8);
            at += 8;
            used -= 64;
            gathered = used == 0 ? 0 : bits >> (group.width - used);
        }
    }
    std::memcpy(at, &gathered, 8);
    out.resize(start + (values.size() * group.width + 7) / 8);
}

/// The number of `width` bits that starts at bit `bit`.
std::uint64_t bitsAt(std::span<const std::uint8_t> bytes, std::size_t bit, unsigned width)
{
    const std::size_t first = bit / 8;
    const unsigned shift = static_cast<unsigned>(bit % 8);
    std::uint64_t low = 0;
    std::memcpy(&low, bytes.data() + first, std::min<std::size_t>(8, bytes.size() - first));
    std::uint64_t value = low >> shift;
    if (shift + width > 64)
        value |= std::uint64_t{bytes[first + 8]} << (64 - shift);
    return width == 64 ? value : value & ((std::uint64_t{1} << width) - 1);
}

static_assert(std::endian::native == std::endian::little,
              "the bit layout is written for little-endian machines");

} // namespace

Result<std::span<const std::uint8_t>> ByteReader::take(std::size_t count)
{
    if (count > m_bytes.size())
        return cutShort();
    const std::span<const std::uint8_t> taken = m_bytes.first(count);
    m_bytes = m_bytes.subspan(count);
    return taken;
}

Result<std::uint8_t> ByteReader::takeByte()
{
    const auto taken = take(1);
    if (!taken)
        return taken.error();
    return taken->front();
}

Result<std::uint64_t> ByteReader::takeVarint()
{
    std::uint64_t value = 0;
    for (unsigned shift = 0; shift < 64; shift += 7) {
        const auto byte = takeByte();
        if (!byte)
            return byte.error();
        value |= std::uint64_t{*byte & 0x7fU} << shift;
        if ((*byte & 0x80U) == 0)
            return value;
    }
    return fail(ErrorKind::Malformed,
                QStringLiteral("A packed block of a log is damaged: a number has no end."));
}

void putVarint(std::uint64_t value, Bytes &out)
{
    while (value >= 0x80) {
        out.push_back(static_cast<std::uint8_t>(value | 0x80U));
        value >>= 7U;
    }
    out.push_back(static_cast<std::uint8_t>(value));
}

void packInts(std::span<const std::int64_t> values, Bytes &out)
{
    if (values.empty())
        return;
    // The start is chosen so that the first difference equals the second: a steady rise costs nothing.
    const std::uint64_t step = values.size() > 1 ? asUnsigned(values[1]) - asUnsigned(values[0]) : 0;
    std::uint64_t before = asUnsigned(values[0]) - step;
    putVarint(zigzag(static_cast<std::int64_t>(before)), out);
    std::array<std::int64_t, groupSize> differences{};
    while (!values.empty()) {
        const std::span<const std::int64_t> group = values.first(std::min(groupSize, values.size()));
        if (std::all_of(group.begin(), group.end(), [&](std::int64_t v) { return v == group[0]; })) {
            putGroup(group, {group[0], 0}, 0, out);
            before = asUnsigned(group[0]);
            values = values.subspan(group.size());
            continue;
        }
        for (std::size_t i = 0; i < group.size(); ++i) {
            differences[i] = static_cast<std::int64_t>(asUnsigned(group[i]) - before);
            before = asUnsigned(group[i]);
        }
        const std::span<const std::int64_t> steps(differences.data(), group.size());
        const Group plain = measure(group);
        const Group stepped = measure(steps);
        if (stepped.width < plain.width)
            putGroup(steps, stepped, differencesBit, out);
        else
            putGroup(group, plain, 0, out);
        values = values.subspan(group.size());
    }
}

Result<std::vector<std::int64_t>> unpackInts(ByteReader &in, std::size_t count)
{
    std::vector<std::int64_t> values;
    if (count == 0)
        return values;
    values.reserve(std::min(count, in.left() * groupSize));
    const auto start = in.takeVarint();
    if (!start)
        return start.error();
    std::uint64_t before = asUnsigned(unzigzag(*start));
    while (values.size() < count) {
        const std::size_t size = std::min(groupSize, count - values.size());
        const auto mark = in.takeByte();
        if (!mark)
            return mark.error();
        const unsigned width = *mark & 0x7fU;
        const auto least = in.takeVarint();
        if (!least)
            return least.error();
        if (width > 64)
            return fail(ErrorKind::Malformed,
                        QStringLiteral("A packed block of a log is damaged: a width of %1 bits.").arg(width));
        const auto bits = in.take((size * width + 7) / 8);
        if (!bits)
            return bits.error();
        const std::uint64_t base = asUnsigned(unzigzag(*least));
        const bool differences = (*mark & differencesBit) != 0;
        for (std::size_t i = 0; i < size; ++i) {
            std::uint64_t v = base + (width == 0 ? 0 : bitsAt(*bits, i * width, width));
            if (differences)
                v += before;
            before = v;
            values.push_back(static_cast<std::int64_t>(v));
        }
    }
    return values;
}

} // namespace holdfast
