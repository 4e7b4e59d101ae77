// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/block_stream.h"

#include "base/template_folder.h"

#include <QJsonDocument>

namespace holdfast
{

namespace
{

/// Far above what the program writes: a forged size must not take all memory.
constexpr qsizetype mostBytes = qsizetype{64} << 20;

} // namespace

QByteArray blockHead(const QJsonObject &object)
{
    return QJsonDocument(object).toJson(QJsonDocument::Compact) + '\n';
}

Done writeBlockFile(PackageWriter &package, const QString &path, const QJsonObject &head, const Database &db,
                    const BlockRows &rows, bool mayGrow, const JobControl &job)
{
    if (!mayGrow && package.finished(path))
        return {};
    auto file = package.open(path);
    if (!file)
        return file.error();
    if (auto written = file->write(blockHead(head)); !written)
        return written;
    auto blocks = query(db.connection(), rows.sql, {rows.key});
    if (!blocks)
        return blocks.error();
    const auto bytesAt = static_cast<int>(rows.names.size());
    while (blocks->next()) {
        if (auto on = job.goOn(); !on)
            return on;
        QJsonObject line;
        for (int i = 0; i < bytesAt; ++i) {
            const QVariant value = blocks->value(i);
            line.insert(rows.names.at(i), value.typeId() == QMetaType::QByteArray
                                              ? QJsonValue(QString::fromLatin1(value.toByteArray().toHex()))
                                              : QJsonValue(value.toLongLong()));
        }
        const QByteArray bytes = blocks->blob(bytesAt);
        line.insert(rows.sizeKey, bytes.size());
        if (auto written = file->write(blockHead(line) + bytes); !written)
            return written;
    }
    if (auto closed = file->close(); !closed)
        return closed.error();
    return {};
}

Error BlockStream::wrong(const QString &what) const
{
    return fail(ErrorKind::Malformed, QStringLiteral("%1: %2.").arg(m_file, what));
}

Done BlockStream::takeLine(const QByteArray &line)
{
    const auto json = parseJsonObject(line, m_file);
    if (!json)
        return json.error();
    if (!m_begun) {
        m_begun = true;
        return m_takeHead(*json);
    }
    m_line = *json;
    m_due = json->value(m_sizeKey).toInteger(-1);
    if (m_due < 0 || m_due > mostBytes)
        return wrong(QStringLiteral("a block is of no sensible size"));
    return {};
}

Done BlockStream::take(std::string_view piece)
{
    m_waiting.append(piece.data(), static_cast<qsizetype>(piece.size()));
    qsizetype at = 0;
    for (;;) {
        if (m_due >= 0) {
            if (m_waiting.size() - at < m_due)
                break;
            if (auto taken = m_takeBlock(m_line, m_waiting.mid(at, m_due)); !taken)
                return taken;
            at += m_due;
            m_due = -1;
            continue;
        }
        const qsizetype end = m_waiting.indexOf('\n', at);
        if (end < 0) {
            if (m_waiting.size() - at > mostBytes)
                return wrong(QStringLiteral("a line has no end"));
            break;
        }
        if (auto line = takeLine(m_waiting.mid(at, end - at)); !line)
            return line;
        at = end + 1;
    }
    m_waiting.remove(0, at);
    return {};
}

Done BlockStream::end() const
{
    if (!m_begun || m_due >= 0 || !m_waiting.isEmpty())
        return wrong(QStringLiteral("it ends in the middle"));
    return {};
}

} // namespace holdfast
