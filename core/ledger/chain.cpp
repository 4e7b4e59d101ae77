// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/chain.h"

#include "ledger/canonical.h"

namespace holdfast
{

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
