// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/sensor_log.h"

#include "feed/sha256.h"
#include "feed/text_pack.h"

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

const QString fileColumns = u"id, uuid, dive, kind, profile, profile_json, file_name, sha256, bytes, rows, "
                            "first_us, last_us, columns, digest, in_use, role"_s;

LogFile fileFromRow(const Statement &row)
{
    LogFile file;
    file.id = row.integer(0);
    file.uuid = row.text(1);
    file.dive = static_cast<int>(row.integer(2));
    const QString kind = row.text(3);
    file.kind = kind == u"ctd"_s        ? LogKind::Ctd
                : kind == u"velocity"_s ? LogKind::Velocity
                                        : LogKind::Position;
    if (const QString role = row.text(15); role != u"vehicle"_s)
        file.kind = role == u"ship"_s ? LogKind::Ship : LogKind::Acoustic;
    file.profile = row.text(4);
    file.profileJson = row.text(5).toUtf8();
    file.fileName = row.text(6);
    file.sha256 = row.text(7);
    file.bytes = row.integer(8);
    file.rows = row.integer(9);
    file.first = utcFromMicroseconds(row.integer(10));
    file.last = utcFromMicroseconds(row.integer(11));
    file.columns = row.text(12).toLatin1();
    file.digest = row.text(13);
    file.inUse = row.integer(14) == 1;
    return file;
}

Error tampered(const LogFile &file, const QString &what)
{
    return fail(ErrorKind::Tampered, u"Log %1 of dive %2: %3."_s.arg(file.fileName).arg(file.dive).arg(what));
}

Error inFile(const Error &error, const LogFile &file)
{
    return error.whileDoing(u"Log %1 of dive %2"_s.arg(file.fileName).arg(file.dive));
}

/// Columns that grow block by block would be copied again and again, and stand in memory twice meanwhile.
void makeRoom(SensorRows &rows, std::size_t count)
{
    rows.timeUs.reserve(count);
    for (SensorRows::Values &column : rows.values)
        column.values.reserve(count);
    for (SensorRows::Marks &column : rows.marks)
        column.marks.reserve(count);
}

} // namespace

namespace
{

/// A log that is still being put in does not count yet.
const QString whole = u"id NOT IN (SELECT file FROM log_in_making)"_s;

} // namespace

Result<std::vector<LogFile>> SensorLogReader::files(int dive) const
{
    auto rows =
        query(m_connection,
              u"SELECT %1 FROM log_file WHERE dive = ? AND %2 ORDER BY id"_s.arg(fileColumns, whole), {dive});
    if (!rows)
        return rows.error();
    std::vector<LogFile> files;
    while (rows->next())
        files.push_back(fileFromRow(*rows));
    return files;
}

Result<std::optional<LogFile>> SensorLogReader::fileWithSum(int dive, const QString &sha256) const
{
    auto row =
        query(m_connection,
              u"SELECT %1 FROM log_file WHERE dive = ? AND sha256 = ? AND %2"_s.arg(fileColumns, whole),
              {dive, sha256});
    if (!row)
        return row.error();
    return row->next() ? std::optional(fileFromRow(*row)) : std::nullopt;
}

Result<LogFile> SensorLogReader::fileOf(const QString &uuid) const
{
    auto row = query(m_connection, u"SELECT %1 FROM log_file WHERE uuid = ? AND %2"_s.arg(fileColumns, whole),
                     {uuid});
    if (!row)
        return row.error();
    if (!row->next())
        return fail(ErrorKind::NotFound, u"The sensor log has no log %1."_s.arg(uuid));
    return fileFromRow(*row);
}

Result<SensorRows> SensorLogReader::rows(const LogFile &file, UtcTime from, UtcTime to,
                                         std::span<const std::string> wanted) const
{
    // Blocks of a file follow each other in time, so the first that matters is the last to begin before
    // `from`.
    const qint64 fromUs = microsecondsOf(from);
    const qint64 toUs = microsecondsOf(to);
    auto blocks = query(m_connection,
                        u"SELECT data FROM log_block WHERE file = ? AND last_us >= ? AND first_us <= ? AND "
                        "first_us >= coalesce((SELECT max(first_us) FROM log_block WHERE file = ? AND "
                        "first_us < ?), ?) ORDER BY first_us, seq"_s,
                        {file.id, fromUs, toUs, file.id, fromUs, fromUs});
    if (!blocks)
        return blocks.error();
    SensorRows all;
    while (blocks->next()) {
        auto block = unpackBlock(blocks->blob(0), file.columns, wanted);
        if (!block)
            return inFile(block.error(), file);
        const bool first = all.size() == 0;
        all.append(std::move(*block));
        if (first && from <= file.first && to >= file.last)
            makeRoom(all, static_cast<std::size_t>(file.rows));
    }
    all.cutTo(microsecondsOf(from), microsecondsOf(to));
    return all;
}

Result<SensorRows> SensorLogReader::rowsOfDive(int dive, LogKind kind, UtcTime from, UtcTime to,
                                               std::span<const std::string> wanted) const
{
    const auto all = files(dive);
    if (!all)
        return all.error();
    SensorRows together;
    for (const LogFile &file : *all) {
        if (file.kind != kind || !file.inUse || file.last < from || file.first > to)
            continue;
        auto some = rows(file, from, to, wanted);
        if (!some)
            return some;
        together.append(std::move(*some));
    }
    together.sortByTime();
    return together;
}

Result<CtdColumns> SensorLogReader::ctd(int dive, UtcTime from, UtcTime to) const
{
    static const std::string wanted[] = {"conductivity", "temperature", "pressure", "oxygen", "line"};
    const auto found = rowsOfDive(dive, LogKind::Ctd, from, to, wanted);
    if (!found)
        return found.error();
    return scansOf(*found);
}

Result<std::vector<PositionRecord>> SensorLogReader::positions(int dive, UtcTime from, UtcTime to) const
{
    const auto found = rowsOfDive(dive, LogKind::Position, from, to);
    if (!found)
        return found.error();
    return positionsOf(*found);
}

Result<std::vector<PositionRecord>> SensorLogReader::shipPositions(int dive) const
{
    const auto found = rowsOfDive(dive, LogKind::Ship);
    if (!found)
        return found.error();
    return positionsOf(*found);
}

Result<std::vector<VelocityRecord>> SensorLogReader::velocities(int dive, UtcTime from, UtcTime to) const
{
    const auto found = rowsOfDive(dive, LogKind::Velocity, from, to);
    if (!found)
        return found.error();
    return velocitiesOf(*found);
}

Result<IntakeReport> SensorLogReader::report(const LogFile &file) const
{
    IntakeReport report;
    report.accepted = file.rows;
    report.firstTime = file.first;
    report.lastTime = file.last;
    auto remarks = query(
        m_connection, u"SELECT what, reason, count, first_line FROM log_remark WHERE file = ? ORDER BY id"_s,
        {file.id});
    if (!remarks)
        return remarks.error();
    while (remarks->next()) {
        const QString what = remarks->text(0);
        const ReasonCount reason{remarks->text(1), remarks->integer(2),
                                 static_cast<std::uint32_t>(remarks->integer(3))};
        if (what == u"repaired"_s) {
            report.repairs.push_back(reason);
            report.repaired += reason.count;
        } else if (what == u"rejected"_s) {
            report.rejects.push_back(reason);
            report.rejected += reason.count;
        } else if (what == u"noted"_s) {
            report.notes.push_back(reason);
        } else {
            report.warnings += reason.reason;
        }
    }
    auto asides = query(m_connection,
                        u"SELECT line, reason, text FROM log_aside WHERE file = ? ORDER BY id"_s, {file.id});
    if (!asides)
        return asides.error();
    while (asides->next())
        report.aside.push_back(
            {static_cast<std::uint32_t>(asides->integer(0)), asides->text(1), asides->blob(2)});
    return report;
}

Done SensorLogReader::text(const LogFile &file, const std::function<Done(std::string_view)> &take) const
{
    auto pieces = query(m_connection, u"SELECT seq, bytes, data FROM log_text WHERE file = ? ORDER BY seq"_s,
                        {file.id});
    if (!pieces)
        return pieces.error();
    while (pieces->next()) {
        const QByteArray data = pieces->blob(2);
        const Result<std::string> text = unpackText(std::span(
            reinterpret_cast<const std::uint8_t *>(data.constData()), static_cast<std::size_t>(data.size())));
        if (!text)
            return inFile(text.error(), file);
        if (static_cast<qint64>(text->size()) != pieces->integer(1))
            return tampered(file,
                            u"piece %1 of its text has another length than stated"_s.arg(pieces->integer(0)));
        if (const Done taken = take(*text); !taken)
            return taken;
    }
    return {};
}

Done SensorLogReader::verifyBlocks(const LogFile &file) const
{
    auto blocks = query(m_connection,
                        u"SELECT seq, sha256, data, first_us, last_us, rows FROM log_block WHERE file = ? "
                        "ORDER BY seq"_s,
                        {file.id});
    if (!blocks)
        return blocks.error();
    Sha256 overAll;
    qint64 expected = 0;
    qint64 rows = 0;
    qint64 firstUs = 0;
    qint64 lastUs = 0;
    while (blocks->next()) {
        const qint64 seq = blocks->integer(0);
        if (seq != ++expected)
            return tampered(file, u"block %1 of its values is missing"_s.arg(expected));
        const QByteArray stated = blocks->blob(1);
        const QByteArray data = blocks->blob(2);
        Sha256 sha;
        sha.add(data);
        const Result<QByteArray> sum = sha.finish();
        if (!sum)
            return sum.error();
        if (*sum != stated)
            return tampered(file, u"block %1 of its values was changed"_s.arg(seq));
        const auto block = unpackBlock(data, file.columns);
        if (!block)
            return tampered(file, block.error().sentence);
        const bool fits = block->size() > 0 && block->timeUs.front() == blocks->integer(3) &&
                          block->timeUs.back() == blocks->integer(4) &&
                          static_cast<qint64>(block->size()) == blocks->integer(5);
        if (!fits)
            return tampered(file, u"the times or the row count stated for block %1 were changed"_s.arg(seq));
        firstUs = seq == 1 ? blocks->integer(3) : firstUs;
        lastUs = blocks->integer(4);
        rows += blocks->integer(5);
        overAll.add(stated);
    }
    const Result<QByteArray> digest = overAll.finish();
    if (!digest)
        return digest.error();
    if (QString::fromLatin1(digest->toHex()) != file.digest || rows != file.rows)
        return tampered(file, u"its blocks are not those that were stored"_s);
    if (microsecondsOf(file.first) != firstUs || microsecondsOf(file.last) != lastUs)
        return tampered(file, u"its first or last time is not that of its values"_s);
    return {};
}

Done SensorLogReader::verifyText(const LogFile &file) const
{
    Sha256 sha;
    const Done read = text(file, [&](std::string_view piece) -> Done {
        sha.add(piece);
        return {};
    });
    if (!read)
        return fail(ErrorKind::Tampered, read.error().sentence);
    const Result<QByteArray> sum = sha.finish();
    if (!sum)
        return sum.error();
    if (QString::fromLatin1(sum->toHex()) != file.sha256)
        return tampered(file, u"its text is not the file that was read (SHA-256 differs)"_s);
    return {};
}

Done SensorLogReader::verify(const LogFile &file) const
{
    if (const Done blocks = verifyBlocks(file); !blocks)
        return blocks;
    return verifyText(file);
}

} // namespace holdfast
