// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/line_log.h"

#include "feed/sha256.h"

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

} // namespace

Result<std::optional<qint64>> LineLog::idOf(const QString &uuid) const
{
    auto row = query(m_connection, u"SELECT id FROM log_recording WHERE uuid=?"_s, {uuid});
    if (!row)
        return row.error();
    return row->next() ? std::optional(row->integer(0)) : std::nullopt;
}

Done LineLog::append(const Recording &r, const PackedLines &block)
{
    auto id = idOf(r.uuid);
    if (!id)
        return id.error();
    if (!id->has_value()) {
        if (auto begun = execSql(m_connection,
                                 u"INSERT INTO log_recording (uuid, dive, station, feed, address, profile, "
                                 "profile_json, begun_us) VALUES (?,?,?,?,?,?,?,?)"_s,
                                 {r.uuid, r.dive, r.station, r.feed, r.address, r.profile,
                                  QString::fromUtf8(r.profileJson), qint64{microsecondsOf(r.begun)}});
            !begun)
            return begun;
        id = idOf(r.uuid);
        if (!id || !id->has_value())
            return id ? fail(ErrorKind::Internal, u"The recording of feed %1 did not begin."_s.arg(r.feed))
                      : id.error();
    }
    return execSql(
        m_connection,
        u"INSERT INTO log_received (recording, seq, first_us, last_us, lines, bytes, sha256, data) "
        "SELECT ?, coalesce(max(seq), 0) + 1, ?, ?, ?, ?, ?, ? FROM log_received WHERE recording=?"_s,
        {**id, qint64{block.firstUs}, qint64{block.lastUs}, qint64{block.lines}, qint64{block.bytes},
         block.sha256, block.data, **id});
}

Result<std::vector<Recording>> LineLog::read(const QString &where,
                                             std::initializer_list<QVariant> values) const
{
    auto rows = query(m_connection,
                      u"SELECT uuid, dive, station, feed, address, profile, profile_json, begun_us FROM "
                      "log_recording "_s +
                          where + u" ORDER BY begun_us, uuid"_s,
                      values);
    if (!rows)
        return rows.error();
    std::vector<Recording> list;
    while (rows->next())
        list.push_back({rows->text(0), static_cast<int>(rows->integer(1)), rows->text(2), rows->text(3),
                        rows->text(4), rows->text(5), rows->text(6).toUtf8(),
                        utcFromMicroseconds(rows->integer(7))});
    return list;
}

Result<std::vector<Recording>> LineLog::recordings(int dive, const QString &feed) const
{
    return feed.isEmpty() ? read(u"WHERE dive=?"_s, {dive})
                          : read(u"WHERE dive=? AND feed=?"_s, {dive, feed});
}

Result<std::vector<Recording>> LineLog::allRecordings() const
{
    return read({}, {});
}

Result<RecordingSums> LineLog::sums(const QString &uuid) const
{
    auto rows =
        query(m_connection,
              u"SELECT lines, bytes, first_us, last_us, sha256 FROM log_received JOIN log_recording r "
              "ON r.id=recording WHERE r.uuid=? ORDER BY seq"_s,
              {uuid});
    if (!rows)
        return rows.error();
    RecordingSums sums;
    Sha256 digest;
    while (rows->next()) {
        if (sums.blocks == 0)
            sums.first = utcFromMicroseconds(rows->integer(2));
        sums.last = utcFromMicroseconds(rows->integer(3));
        sums.lines += rows->integer(0);
        sums.bytes += rows->integer(1);
        ++sums.blocks;
        digest.add(rows->blob(4));
    }
    auto sum = digest.finish();
    if (!sum)
        return sum.error();
    sums.digest = QString::fromLatin1(sum->toHex());
    return sums;
}

Done LineLog::lines(const QString &uuid, const std::function<Done(const ReceivedLines &)> &take) const
{
    auto rows = query(m_connection,
                      u"SELECT seq, data FROM log_received JOIN log_recording r ON r.id=recording WHERE "
                      "r.uuid=? ORDER BY seq"_s,
                      {uuid});
    if (!rows)
        return rows.error();
    while (rows->next()) {
        const auto block = unpackLines(rows->blob(1));
        if (!block)
            return block.error().whileDoing(u"Block %1 of recording %2"_s.arg(rows->integer(0)).arg(uuid));
        if (auto taken = take(*block); !taken)
            return taken;
    }
    return {};
}

Result<std::vector<LineBlockPlace>> LineLog::blocksAfter(const QString &uuid, qint64 seq) const
{
    auto rows = query(m_connection,
                      u"SELECT b.id, seq, first_us, lines FROM log_received b JOIN log_recording r ON "
                      "r.id=recording WHERE r.uuid=? AND seq>? ORDER BY seq"_s,
                      {uuid, seq});
    if (!rows)
        return rows.error();
    std::vector<LineBlockPlace> places;
    while (rows->next())
        places.push_back({rows->integer(0), rows->integer(1), rows->integer(2), rows->integer(3)});
    return places;
}

Result<ReceivedLines> LineLog::block(qint64 id) const
{
    auto rows = query(m_connection, u"SELECT data FROM log_received WHERE id=?"_s, {id});
    if (!rows)
        return rows.error();
    if (!rows->next())
        return fail(ErrorKind::NotFound, u"There is no block %1 of received lines."_s.arg(id));
    return unpackLines(rows->blob(0));
}

Done LineLog::verify(const QString &uuid) const
{
    auto rows = query(m_connection,
                      u"SELECT seq, lines, bytes, first_us, last_us, sha256, data, r.feed, r.dive FROM "
                      "log_received JOIN log_recording r ON r.id=recording WHERE r.uuid=? ORDER BY seq"_s,
                      {uuid});
    if (!rows)
        return rows.error();
    for (qint64 seq = 1; rows->next(); ++seq) {
        const auto bad = [&](const QString &why) {
            return fail(ErrorKind::Tampered,
                        u"The recorded lines of feed %1, dive %2, do not hold at block %3: %4."_s
                            .arg(rows->text(7), rows->text(8))
                            .arg(seq)
                            .arg(why));
        };
        if (rows->integer(0) != seq)
            return bad(u"it is missing"_s);
        Sha256 sum;
        sum.add(rows->blob(6));
        const auto sha256 = sum.finish();
        if (!sha256)
            return sha256.error();
        if (*sha256 != rows->blob(5))
            return bad(u"its bytes do not have its checksum"_s);
        const auto block = unpackLines(rows->blob(6));
        if (!block)
            return bad(block.error().sentence);
        if (static_cast<qint64>(block->receivedUs.size()) != rows->integer(1) ||
            block->text.size() != rows->integer(2) || block->receivedUs.front() != rows->integer(3) ||
            block->receivedUs.back() != rows->integer(4))
            return bad(u"it holds other lines than it says"_s);
    }
    return {};
}

} // namespace holdfast
