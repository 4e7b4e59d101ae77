// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/intake.h"
#include "store/sensor_records.h"
#include "store/sql.h"

#include <functional>
#include <limits>

namespace holdfast
{

enum class LogKind {
    Position, ///< of the vehicle
    Ctd,
    Velocity,
    Ship,     ///< positions and headings of the ship
    Acoustic, ///< raw ranges and bearings from the ship to the vehicle
};

/// The kind of rows that a log of this profile gives: NMEA logs give positions.
[[nodiscard]] LogKind logKindOf(const FeedProfile &profile);
[[nodiscard]] QString nameOf(LogKind kind); ///< "position", "ctd", "velocity", "ship", "acoustic"

/// One log file in the sensor log.
struct LogFile {
    qint64 id = 0;
    QString uuid; ///< of the intake
    int dive = 0;
    LogKind kind = LogKind::Position;
    QString profile;
    QByteArray profileJson;
    QString fileName;
    QString sha256; ///< of the file, 64 hexadecimal digits
    qint64 bytes = 0;
    qint64 rows = 0;
    UtcTime first{}, last{};
    QByteArray columns; ///< see PackedLog
    QString digest;     ///< see PackedLog
    bool inUse = true;
};

/// Puts logs into the sensor log, inside a transaction of the caller, so that a log and the ledger's entry
/// about it are there together or not at all. Belongs to the thread of its connection.
class SensorLogWriter
{
public:
    explicit SensorLogWriter(const QSqlDatabase &connection) : m_connection(connection) {}

    /// Stores a log that was read and packed: file, blocks, its own bytes, remarks and lines kept aside.
    /// Error Duplicate when the dive has this file already (same SHA-256), Internal outside a transaction.
    [[nodiscard]] Result<qint64> write(const QString &uuid, int dive, const IntakeData &data,
                                       const PackedLog &packed);
    /// The values of a log are derived again from its own bytes: new blocks, columns and warnings, the rest
    /// stays.
    [[nodiscard]] Done replaceValues(const LogFile &file, const PackedLog &packed,
                                     const QStringList &warnings);
    /// A corrected log takes the place of an earlier one: the earlier stays, but is not used for reading a
    /// dive.
    [[nodiscard]] Done setInUse(const QString &uuid, bool inUse);

    // The same piece by piece, in a transaction each: nobody reads the log before finish().
    /// Begins a log. One of the same dive with the same sum that was left half must be taken out before
    /// (write() does so itself). Error Duplicate as in write().
    [[nodiscard]] Result<qint64> begin(const QString &uuid, int dive, const IntakeData &data,
                                       const PackedLog &packed);
    /// How far the pieces of a log have come.
    struct Put {
        std::size_t blocks = 0, texts = 0;
        bool report = false;
    };
    /// Puts in the next piece, about `bytes` of it. @return false when there was nothing left. Error Refused
    /// when somebody has taken the begun log out.
    [[nodiscard]] Result<bool> putPiece(qint64 file, const IntakeData &data, const PackedLog &packed,
                                        qint64 bytes, Put &put);
    /// From now on it counts.
    [[nodiscard]] Done finish(qint64 file);
    /// The logs that were begun and not finished.
    [[nodiscard]] Result<std::vector<qint64>> leftInTheMaking() const;
    /// Takes at most `rows` rows of a log that was begun out again. @return false when it is gone.
    [[nodiscard]] Result<bool> takeOutPiece(qint64 file, int rows);

private:
    [[nodiscard]] Done inTransaction() const;
    /// In the open transaction: whether that file is being put in piece by piece.
    [[nodiscard]] Result<bool> isInMaking(qint64 file) const;
    [[nodiscard]] Done takeOutHalfOf(int dive, const QString &sha256);
    [[nodiscard]] Done mayBegin(int dive, const IntakeData &data, const PackedLog &packed) const;
    [[nodiscard]] Result<qint64> writeFile(const QString &uuid, int dive, const IntakeData &data,
                                           const PackedLog &packed);
    [[nodiscard]] Done writeBlocks(qint64 file, const PackedLog &packed, std::size_t from, std::size_t to);
    [[nodiscard]] Done writeText(qint64 file, const std::vector<PackedText> &text, std::size_t from,
                                 std::size_t to);
    [[nodiscard]] Done writeReport(qint64 file, const IntakeReport &report);

    QSqlDatabase m_connection;
};

/// Reads the sensor log. Belongs to the thread of its connection.
class SensorLogReader
{
public:
    explicit SensorLogReader(const QSqlDatabase &connection) : m_connection(connection) {}

    /// All log files of a dive in the order they were taken in, also those no longer in use.
    [[nodiscard]] Result<std::vector<LogFile>> files(int dive) const;
    /// The file with this SHA-256 in the dive: whether a log was read before.
    [[nodiscard]] Result<std::optional<LogFile>> fileWithSum(int dive, const QString &sha256) const;
    [[nodiscard]] Result<LogFile> fileOf(const QString &uuid) const;

    /// The rows of one file with from <= time <= to; `wanted` names columns, empty for all.
    [[nodiscard]] Result<SensorRows> rows(const LogFile &file, UtcTime from = earliest, UtcTime to = latest,
                                          std::span<const std::string> wanted = {}) const;
    /// The rows of all files of a kind that are in use for a dive, in order of time. No rows: no error.
    [[nodiscard]] Result<SensorRows> rowsOfDive(int dive, LogKind kind, UtcTime from = earliest,
                                                UtcTime to = latest,
                                                std::span<const std::string> wanted = {}) const;
    [[nodiscard]] Result<CtdColumns> ctd(int dive, UtcTime from = earliest, UtcTime to = latest) const;
    [[nodiscard]] Result<std::vector<PositionRecord>> positions(int dive, UtcTime from = earliest,
                                                                UtcTime to = latest) const;
    [[nodiscard]] Result<std::vector<VelocityRecord>> velocities(int dive, UtcTime from = earliest,
                                                                 UtcTime to = latest) const;

    /// The ship's positions with heading, pitch and roll where its logs have them.
    [[nodiscard]] Result<std::vector<PositionRecord>> shipPositions(int dive) const;

    /// What was said about the file's lines: counts by reason, warnings and lines kept aside.
    [[nodiscard]] Result<IntakeReport> report(const LogFile &file) const;

    /// Gives the log's own bytes, piece by piece in order, to `take`; stops at its first error.
    [[nodiscard]] Done text(const LogFile &file, const std::function<Done(std::string_view)> &take) const;

    /// Checks a file against its sums: each block, the digest over all, and the log's own bytes against the
    /// file's SHA-256. Error Tampered names the first thing that does not fit.
    [[nodiscard]] Done verify(const LogFile &file) const;

    static constexpr UtcTime earliest{Microseconds{std::numeric_limits<std::int64_t>::min()}};
    static constexpr UtcTime latest{Microseconds{std::numeric_limits<std::int64_t>::max()}};

private:
    [[nodiscard]] Done verifyBlocks(const LogFile &file) const;
    [[nodiscard]] Done verifyText(const LogFile &file) const;

    QSqlDatabase m_connection;
};

} // namespace holdfast
