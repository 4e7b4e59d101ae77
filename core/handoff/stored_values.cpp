// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/stored_values.h"

#include "feed/feed_profile.h"
#include "feed/sha256.h"
#include "feed/text_pack.h"
#include "handoff/block_stream.h"
#include "store/sensor_log.h"

#include <QJsonArray>
#include <QJsonObject>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

constexpr std::size_t pieceBytes = std::size_t{1} << 20;

/// Packs a raw log in pieces of whole lines and sums it.
class RawPacker
{
public:
    explicit RawPacker(char delimiter) : m_delimiter(delimiter) {}
    Done take(std::string_view piece)
    {
        m_sha.add(piece);
        bytes += static_cast<std::int64_t>(piece.size());
        m_waiting.append(piece);
        if (m_waiting.size() < pieceBytes)
            return {};
        const std::size_t newline = m_waiting.rfind('\n');
        return pack(newline == std::string::npos ? m_waiting.size() : newline + 1);
    }
    Result<QString> end()
    {
        if (!m_waiting.empty()) {
            if (auto packed = pack(m_waiting.size()); !packed)
                return packed.error();
        }
        const auto sum = m_sha.finish();
        if (!sum)
            return sum.error();
        return QString::fromLatin1(sum->toHex());
    }

    std::vector<PackedText> text;
    std::int64_t bytes = 0;

private:
    Done pack(std::size_t length)
    {
        auto packed = packText(std::string_view(m_waiting).substr(0, length), m_delimiter);
        if (!packed)
            return packed.error();
        text.push_back({static_cast<std::int64_t>(length), std::move(*packed)});
        m_waiting.erase(0, length);
        return {};
    }
    char m_delimiter;
    Sha256 m_sha;
    std::string m_waiting;
};

IntakeReport reportOf(const QJsonObject &head)
{
    IntakeReport report;
    for (const QJsonValue &v : head.value(q("remarks")).toArray()) {
        const QJsonArray r = v.toArray();
        const QString what = r.at(0).toString();
        const ReasonCount reason{r.at(1).toString(), r.at(2).toInteger(),
                                 static_cast<std::uint32_t>(r.at(3).toInteger())};
        if (what == q("repaired"))
            report.repairs.push_back(reason);
        else if (what == q("rejected"))
            report.rejects.push_back(reason);
        else if (what == q("noted"))
            report.notes.push_back(reason);
        else
            report.warnings << reason.reason;
    }
    for (const QJsonValue &v : head.value(q("aside")).toArray()) {
        const QJsonArray a = v.toArray();
        report.aside.push_back({static_cast<std::uint32_t>(a.at(0).toInteger()), a.at(1).toString(),
                                QByteArray::fromBase64(a.at(2).toString().toLatin1())});
    }
    return report;
}

} // namespace

Done restoreLog(const Database &db, const BagSource &source, const BagEntry &values, const JobControl &job)
{
    QJsonObject head;
    std::vector<PackedBlock> blocks;
    BlockStream stream(
        values.path, q("bytes"),
        [&head](const QJsonObject &line) -> Done {
            head = line;
            return {};
        },
        [&](const QJsonObject &line, QByteArray bytes) -> Done {
            if (line.value(q("seq")).toInteger() != static_cast<qint64>(blocks.size()) + 1)
                return fail(
                    ErrorKind::Malformed,
                    QStringLiteral("%1: block %2 is missing.").arg(values.path).arg(blocks.size() + 1));
            PackedBlock block;
            block.firstUs = line.value(q("firstUs")).toInteger();
            block.lastUs = line.value(q("lastUs")).toInteger();
            block.rows = line.value(q("rows")).toInteger();
            block.sha256 = QByteArray::fromHex(line.value(q("sha256")).toString().toLatin1());
            block.data = std::move(bytes);
            blocks.push_back(std::move(block));
            return {};
        });
    const auto watched = [&job](auto take) {
        return [&job, take](std::string_view piece) -> Done {
            if (auto on = job.goOn(); !on)
                return on;
            return take(piece);
        };
    };
    if (auto read = source.read(values, watched([&](std::string_view p) { return stream.take(p); })); !read)
        return read;
    if (auto ended = stream.end(); !ended)
        return ended;
    IntakeData data;
    const QString profileName = head.value(q("profile")).toString();
    auto profile = parseFeedProfile(head.value(q("profileJson")).toString().toUtf8(), profileName);
    if (!profile)
        return profile.error().whileDoing(values.path);
    data.profile = std::move(*profile);
    data.fileName = head.value(q("fileName")).toString();
    data.report = reportOf(head);
    const BagEntry *const raw = source.find(head.value(q("raw")).toString());
    if (!raw || raw->folder)
        return fail(ErrorKind::Malformed,
                    QStringLiteral("%1 names the raw log \"%2\", which is not in the package.")
                        .arg(values.path, head.value(q("raw")).toString()));
    RawPacker packer(data.profile.delimiter);
    if (auto read = source.read(*raw, watched([&](std::string_view p) { return packer.take(p); })); !read)
        return read;
    auto sum = packer.end();
    if (!sum)
        return sum.error();
    data.sha256 = *sum;
    data.bytes = packer.bytes;
    data.text = std::move(packer.text);
    if (data.sha256 != head.value(q("sha256")).toString())
        return fail(
            ErrorKind::Tampered,
            QStringLiteral("%1 is not the log of %2: its SHA-256 differs.").arg(raw->path, values.path));
    PackedLog packed;
    packed.columns = head.value(q("columns")).toString().toLatin1();
    packed.digest = head.value(q("digest")).toString();
    packed.blocks = std::move(blocks);
    auto transaction = Transaction::begin(db.connection());
    if (!transaction)
        return transaction.error();
    SensorLogWriter writer(db.connection());
    const QString uuid = head.value(q("uuid")).toString();
    if (auto written = writer.write(uuid, head.value(q("dive")).toInt(), data, packed); !written)
        return written.error();
    if (!head.value(q("inUse")).toBool()) {
        if (auto set = writer.setInUse(uuid, false); !set)
            return set;
    }
    return transaction->commit();
}

} // namespace holdfast
