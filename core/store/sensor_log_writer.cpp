// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/sensor_log.h"

#include "store/raw_rows.h"

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

QByteArray blobOf(const Bytes &bytes)
{
    return QByteArray(reinterpret_cast<const char *>(bytes.data()), static_cast<qsizetype>(bytes.size()));
}

} // namespace

LogKind logKindOf(const FeedProfile &profile)
{
    switch (profile.kind) {
    case FeedKind::Ctd:
        return LogKind::Ctd;
    case FeedKind::Velocity:
        return LogKind::Velocity;
    case FeedKind::Acoustic:
        return LogKind::Acoustic;
    case FeedKind::Nmea:
    case FeedKind::Position:
        break;
    }
    return profile.ofShip ? LogKind::Ship : LogKind::Position;
}

QString nameOf(LogKind kind)
{
    switch (kind) {
    case LogKind::Ctd:
        return u"ctd"_s;
    case LogKind::Velocity:
        return u"velocity"_s;
    case LogKind::Ship:
        return u"ship"_s;
    case LogKind::Acoustic:
        return u"acoustic"_s;
    case LogKind::Position:
        break;
    }
    return u"position"_s;
}

namespace
{

/// How table log_file tells kinds apart: `kind` is what the rows are of, `role` whose they are.
std::pair<QString, QString> kindAndRole(LogKind kind)
{
    if (kind == LogKind::Ship || kind == LogKind::Acoustic)
        return {nameOf(LogKind::Position), nameOf(kind)};
    return {nameOf(kind), u"vehicle"_s};
}

} // namespace

/// A log that is written row by row without a transaction would be slow, and half there after a power cut.
Done SensorLogWriter::inTransaction() const
{
    const auto inside = insideTransaction(m_connection);
    if (!inside)
        return inside.error();
    if (!*inside)
        return fail(ErrorKind::Internal, u"The sensor log is written only inside a transaction."_s);
    return {};
}

Done SensorLogWriter::mayBegin(int dive, const IntakeData &data, const PackedLog &packed) const
{
    if (const Done open = inTransaction(); !open)
        return open;
    if (packed.blocks.empty())
        return fail(ErrorKind::Internal, u"%1: a log without rows can't be stored."_s.arg(data.fileName));
    const auto known = SensorLogReader(m_connection).fileWithSum(dive, data.sha256);
    if (!known)
        return known.error();
    if (known->has_value())
        return fail(ErrorKind::Duplicate,
                    u"%1 was read into dive %2 already, as %3; nothing was changed."_s.arg(
                        data.fileName, QString::number(dive), (*known)->fileName));
    return {};
}

Result<qint64> SensorLogWriter::write(const QString &uuid, int dive, const IntakeData &data,
                                      const PackedLog &packed)
{
    if (const Done may = mayBegin(dive, data, packed); !may)
        return may.error();
    if (const Done gone = takeOutHalfOf(dive, data.sha256); !gone)
        return gone.error();
    const Result<qint64> file = writeFile(uuid, dive, data, packed);
    if (!file)
        return file;
    if (const Done blocks = writeBlocks(*file, packed, 0, packed.blocks.size()); !blocks)
        return blocks.error();
    if (const Done text = writeText(*file, data.text, 0, data.text.size()); !text)
        return text.error();
    if (const Done report = writeReport(*file, data.report); !report)
        return report.error();
    return *file;
}

Result<qint64> SensorLogWriter::writeFile(const QString &uuid, int dive, const IntakeData &data,
                                          const PackedLog &packed)
{
    const auto [kind, role] = kindAndRole(logKindOf(data.profile));
    const Done saved = execSql(
        m_connection,
        u"INSERT INTO log_file (uuid, dive, kind, role, profile, profile_json, file_name, sha256, bytes, "
        u"rows, "
        "first_us, last_us, columns, digest) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"_s,
        {uuid, dive, kind, role, data.profile.name, QString::fromUtf8(data.profile.json), data.fileName,
         data.sha256, qint64{data.bytes}, qint64{packed.rows()}, qint64{packed.blocks.front().firstUs},
         qint64{packed.blocks.back().lastUs}, QString::fromLatin1(packed.columns), packed.digest});
    if (!saved)
        return saved.error();
    auto row = query(m_connection, u"SELECT last_insert_rowid()"_s);
    if (!row)
        return row.error();
    if (!row->next())
        return fail(ErrorKind::Internal, u"The sensor log gave no number to %1."_s.arg(data.fileName));
    return row->integer(0);
}

Done SensorLogWriter::writeBlocks(qint64 file, const PackedLog &packed, std::size_t from, std::size_t to)
{
    auto insert =
        Statement::prepare(m_connection, u"INSERT INTO log_block (file, seq, first_us, last_us, rows, "
                                         "sha256, data) VALUES (?, ?, ?, ?, ?, ?, ?)"_s);
    if (!insert)
        return insert.error();
    for (std::size_t i = from; i < to; ++i) {
        const PackedBlock &block = packed.blocks[i];
        const Done saved = insert->run({file, static_cast<qint64>(i + 1), qint64{block.firstUs},
                                        qint64{block.lastUs}, qint64{block.rows}, block.sha256, block.data});
        if (!saved)
            return saved;
    }
    return {};
}

Done SensorLogWriter::writeText(qint64 file, const std::vector<PackedText> &text, std::size_t from,
                                std::size_t to)
{
    auto insert = Statement::prepare(m_connection,
                                     u"INSERT INTO log_text (file, seq, bytes, data) VALUES (?, ?, ?, ?)"_s);
    if (!insert)
        return insert.error();
    for (std::size_t i = from; i < to; ++i) {
        const PackedText &piece = text[i];
        if (const Done saved =
                insert->run({file, static_cast<qint64>(i + 1), qint64{piece.bytes}, blobOf(piece.packed)});
            !saved)
            return saved;
    }
    return {};
}

Done SensorLogWriter::writeReport(qint64 file, const IntakeReport &report)
{
    auto remark =
        Statement::prepare(m_connection, u"INSERT INTO log_remark (file, what, reason, count, first_line) "
                                         "VALUES (?, ?, ?, ?, ?)"_s);
    auto aside = Statement::prepare(
        m_connection, u"INSERT INTO log_aside (file, line, reason, text) VALUES (?, ?, ?, ?)"_s);
    if (!remark || !aside)
        return remark ? aside.error() : remark.error();
    const std::pair<QString, const std::vector<ReasonCount> *> lists[] = {
        {u"repaired"_s, &report.repairs}, {u"rejected"_s, &report.rejects}, {u"noted"_s, &report.notes}};
    for (const auto &[what, list] : lists) {
        for (const ReasonCount &reason : *list) {
            const Done saved =
                remark->run({file, what, reason.reason, qint64{reason.count}, qint64{reason.firstLine}});
            if (!saved)
                return saved;
        }
    }
    for (const QString &warning : report.warnings) {
        if (const Done saved = remark->run({file, u"warning"_s, warning, qint64{1}, qint64{0}}); !saved)
            return saved;
    }
    for (const LineAside &line : report.aside) {
        const QByteArray text = line.text.isNull() ? QByteArray("") : line.text;
        if (const Done saved = aside->run({file, qint64{line.line}, line.reason, text}); !saved)
            return saved;
    }
    return {};
}

Done SensorLogWriter::replaceValues(const LogFile &file, const PackedLog &packed, const QStringList &warnings)
{
    if (const Done open = inTransaction(); !open)
        return open;
    for (const char *old : {"DELETE FROM log_block WHERE file = ?",
                            "DELETE FROM log_remark WHERE file = ? AND what = 'warning'"}) {
        if (const Done done = execSql(m_connection, QString::fromLatin1(old), {file.id}); !done)
            return done;
    }
    const Done updated = execSql(m_connection, u"UPDATE log_file SET columns = ?, digest = ? WHERE id = ?"_s,
                                 {QString::fromLatin1(packed.columns), packed.digest, file.id});
    if (!updated)
        return updated;
    for (const QString &warning : warnings) {
        const Done saved = execSql(m_connection,
                                   u"INSERT INTO log_remark (file, what, reason, count, first_line) VALUES "
                                   "(?, 'warning', ?, 1, 0)"_s,
                                   {file.id, warning});
        if (!saved)
            return saved;
    }
    return writeBlocks(file.id, packed, 0, packed.blocks.size());
}

/// The same log, begun piece by piece and left half, would stand in the way of its sum.
Done SensorLogWriter::takeOutHalfOf(int dive, const QString &sha256)
{
    auto row =
        query(m_connection,
              u"SELECT id FROM log_file JOIN log_in_making ON file = id WHERE dive = ? AND sha256 = ?"_s,
              {dive, sha256});
    if (!row)
        return row.error();
    if (!row->next())
        return {};
    const qint64 half = row->integer(0);
    row->reset();
    for (bool more = true; more;) {
        const auto gone = takeOutPiece(half, std::numeric_limits<int>::max());
        if (!gone)
            return gone.error();
        more = *gone;
    }
    return {};
}

Result<qint64> SensorLogWriter::begin(const QString &uuid, int dive, const IntakeData &data,
                                      const PackedLog &packed)
{
    if (const Done may = mayBegin(dive, data, packed); !may)
        return may.error();
    const Result<qint64> file = writeFile(uuid, dive, data, packed);
    if (!file)
        return file;
    for (const char *mark :
         {"INSERT INTO log_in_making (file) VALUES (?)", "UPDATE log_file SET in_use = 0 WHERE id = ?"}) {
        if (const Done marked = execSql(m_connection, QString::fromLatin1(mark), {*file}); !marked)
            return marked.error();
    }
    return file;
}

Result<bool> SensorLogWriter::isInMaking(qint64 file) const
{
    if (const Done open = inTransaction(); !open)
        return open.error();
    auto begun = query(m_connection, u"SELECT 1 FROM log_in_making WHERE file = ?"_s, {file});
    if (!begun)
        return begun.error();
    return begun->next();
}

Result<bool> SensorLogWriter::putPiece(qint64 file, const IntakeData &data, const PackedLog &packed,
                                       qint64 bytes, Put &put)
{
    const auto begun = isInMaking(file);
    if (!begun)
        return begun.error();
    if (!*begun)
        return fail(
            ErrorKind::Refused,
            u"%1: somebody else takes in logs of this file, too; take it in again."_s.arg(data.fileName));
    // What has been put counts only when the transaction has come through: the caller keeps `put` then.
    const auto few = [bytes](std::size_t from, std::size_t all, const auto &sizeOf) {
        qint64 size = 0;
        std::size_t to = from;
        while (to < all && (to == from || size + sizeOf(to) <= bytes))
            size += sizeOf(to++);
        return to;
    };
    if (put.blocks < packed.blocks.size()) {
        const std::size_t to = few(put.blocks, packed.blocks.size(), [&](std::size_t i) {
            return static_cast<qint64>(packed.blocks[i].data.size());
        });
        if (const Done done = writeBlocks(file, packed, put.blocks, to); !done)
            return done.error();
        put.blocks = to;
        return true;
    }
    if (put.texts < data.text.size()) {
        const std::size_t to = few(put.texts, data.text.size(), [&](std::size_t i) {
            return static_cast<qint64>(data.text[i].packed.size());
        });
        if (const Done done = writeText(file, data.text, put.texts, to); !done)
            return done.error();
        put.texts = to;
        return true;
    }
    if (put.report)
        return false;
    if (const Done done = writeReport(file, data.report); !done)
        return done.error();
    put.report = true;
    return true;
}

Done SensorLogWriter::finish(qint64 file)
{
    if (const Done open = inTransaction(); !open)
        return open;
    auto unmark = Statement::prepare(m_connection, u"DELETE FROM log_in_making WHERE file = ?"_s);
    if (!unmark)
        return unmark.error();
    if (const Done done = unmark->run({file}); !done)
        return done;
    if (unmark->changed() != 1)
        return fail(ErrorKind::Refused,
                    u"Somebody else takes in logs of this file, too; take them in again."_s);
    return execSql(m_connection, u"UPDATE log_file SET in_use = 1 WHERE id = ?"_s, {file});
}

Result<std::vector<qint64>> SensorLogWriter::leftInTheMaking() const
{
    auto rows = query(m_connection, u"SELECT file FROM log_in_making ORDER BY file"_s);
    if (!rows)
        return rows.error();
    std::vector<qint64> files;
    while (rows->next())
        files.push_back(rows->integer(0));
    return files;
}

Result<bool> SensorLogWriter::takeOutPiece(qint64 file, int rows)
{
    const auto begun = isInMaking(file);
    if (!begun)
        return begun.error();
    if (!*begun)
        return false;
    for (const char *table : {"log_block", "log_text", "log_remark", "log_aside"}) {
        auto remove = Statement::prepare(
            m_connection, u"DELETE FROM %1 WHERE id IN (SELECT id FROM %1 WHERE file = ? LIMIT ?)"_s.arg(
                              QLatin1String(table)));
        if (!remove)
            return remove.error();
        if (const Done done = remove->run({file, rows}); !done)
            return done.error();
        if (remove->changed() > 0)
            return true;
    }
    for (const char *last :
         {"DELETE FROM log_in_making WHERE file = ?", "DELETE FROM log_file WHERE id = ?"}) {
        if (const Done done = execSql(m_connection, QString::fromLatin1(last), {file}); !done)
            return done.error();
    }
    return true;
}

Done SensorLogWriter::setInUse(const QString &uuid, bool inUse)
{
    auto update = Statement::prepare(m_connection, u"UPDATE log_file SET in_use = ? WHERE uuid = ?"_s);
    if (!update)
        return update.error();
    if (const Done saved = update->run({inUse ? 1 : 0, uuid}); !saved)
        return saved;
    if (update->changed() != 1)
        return fail(ErrorKind::NotFound, u"The sensor log has no log %1."_s.arg(uuid));
    return {};
}

} // namespace holdfast
