// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/signature.h"

#include <algorithm>

namespace holdfast
{

QByteArray headMessage(const ChainHead &head)
{
    return "holdfast ledger head 1\n" + head.station.toUtf8() + '\n' + QByteArray::number(head.seq) + ' ' +
           head.hash.toLatin1() + '\n';
}

bool HeadSignature::holds() const
{
    return signatureHolds(publicKey, headMessage({station, seq, hash}), signature);
}

Done signHead(const Database &db, const QString &station, const StationKey &key)
{
    auto row = query(db.connection(), QStringLiteral("SELECT seq, hash FROM ledger_head WHERE station=?"),
                     {station});
    if (!row)
        return row.error();
    if (!row->next())
        return fail(ErrorKind::Internal, QStringLiteral("A chain without an entry can't be signed."));
    const ChainHead head{station, row->integer(0), row->text(1)};
    return keepSignature(db, {station, key.publicKey(), head.seq, head.hash, key.sign(headMessage(head))});
}

Done keepSignature(const Database &db, const HeadSignature &s)
{
    return execSql(
        db.connection(),
        QStringLiteral("INSERT INTO ledger_signature (station, public_key, seq, hash, signature) VALUES "
                       "(?,?,?,?,?) ON CONFLICT (station, public_key) DO UPDATE SET seq=excluded.seq, "
                       "hash=excluded.hash, signature=excluded.signature"),
        {s.station, s.publicKey, s.seq, s.hash, s.signature});
}

Result<std::vector<HeadSignature>> headSignatures(const Database &db, const QString &station)
{
    auto rows = query(db.connection(),
                      QStringLiteral("SELECT station, public_key, seq, hash, signature FROM ledger_signature "
                                     "WHERE ?='' OR station=? ORDER BY station, seq"),
                      {station.isNull() ? QStringLiteral("") : station, station});
    if (!rows)
        return rows.error();
    std::vector<HeadSignature> all;
    while (rows->next())
        all.push_back({rows->text(0), rows->text(1), rows->integer(2), rows->text(3), rows->text(4)});
    return all;
}

std::vector<ChainFault> checkSignatures(const ChainHead &head, const std::vector<AnnouncedKey> &keys,
                                        const std::vector<HeadSignature> &signatures,
                                        const std::function<QString(qint64)> &hashAt)
{
    const auto fault = [&head](qint64 seq, const QString &why) {
        return std::vector<ChainFault>{{head.station, seq, why}};
    };
    for (const HeadSignature &s : signatures) {
        const bool known = std::any_of(keys.begin(), keys.end(), [&s](const AnnouncedKey &k) {
            return k.publicKey == s.publicKey && k.seq <= s.seq;
        });
        if (!known)
            return fault(s.seq, QStringLiteral("entry %1 is signed with a key (%2) that the station never "
                                               "announced")
                                    .arg(s.seq)
                                    .arg(keyMark(s.publicKey)));
        if (hashAt(s.seq) != s.hash)
            return fault(s.seq,
                         QStringLiteral("the signature kept for entry %1 is of another entry").arg(s.seq));
        if (!s.holds())
            return fault(s.seq, QStringLiteral("the signature of entry %1 does not hold").arg(s.seq));
    }
    for (std::size_t i = 0; i < keys.size(); ++i) {
        // A key vouches for all up to the entry before the next key: a chain signed less far was cut or
        // forged.
        const bool last = i + 1 == keys.size();
        const qint64 due = last ? head.seq : keys[i + 1].seq - 1;
        const auto s = std::find_if(signatures.begin(), signatures.end(), [&](const HeadSignature &one) {
            return one.publicKey == keys[i].publicKey;
        });
        if (s == signatures.end())
            return fault(due, QStringLiteral("the signature with the station's key (%1) is missing")
                                  .arg(keyMark(keys[i].publicKey)));
        if (s->seq < due)
            return fault(s->seq + 1,
                         QStringLiteral("entries %1 to %2 are not signed").arg(s->seq + 1).arg(due));
    }
    return {};
}

} // namespace holdfast
