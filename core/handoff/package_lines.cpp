// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/package_lines.h"

#include "base/template_folder.h"
#include "dive/line_recording.h"
#include "handoff/block_stream.h"
#include "handoff/package_paths.h"
#include "store/line_log.h"

#include <QJsonDocument>
#include <QJsonObject>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// A recording that is open grows without an entry in the ledger, by whose head a run that goes on knows that
/// its files are of the same record: only those of closed ones are taken over.
Done writeText(PackageWriter &package, const LineLog &log, const RecordedFeed &recorded, const QString &path,
               const JobControl &job)
{
    const Recording &r = recorded.recording;
    if (recorded.closed && package.finished(path))
        return {};
    auto file = package.open(path);
    if (!file)
        return file.error();
    auto written = log.lines(r.uuid, [&](const ReceivedLines &block) -> Done {
        if (auto on = job.goOn(); !on)
            return on;
        QByteArray out;
        qsizetype at = 0;
        for (const std::int64_t us : block.receivedUs) {
            const qsizetype end = block.text.indexOf('\n', at);
            out +=
                toIsoMicro(utcFromMicroseconds(us)).toLatin1() + '\t' + block.text.mid(at, end - at) + '\n';
            at = end + 1;
        }
        return file->write(out);
    });
    if (!written)
        return written;
    if (auto closed = file->close(); !closed)
        return closed.error();
    return {};
}

Done writeBlocks(PackageWriter &package, const Database &db, const RecordedFeed &recorded,
                 const QString &path, const JobControl &job)
{
    const Recording &r = recorded.recording;
    const QJsonObject head{{q("uuid"), r.uuid},
                           {q("dive"), r.dive},
                           {q("station"), r.station},
                           {q("feed"), r.feed},
                           {q("address"), r.address},
                           {q("profile"), r.profile},
                           {q("profileJson"), QString::fromUtf8(r.profileJson)},
                           {q("begunUs"), qint64{microsecondsOf(r.begun)}}};
    return writeBlockFile(
        package, path, head, db,
        {q("SELECT b.first_us, b.last_us, b.lines, b.bytes, b.sha256, b.data FROM log_received b JOIN "
           "log_recording r ON r.id=b.recording WHERE r.uuid=? ORDER BY b.seq"),
         r.uuid,
         {q("firstUs"), q("lastUs"), q("lines"), q("bytes"), q("sha256")},
         q("packed")},
        !recorded.closed, job);
}

} // namespace

Done writeReceivedLines(PackageWriter &package, const Database &db, const JobControl &job)
{
    const LineLog log(db.connection());
    const auto recordings = readRecordings(db, 0);
    if (!recordings)
        return recordings.error();
    QMap<int, UniqueNames> names;
    for (const RecordedFeed &recorded : *recordings) {
        const Recording &r = recorded.recording;
        if (auto sound = log.verify(r.uuid); !sound)
            return sound;
        const QString folder = QStringLiteral("dive-%1/").arg(r.dive, 2, 10, QLatin1Char('0'));
        const QString name = names[r.dive].take(r.feed);
        if (auto text =
                writeText(package, log, recorded, q("data/logs/received/") + folder + name + q(".txt"), job);
            !text)
            return text;
        if (auto blocks = writeBlocks(package, db, recorded,
                                      q("data/logs/values/") + folder + name + q(".received"), job);
            !blocks)
            return blocks;
    }
    return {};
}

Done restoreReceivedLines(const Database &db, const BagSource &source, const BagEntry &values,
                          const JobControl &job)
{
    Recording r;
    LineLog log(db.connection());
    auto transaction = Transaction::begin(db.connection());
    if (!transaction)
        return transaction.error();
    BlockStream stream(
        values.path, q("packed"),
        [&](const QJsonObject &head) -> Done {
            r.uuid = head.value(q("uuid")).toString();
            r.dive = head.value(q("dive")).toInt();
            r.station = head.value(q("station")).toString();
            r.feed = head.value(q("feed")).toString();
            r.address = head.value(q("address")).toString();
            r.profile = head.value(q("profile")).toString();
            r.profileJson = head.value(q("profileJson")).toString().toUtf8();
            r.begun = utcFromMicroseconds(head.value(q("begunUs")).toInteger());
            return {};
        },
        [&](const QJsonObject &line, QByteArray data) -> Done {
            PackedLines block;
            block.firstUs = line.value(q("firstUs")).toInteger();
            block.lastUs = line.value(q("lastUs")).toInteger();
            block.lines = line.value(q("lines")).toInteger();
            block.bytes = line.value(q("bytes")).toInteger();
            block.sha256 = QByteArray::fromHex(line.value(q("sha256")).toString().toLatin1());
            block.data = std::move(data);
            return log.append(r, block);
        });
    auto read = source.read(values, [&](std::string_view piece) -> Done {
        if (auto on = job.goOn(); !on)
            return on;
        return stream.take(piece);
    });
    if (!read)
        return read;
    if (auto ended = stream.end(); !ended)
        return ended;
    if (auto sound = log.verify(r.uuid); !sound)
        return sound;
    return transaction->commit();
}

} // namespace holdfast
