// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/packed_ints.h"
#include "feed/records.h"

#include <QByteArray>
#include <string>
#include <type_traits>

namespace holdfast
{

/// A column of measured or derived values to be stored; NaN is a missing value. With `decimals` (0..9) values
/// are rounded to that many; without, every value comes back bit for bit (but NaN as the one NaN, and -0 as
/// 0).
struct ValueColumn {
    std::string name; ///< small letters, digits and '_'
    std::span<const double> values;
    int decimals = exact;
    static constexpr int exact = -1;
};

/// A column of small whole numbers to be stored: flags, reasons, line numbers.
struct MarkColumn {
    template <typename T>
    MarkColumn(std::string columnName, std::span<const T> numbers)
        : name(std::move(columnName)), bytes(std::as_bytes(numbers)), width(sizeof(T))
    {
        static_assert((std::is_enum_v<T> || std::is_unsigned_v<T>)&&sizeof(T) <= 4);
    }
    std::string name;
    std::span<const std::byte> bytes;
    std::size_t width; ///< bytes of one number: 1, 2 or 4
};

/// Rows to be stored, as columns of equal length in order of time. It refers to the caller's columns.
struct SensorTable {
    std::span<const std::int64_t> timeUs;
    std::vector<ValueColumn> values;
    std::vector<MarkColumn> marks;
};

/// One block, packed: what a row of table log_block holds.
struct PackedBlock {
    std::int64_t firstUs = 0;
    std::int64_t lastUs = 0;
    std::int64_t rows = 0;
    QByteArray data;
    QByteArray sha256; ///< 32 bytes, of data
};

/// A whole log, packed, and what proves it: `digest` is the SHA-256 (64 hexadecimal digits) over the sums of
/// all blocks in order, for the ledger's entry.
struct PackedLog {
    QByteArray columns; ///< what the blocks hold, for unpackBlock(): "v:temperature v:pressure m:line"
    std::vector<PackedBlock> blocks;
    QString digest;
    [[nodiscard]] std::int64_t rows() const;
    [[nodiscard]] std::int64_t bytes() const;
};

/// Rows read back.
struct SensorRows {
    struct Values {
        std::string name;
        std::vector<double> values;
    };
    struct Marks {
        std::string name;
        std::vector<std::uint32_t> marks;
    };
    std::vector<std::int64_t> timeUs;
    std::vector<Values> values;
    std::vector<Marks> marks;

    [[nodiscard]] std::size_t size() const { return timeUs.size(); }
    [[nodiscard]] const std::vector<double> *find(std::string_view valueName) const;
    [[nodiscard]] const std::vector<std::uint32_t> *findMarks(std::string_view markName) const;
    /// Appends rows. A column that only one of the two has is filled up with missing values (marks: 0).
    void append(SensorRows &&more);
    /// Keeps the rows from..to, both included; the rows must be in order of time.
    void cutTo(std::int64_t fromUs, std::int64_t toUs);
    /// Puts rows of several logs in order of time, equal times as they stand.
    void sortByTime();
};

/// Rows in one block: a minute of 24 Hz scans. A window of 30 s is then in one block or two.
inline constexpr std::size_t rowsPerBlock = 1440;

/// Columns of a log packed apart from the others: of each block its part. So the measured values can be
/// packed while their flags are still being found.
struct PackedColumns {
    QByteArray names;
    std::vector<Bytes> parts;
};

/// Packs the columns of a table; large ones on two threads. Errors: as packLog(). Pure.
[[nodiscard]] Result<PackedColumns> packColumns(const SensorTable &table);
/// Makes the log of columns that were packed with the same times, in this order. Pure.
[[nodiscard]] Result<PackedLog> joinColumns(std::span<const std::int64_t> timeUs,
                                            std::span<const PackedColumns> columns);

/// Packs a table into blocks; large ones on two threads. Errors: Internal when columns differ in length, a
/// name is not a name or times run backwards. Pure.
///
/// Layout of a block: byte version (1), varint rows, byte d: times are in units of 10^d microseconds, varint
/// size and packInts of them; for each column varint size and
///   values  byte kind: 0 all missing; 1 whole numbers divided by 10^decimals, byte decimals; 2 IEEE 754
///   bits;
///           then (1, 2) byte: runs follow; if so varint number of runs and packInts of their lengths (values
///           there, missing, there, …); packInts of those that are there
///   marks   packInts
[[nodiscard]] Result<PackedLog> packLog(const SensorTable &table);

/// Reads a block back. `columns` as in PackedLog. Only columns named in `wanted` are unpacked; empty: all.
/// Error Malformed when the bytes are no such block.
[[nodiscard]] Result<SensorRows> unpackBlock(const QByteArray &data, const QByteArray &columns,
                                             std::span<const std::string> wanted = {});

} // namespace holdfast
