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
/// Adding and subtracting 1.5 * 2^52 rounds to the nearest whole number, and the sum's low bits are that
/// number: exact below 2^51, without a call or a branch, so that the compiler can do several at once.
constexpr double roundingTerm = 6755399441055744.0;
constexpr double roundingLimit = 2251799813685248.0; // 2^51
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

/// True when every value is a whole number of 10^-decimals and comes back from it.
bool fitAll(std::span<const double> values, unsigned decimals)
{
    const double scale = powersOfTen[decimals];
    unsigned misfits = 0;
    for (const double value : values) {
        const double number = value * scale;
        const double whole = number + roundingTerm - roundingTerm;
        misfits |= static_cast<unsigned>(!(std::abs(number) < roundingLimit)) |
                   static_cast<unsigned>(whole / scale != value);
    }
    return misfits == 0;
}

/// The fewest decimals that give every value back; nothing when nine do not.
std::optional<unsigned> decimalsOf(std::span<const double> values)
{
    unsigned decimals = 0;
    // A few values tell the decimals in nearly all cases; then all are checked.
    while (!fitAll(values.first(std::min<std::size_t>(16, values.size())), decimals) ||
           !fitAll(values, decimals)) {
        if (++decimals >= powersOfTen.size())
            return {};
    }
    return decimals;
}

/// The values that are there, in `there` where some are missing; the runs of both kinds go into `runs`.
std::span<const double> partMissing(std::span<const double> values, Scratch &scratch)
{
    scratch.there.clear();
    scratch.runs.clear();
    std::size_t missingCount = 0;
    for (const double value : values)
        missingCount += std::isnan(value) ? 1U : 0U;
    if (missingCount == 0) {
        scratch.runs.push_back(static_cast<std::int64_t>(values.size()));
        return values;
    }
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
    return scratch.there;
}

/// Values as whole numbers; false when they are too large or have too many decimals for it.
bool scaleAll(std::span<const double> values, int stated, Scratch &scratch, std::uint8_t &decimals)
{
    if (stated == ValueColumn::exact) {
        const std::optional<unsigned> fewest = decimalsOf(values);
        if (!fewest)
            return false;
        decimals = static_cast<std::uint8_t>(*fewest);
    } else {
        decimals = static_cast<std::uint8_t>(stated);
    }
    const double scale = powersOfTen[decimals];
    unsigned tooLarge = 0;
    scratch.numbers.resize(values.size());
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double number = values[i] * scale;
        tooLarge |= static_cast<unsigned>(!(std::abs(number) < roundingLimit));
        scratch.numbers[i] =
            std::bit_cast<std::int64_t>(number + roundingTerm) - std::bit_cast<std::int64_t>(roundingTerm);
    }
    return tooLarge == 0;
}

void packValues(const ValueColumn &column, std::size_t from, std::size_t count, Scratch &scratch)
{
    Bytes &out = scratch.packed;
    const std::span<const double> values = partMissing(column.values.subspan(from, count), scratch);
    if (values.empty()) {
        out.push_back(AllMissing);
        return;
    }
    std::uint8_t decimals = 0;
    if (scaleAll(values, column.decimals, scratch, decimals)) {
        out.push_back(Scaled);
        out.push_back(decimals);
    } else {
        out.push_back(Raw);
        scratch.numbers.clear();
        for (const double value : values)
            scratch.numbers.push_back(std::bit_cast<std::int64_t>(value));
    }
    out.push_back(scratch.runs.size() > 1 ? 1 : 0);
    if (scratch.runs.size() > 1) {
        putVarint(scratch.runs.size(), out);
        packInts(scratch.runs, out);
    }
    packInts(scratch.numbers, out);
}

template <typename T>
void widen(const std::byte *bytes, std::vector<std::int64_t> &numbers)
{
    for (std::size_t i = 0; i < numbers.size(); ++i) {
        T number = 0;
        std::memcpy(&number, bytes + i * sizeof(T), sizeof(T));
        numbers[i] = number;
    }
}

void packMarks(const MarkColumn &column, std::size_t from, std::size_t count, Scratch &scratch)
{
    scratch.numbers.resize(count);
    const std::byte *const bytes = column.bytes.data() + from * column.width;
    if (column.width == 1)
        widen<std::uint8_t>(bytes, scratch.numbers);
    else if (column.width == 2)
        widen<std::uint16_t>(bytes, scratch.numbers);
    else
        widen<std::uint32_t>(bytes, scratch.numbers);
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

/// The parts of some blocks: of each, its columns one after the other.
std::vector<Bytes> packParts(const SensorTable &table, std::size_t from, std::size_t end)
{
    std::vector<Bytes> parts;
    Scratch scratch;
    for (; from < end; from += rowsPerBlock) {
        const std::size_t count = std::min(rowsPerBlock, end - from);
        Bytes part;
        for (const ValueColumn &column : table.values) {
            packValues(column, from, count, scratch);
            putPart(part, scratch.packed);
        }
        for (const MarkColumn &column : table.marks) {
            packMarks(column, from, count, scratch);
            putPart(part, scratch.packed);
        }
        parts.push_back(std::move(part));
    }
    return parts;
}

Result<PackedBlock> joinBlock(std::span<const std::int64_t> times, std::span<const PackedColumns> columns,
                              std::size_t index, Scratch &scratch)
{
    Bytes block = {layoutVersion};
    putVarint(times.size(), block);
    packTimes(times, scratch);
    putPart(block, scratch.packed);
    for (const PackedColumns &some : columns)
        block.insert(block.end(), some.parts[index].begin(), some.parts[index].end());
    PackedBlock packed;
    packed.firstUs = times.front();
    packed.lastUs = times.back();
    packed.rows = static_cast<std::int64_t>(times.size());
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

Result<PackedColumns> packColumns(const SensorTable &table)
{
    if (const Done sound = check(table); !sound)
        return sound.error();
    PackedColumns packed;
    for (const ValueColumn &column : table.values)
        packed.names += "v:" + QByteArray::fromStdString(column.name) + ' ';
    for (const MarkColumn &column : table.marks)
        packed.names += "m:" + QByteArray::fromStdString(column.name) + ' ';
    const std::size_t rows = table.timeUs.size();
    const std::size_t half = rows < twoThreadsFrom ? rows : rows / 2 / rowsPerBlock * rowsPerBlock;
    auto second = std::async(half < rows ? std::launch::async : std::launch::deferred,
                             [&] { return packParts(table, half, rows); });
    packed.parts = packParts(table, 0, half);
    auto rest = second.get();
    std::move(rest.begin(), rest.end(), std::back_inserter(packed.parts));
    return packed;
}

Result<PackedLog> joinColumns(std::span<const std::int64_t> timeUs, std::span<const PackedColumns> columns)
{
    const std::size_t blocks = (timeUs.size() + rowsPerBlock - 1) / rowsPerBlock;
    PackedLog log;
    for (const PackedColumns &some : columns) {
        if (some.parts.size() != blocks)
            return fail(ErrorKind::Internal,
                        QStringLiteral("Rows for the sensor log: columns of different length."));
        log.columns += some.names;
    }
    log.columns = log.columns.trimmed();
    Sha256 sha;
    Scratch scratch;
    for (std::size_t i = 0; i < blocks; ++i) {
        const std::size_t from = i * rowsPerBlock;
        auto block = joinBlock(timeUs.subspan(from, std::min(rowsPerBlock, timeUs.size() - from)), columns, i,
                               scratch);
        if (!block)
            return block.error();
        sha.add(block->sha256);
        log.blocks.push_back(std::move(*block));
    }
    const Result<QByteArray> sum = sha.finish();
    if (!sum)
        return sum.error();
    log.digest = QString::fromLatin1(sum->toHex());
    return log;
}

Result<PackedLog> packLog(const SensorTable &table)
{
    const auto columns = packColumns(table);
    if (!columns)
        return columns.error();
    return joinColumns(table.timeUs, std::span(&*columns, 1));
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
