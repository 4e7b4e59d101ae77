// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/chain.h"

#include "ledger/canonical.h"

#include <QJsonDocument>

namespace holdfast
{

namespace
{

/// Why this entry can't follow `prev`, or an empty text.
QString whyNot(const Entry &entry, qint64 seq, const QString &prev, qint64 lamportBefore)
{
    if (entry.seq != seq)
        return QStringLiteral("entry %1 is missing; the next one there is %2").arg(seq).arg(entry.seq);
    if (entry.prev != prev)
        return QStringLiteral(
                   "entry %1 does not follow the entry before it: an entry was changed, removed, added or "
                   "exchanged")
            .arg(seq);
    const QJsonDocument body = QJsonDocument::fromJson(entry.body.toUtf8());
    if (!body.isObject())
        return QStringLiteral("the content of entry %1 is damaged").arg(seq);
    if (sha256Hex(canonicalEntry(entry)) != entry.hash)
        return QStringLiteral("entry %1 was changed after it was written: its hash does not fit its content")
            .arg(seq);
    if (entry.lamport <= lamportBefore)
        return QStringLiteral("entry %1 is out of order").arg(seq);
    return {};
}

} // namespace

std::vector<ChainFault> verifyChain(const std::vector<Entry> &entries, const ChainHead &head)
{
    QString prev = zeroHash();
    qint64 lamport = 0;
    qint64 seq = 0;
    for (const Entry &entry : entries) {
        ++seq;
        const QString why = whyNot(entry, seq, prev, lamport);
        if (!why.isEmpty())
            return {{head.station, seq, why}};
        prev = entry.hash;
        lamport = entry.lamport;
    }
    if (head.seq > seq)
        return {{head.station, seq + 1,
                 QStringLiteral("entries %1 to %2 were removed from the end of the chain")
                     .arg(seq + 1)
                     .arg(head.seq)}};
    if (head.seq < seq)
        return {{head.station, head.seq + 1,
                 QStringLiteral("entry %1 stands behind the head of the chain").arg(head.seq + 1)}};
    if (head.hash != prev)
        return {{head.station, seq, QStringLiteral("the kept head does not fit entry %1").arg(seq)}};
    return {};
}

QString ledgerHeadHash(const QMap<QString, ChainHead> &heads)
{
    QByteArray lines;
    for (const ChainHead &head : heads)
        lines +=
            head.station.toUtf8() + ' ' + QByteArray::number(head.seq) + ' ' + head.hash.toLatin1() + '\n';
    return sha256Hex(lines);
}

QString shortHash(const QString &hash)
{
    QStringList groups;
    for (int i = 0; i < 16; i += 4)
        groups << hash.mid(i, 4);
    return groups.join(QLatin1Char(' '));
}

} // namespace holdfast
