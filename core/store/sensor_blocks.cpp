// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/sensor_blocks.h"

#include "feed/sha256.h"

#include <QList>
#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstring>
#include <future>
#include <optional>

namespace holdfast
{

namespace
{

constexpr std::uint8_t layoutVersion = 1;
enum ColumnKind : std::uint8_t { AllMissing = 0, Scaled = 1, Raw = 2 };
constexpr std::array<double, 10> powersOfTen = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};
constexpr double exactLimit = 9007199254740992.0; // 2^53
constexpr std::size_t twoThreadsFrom = 100'000;

Error damaged(const char *what)
{
    return fail(ErrorKind::Malformed,
                QStringLiteral("A block of the sensor log is damaged: %1.").arg(QString::fromLatin1(what)));
}

/// Room for the numbers of one column, used again for every block.
struct Scratch {
    std::vector<std::int64_t> numbers;
    std::vector<double> there;
    std::vector<std::int64_t> runs;
    Bytes packed;
};

/// The value as a whole number of 10^-decimals; nothing when that would not give it back.
std::optional<std::int64_t> scaled(double value, unsigned decimals)
{
    const double number = std::nearbyint(value * powersOfTen[decimals]);
    if (!(std::abs(number) < exactLimit) || number / powersOfTen[decimals] != value)
        return {};
    return static_cast<std::int64_t>(number);
}

/// The fewest decimals that give every value back; nothing when nine do not.
std::optional<unsigned> decimalsOf(const std::vector<double> &values)
{
    unsigned decimals = 0;
    for (const double value : values) {
        while (!scaled(value, decimals)) {
            if (++decimals >= powersOfTen.size())
                return {};
        }
    }
    return decimals;
}

/// Parts the values from the missing ones: those there into `there`, the runs of both kinds into `runs`.
void partMissing(std::span<const double> values, Scratch &scratch)
{
    scratch.there.clear();
    scratch.runs.clear();
    bool missing = false;
    std::int64_t run = 0;
    for (const double value : values) {
        if (std::isnan(value) != missing) {
            scratch.runs.push_back(run);
            run = 0;
            missing = !missing;
        }
        ++run;
        if (!missing)
            scratch.there.push_back(value);
    }
    scratch.runs.push_back(run);
}

bool scaleAll(const ValueColumn &column, Scratch &scratch, std::uint8_t &decimals)
{
    scratch.numbers.clear();
    if (column.decimals == ValueColumn::exact) {
        const std::optional<unsigned> fewest = decimalsOf(scratch.there);
        if (!fewest)
            return false;
        decimals = static_cast<std::uint8_t>(*fewest);
    } else {
        decimals = static_cast<std::uint8_t>(column.decimals);
    }
    for (const double value : scratch.there) {
        const double number = std::nearbyint(value * powersOfTen[decimals]);
        if (!(std::abs(number) < exactLimit))
            return false;
        scratch.numbers.push_back(static_cast<std::int64_t>(number));
    }
    return true;
}

void packValues(const ValueColumn &column, std::size_t from, std::size_t count, Scratch &scratch)
{
    Bytes &out = scratch.packed;
    partMissing(column.values.subspan(from, count), scratch);
    if (scratch.there.empty()) {
        out.push_back(AllMissing);
        return;
    }
    std::uint8_t decimals = 0;
    if (scaleAll(column, scratch, decimals)) {
        out.push_back(Scaled);
        out.push_back(decimals);
    } else {
        out.push_back(Raw);
        scratch.numbers.clear();
        for (const double value : scratch.there)
            scratch.numbers.push_back(std::bit_cast<std::int64_t>(value));
    }
    out.push_back(scratch.runs.size() > 1 ? 1 : 0);
    if (scratch.runs.size() > 1) {
        putVarint(scratch.runs.size(), out);
        packInts(scratch.runs, out);
    }
    packInts(scratch.numbers, out);
}

void packMarks(const MarkColumn &column, std::size_t from, std::size_t count, Scratch &scratch)
{
    scratch.numbers.clear();
    const std::byte *at = column.bytes.data() + from * column.width;
    for (std::size_t i = 0; i < count; ++i, at += column.width) {
        std::uint32_t number = 0;
        std::memcpy(&number, at, column.width); // little-endian, as packInts() asserts
        scratch.numbers.push_back(number);
    }
    packInts(scratch.numbers, scratch.packed);
}

/// Times in the largest of microseconds, milliseconds and seconds that holds them exactly.
void packTimes(std::span<const std::int64_t> times, Scratch &scratch)
{
    std::uint8_t power = 6;
    std::int64_t unit = 1'000'000;
    for (const std::int64_t us : times) {
        while (us % unit != 0) {
            unit /= 1000;
            power = static_cast<std::uint8_t>(power - 3);
        }
    }
    scratch.numbers.clear();
    for (const std::int64_t us : times)
        scratch.numbers.push_back(us / unit);
    scratch.packed.push_back(power);
    packInts(scratch.numbers, scratch.packed);
}

void putPart(Bytes &block, Bytes &part)
{
    putVarint(part.size(), block);
    block.insert(block.end(), part.begin(), part.end());
    part.clear();
}

Result<PackedBlock> packBlock(const SensorTable &table, std::size_t from, std::size_t count, Scratch &scratch)
{
    Bytes block = {layoutVersion};
    putVarint(count, block);
    packTimes(table.timeUs.subspan(from, count), scratch);
    putPart(block, scratch.packed);
    for (const ValueColumn &column : table.values) {
        packValues(column, from, count, scratch);
        putPart(block, scratch.packed);
    }
    for (const MarkColumn &column : table.marks) {
        packMarks(column, from, count, scratch);
        putPart(block, scratch.packed);
    }
    PackedBlock packed;
    packed.firstUs = table.timeUs[from];
    packed.lastUs = table.timeUs[from + count - 1];
    packed.rows = static_cast<std::int64_t>(count);
    packed.data =
        QByteArray(reinterpret_cast<const char *>(block.data()), static_cast<qsizetype>(block.size()));
    Sha256 sha;
    sha.add(packed.data);
    Result<QByteArray> sum = sha.finish();
    if (!sum)
        return sum.error();
    packed.sha256 = *sum;
    return packed;
}

Result<std::vector<PackedBlock>> packBlocks(const SensorTable &table, std::size_t from, std::size_t end)
{
    std::vector<PackedBlock> blocks;
    Scratch scratch;
    for (; from < end; from += rowsPerBlock) {
        auto block = packBlock(table, from, std::min(rowsPerBlock, end - from), scratch);
        if (!block)
            return block.error();
        blocks.push_back(std::move(*block));
    }
    return blocks;
}

bool isName(const std::string &name)
{
    return !name.empty() && name.size() < 40 && std::all_of(name.begin(), name.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_';
    });
}

Done check(const SensorTable &table)
{
    const auto fault = [](const std::string &what) {
        return fail(ErrorKind::Internal,
                    QStringLiteral("Rows for the sensor log: %1.").arg(QString::fromStdString(what)));
    };
    for (const ValueColumn &column : table.values) {
        if (!isName(column.name) || column.decimals < -1 || column.decimals > 9)
            return fault("column \"" + column.name + "\" has a wrong name or number of decimals");
        if (column.values.size() != table.timeUs.size())
            return fault("column \"" + column.name + "\" is not as long as the times");
    }
    for (const MarkColumn &column : table.marks) {
        if (!isName(column.name) || column.bytes.size() != table.timeUs.size() * column.width)
            return fault("marks \"" + column.name + "\" have a wrong name or length");
    }
    if (!std::is_sorted(table.timeUs.begin(), table.timeUs.end()))
        return fault("the times run backwards");
    return {};
}

struct ColumnName {
    bool marks = false;
    std::string name;
};

Result<std::vector<ColumnName>> columnNames(const QByteArray &columns)
{
    std::vector<ColumnName> names;
    for (const QByteArray &part : columns.split(' ')) {
        if (part.isEmpty())
            continue;
        if (part.size() < 3 || part[1] != ':' || (part[0] != 'v' && part[0] != 'm'))
            return damaged("its list of columns can't be read");
        names.push_back({part[0] == 'm', part.mid(2).toStdString()});
    }
    return names;
}

/// The runs of a column's values and gaps; one run of all rows when nothing is missing.
Result<std::vector<std::int64_t>> unpackRuns(ByteReader &in, std::size_t rows)
{
    const auto follow = in.takeByte();
    if (!follow)
        return follow.error();
    if (*follow == 0)
        return std::vector<std::int64_t>{static_cast<std::int64_t>(rows)};
    const auto count = in.takeVarint();
    if (!count)
        return count.error();
    if (*count > rows + 1)
        return damaged("more gaps than rows");
    auto runs = unpackInts(in, *count);
    if (!runs)
        return runs;
    std::int64_t sum = 0;
    for (const std::int64_t run : *runs) {
        if (run < 0 || run > static_cast<std::int64_t>(rows))
            return damaged("an impossible gap");
        sum += run;
    }
    if (sum != static_cast<std::int64_t>(rows))
        return damaged("gaps that do not fit the rows");
    return runs;
}

Result<std::vector<double>> unpackValues(ByteReader in, std::size_t rows)
{
    const auto kind = in.takeByte();
    if (!kind)
        return kind.error();
    if (*kind == AllMissing)
        return std::vector<double>(rows, missingValue);
    if (*kind != Scaled && *kind != Raw)
        return damaged("a column of an unknown kind");
    const auto decimals = *kind == Scaled ? in.takeByte() : Result<std::uint8_t>(std::uint8_t{0});
    if (!decimals)
        return decimals.error();
    if (*decimals >= powersOfTen.size())
        return damaged("an impossible number of decimals");
    const auto runs = unpackRuns(in, rows);
    if (!runs)
        return runs.error();
    std::int64_t there = 0;
    for (std::size_t i = 0; i < runs->size(); i += 2)
        there += (*runs)[i];
    const auto numbers = unpackInts(in, static_cast<std::size_t>(there));
    if (!numbers)
        return numbers.error();
    std::vector<double> values;
    values.reserve(rows);
    std::size_t next = 0;
    const double scale = powersOfTen[*decimals];
    for (std::size_t i = 0; i < runs->size(); ++i) {
        for (std::int64_t k = 0; k < (*runs)[i]; ++k) {
            if (i % 2 == 1)
                values.push_back(missingValue);
            else if (*kind == Raw)
                values.push_back(std::bit_cast<double>((*numbers)[next++]));
            else
                values.push_back(static_cast<double>((*numbers)[next++]) / scale);
        }
    }
    return values;
}

Result<std::vector<std::int64_t>> unpackTimes(ByteReader in, std::size_t rows)
{
    const auto power = in.takeByte();
    if (!power)
        return power.error();
    if (*power != 0 && *power != 3 && *power != 6)
        return damaged("an unknown unit of time");
    auto times = unpackInts(in, rows);
    if (!times)
        return times;
    const auto unit = static_cast<std::uint64_t>(powersOfTen[*power]);
    for (std::int64_t &time : *times)
        time = static_cast<std::int64_t>(static_cast<std::uint64_t>(time) * unit);
    return times;
}

Result<ByteReader> takePart(ByteReader &in)
{
    const auto size = in.takeVarint();
    if (!size)
        return size.error();
    const auto part = in.take(*size);
    if (!part)
        return part.error();
    return ByteReader(*part);
}

} // namespace

std::int64_t PackedLog::rows() const
{
    std::int64_t sum = 0;
    for (const PackedBlock &block : blocks)
        sum += block.rows;
    return sum;
}

std::int64_t PackedLog::bytes() const
{
    std::int64_t sum = 0;
    for (const PackedBlock &block : blocks)
        sum += block.data.size();
    return sum;
}

Result<PackedLog> packLog(const SensorTable &table)
{
    if (const Done sound = check(table); !sound)
        return sound.error();
    PackedLog log;
    for (const ValueColumn &column : table.values)
        log.columns += "v:" + QByteArray::fromStdString(column.name) + ' ';
    for (const MarkColumn &column : table.marks)
        log.columns += "m:" + QByteArray::fromStdString(column.name) + ' ';
    log.columns = log.columns.trimmed();

    const std::size_t rows = table.timeUs.size();
    const std::size_t half = rows < twoThreadsFrom ? rows : rows / 2 / rowsPerBlock * rowsPerBlock;
    auto second = std::async(half < rows ? std::launch::async : std::launch::deferred,
                             [&] { return packBlocks(table, half, rows); });
    auto first = packBlocks(table, 0, half);
    auto rest = second.get();
    if (!first || !rest)
        return first ? rest.error() : first.error();
    log.blocks = std::move(*first);
    std::move(rest->begin(), rest->end(), std::back_inserter(log.blocks));
    Sha256 sha;
    for (const PackedBlock &block : log.blocks)
        sha.add(block.sha256);
    const Result<QByteArray> sum = sha.finish();
    if (!sum)
        return sum.error();
    log.digest = QString::fromLatin1(sum->toHex());
    return log;
}

Result<SensorRows> unpackBlock(const QByteArray &data, const QByteArray &columns,
                               std::span<const std::string> wanted)
{
    const auto names = columnNames(columns);
    if (!names)
        return names.error();
    ByteReader in(std::span(reinterpret_cast<const std::uint8_t *>(data.constData()),
                            static_cast<std::size_t>(data.size())));
    const auto version = in.takeByte();
    const auto rows = version ? in.takeVarint() : Result<std::uint64_t>(version.error());
    if (!rows)
        return rows.error();
    if (*version != layoutVersion || *rows > 1'000'000)
        return damaged("its beginning is not that of a block");
    SensorRows result;
    auto part = takePart(in);
    auto times = part ? unpackTimes(*part, *rows) : Result<std::vector<std::int64_t>>(part.error());
    if (!times)
        return times.error();
    result.timeUs = std::move(*times);
    for (const ColumnName &column : *names) {
        part = takePart(in);
        if (!part)
            return part.error();
        if (!wanted.empty() && std::find(wanted.begin(), wanted.end(), column.name) == wanted.end())
            continue;
        if (column.marks) {
            const auto numbers = unpackInts(*part, *rows);
            if (!numbers)
                return numbers.error();
            result.marks.push_back({column.name, {numbers->begin(), numbers->end()}});
        } else {
            auto values = unpackValues(*part, *rows);
            if (!values)
                return values.error();
            result.values.push_back({column.name, std::move(*values)});
        }
    }
    return result;
}

} // namespace holdfast
