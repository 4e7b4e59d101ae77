// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/package_writer.h"
#include "store/database.h"

#include <QByteArray>
#include <QJsonObject>
#include <functional>
#include <string_view>

namespace holdfast
{

/// One line of JSON as it begins a values file and each of its blocks.
[[nodiscard]] QByteArray blockHead(const QJsonObject &object);

/// What gives the blocks of a values file: the last column of `sql` is a block's bytes, the others are said
/// in its line by the `names`, a column of sums in hexadecimal; the line's last name, `sizeKey`, is their
/// number.
struct BlockRows {
    QString sql;
    QVariant key; ///< bound to it
    QStringList names;
    QString sizeKey;
};
/// Writes such a file, unless an earlier run has finished it and `mayGrow` is not set: then blocks may have
/// come since.
[[nodiscard]] Done writeBlockFile(PackageWriter &package, const QString &path, const QJsonObject &head,
                                  const Database &db, const BlockRows &rows, bool mayGrow,
                                  const JobControl &job);

/// Takes a values file apart as it streams by: one line of JSON about the whole, then lines of JSON each
/// followed by as many bytes as it says under `sizeKey`. Error Malformed names the file.
class BlockStream
{
public:
    using TakeHead = std::function<Done(const QJsonObject &)>;
    using TakeBlock = std::function<Done(const QJsonObject &line, QByteArray bytes)>;
    BlockStream(QString file, QString sizeKey, TakeHead head, TakeBlock block)
        : m_file(std::move(file)), m_sizeKey(std::move(sizeKey)), m_takeHead(std::move(head)),
          m_takeBlock(std::move(block))
    {
    }
    [[nodiscard]] Done take(std::string_view piece);
    /// The file has ended: not in the middle of anything, and with a head.
    [[nodiscard]] Done end() const;

private:
    [[nodiscard]] Done takeLine(const QByteArray &line);
    [[nodiscard]] Error wrong(const QString &what) const;

    QString m_file, m_sizeKey;
    TakeHead m_takeHead;
    TakeBlock m_takeBlock;
    QByteArray m_waiting;
    QJsonObject m_line; ///< of the block whose bytes are due
    qsizetype m_due = -1;
    bool m_begun = false;
};

} // namespace holdfast
