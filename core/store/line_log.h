// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/utc_time.h"
#include "feed/line_pack.h"
#include "store/sql.h"

#include <optional>

namespace holdfast
{

/// A feed that is being recorded into a dive: from when it was opened until it is closed.
struct Recording {
    QString uuid;
    int dive = 0;
    QString station;
    QString feed;
    QString address; ///< see feed/feed_address.h
    QString profile; ///< by which it was read at the time
    QByteArray profileJson;
    UtcTime begun{};
};

/// What the blocks of a recording add up to.
struct RecordingSums {
    qint64 lines = 0;
    qint64 bytes = 0;
    qint64 blocks = 0;
    UtcTime first{}, last{}; ///< receive time of the first and the last line
    QString digest;          ///< SHA-256 over the sums of its blocks in order, 64 hexadecimal digits
};

/// Where a block of received lines stands.
struct LineBlockPlace {
    qint64 id = 0;
    qint64 seq = 0; ///< its place in the recording, from 1
    qint64 firstUs = 0;
    qint64 lines = 0;
};

/// Writes and reads received lines. Belongs to the thread of its connection.
class LineLog
{
public:
    explicit LineLog(const QSqlDatabase &connection) : m_connection(connection) {}

    /// Appends a block to a recording, which begins with its first one. In a transaction of the caller.
    [[nodiscard]] Done append(const Recording &recording, const PackedLines &block);

    /// The recordings of a dive in the order in which they began; of one feed only, unless that is empty.
    [[nodiscard]] Result<std::vector<Recording>> recordings(int dive, const QString &feed = {}) const;
    /// All recordings of the file.
    [[nodiscard]] Result<std::vector<Recording>> allRecordings() const;
    [[nodiscard]] Result<RecordingSums> sums(const QString &uuid) const;

    /// Gives the lines block by block to `take`; stops at its first error. Error Malformed names the block
    /// that can't be unpacked.
    [[nodiscard]] Done lines(const QString &uuid,
                             const std::function<Done(const ReceivedLines &)> &take) const;
    /// The blocks of a recording behind block `seq`, without their lines.
    [[nodiscard]] Result<std::vector<LineBlockPlace>> blocksAfter(const QString &uuid, qint64 seq) const;
    /// The lines of one block. Error NotFound when it is not there.
    [[nodiscard]] Result<ReceivedLines> block(qint64 id) const;
    /// Checks every block against its sum, its count and its order. Error Tampered names the first that does
    /// not fit.
    [[nodiscard]] Done verify(const QString &uuid) const;

private:
    [[nodiscard]] Result<std::vector<Recording>> read(const QString &where,
                                                      std::initializer_list<QVariant> values) const;
    [[nodiscard]] Result<std::optional<qint64>> idOf(const QString &uuid) const;

    QSqlDatabase m_connection;
};

} // namespace holdfast
